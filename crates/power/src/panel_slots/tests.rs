//! Panels whose answer is plain on paper, and the search against a plain enumeration of small panels.

use super::*;

fn single(label: &str, space: u16) -> SlotBreaker {
    SlotBreaker {
        label: label.into(),
        rating: Current::from_amperes(20.0),
        at: vec![space],
        movable: true,
    }
}

fn heater(label: &str) -> NewBreaker {
    NewBreaker {
        label: label.into(),
        rating: Current::from_amperes(40.0),
        poles: 2,
    }
}

fn panel(spaces: u16, breakers: Vec<SlotBreaker>) -> SlotPanel {
    SlotPanel {
        spaces,
        legs: 2,
        half_size: BTreeSet::new(),
        breakers,
    }
}

#[test]
fn an_open_panel_needs_no_move_and_poles_lie_on_both_legs() {
    let found = place_breakers(
        &panel(12, vec![single("lamps", 1)]),
        &[heater("a"), heater("b"), heater("c")],
    )
    .unwrap()
    .unwrap();
    assert!(found.moves.is_empty());
    let mut taken = BTreeSet::new();
    for placed in &found.added {
        assert_eq!(placed.at[1], placed.at[0] + 2);
        assert!(placed.at.iter().all(|space| *space != 1 && taken.insert(*space)));
    }
    let amperes = |legs: &[Current]| legs.iter().map(|leg| leg.as_amperes()).collect::<Vec<_>>();
    assert_eq!(amperes(&found.legs_before), [20.0, 0.0]);
    assert_eq!(amperes(&found.legs_after), [140.0, 120.0]);
    // Every space stands in the directory once.
    let spaces: Vec<u16> = found
        .directory
        .iter()
        .flat_map(|line| line.spaces.clone())
        .collect();
    assert_eq!(spaces.iter().copied().collect::<BTreeSet<_>>().len(), 12);
    assert_eq!(spaces.len(), 12);
    assert_eq!(found.directory.iter().filter(|line| line.new).count(), 3);
}

#[test]
fn half_size_breakers_make_room_where_they_are_allowed() {
    let full: Vec<SlotBreaker> = (1..=8)
        .map(|space| single(&format!("circuit {space}"), space))
        .collect();
    let mut panel = panel(8, full);
    assert_eq!(
        place_breakers(&panel, &[heater("a")]).unwrap(),
        Err(NoRoom::TooFewSpaces { needed: 2, free: 0 })
    );
    // Spaces 7 and 8 take half-size breakers: the two that sit there and the two of a pair fit into them, four moves.
    panel.half_size = [7, 8].into();
    let found = place_breakers(&panel, &[heater("a")]).unwrap().unwrap();
    assert_eq!(found.moves.len(), 4);
    assert!(
        found
            .moves
            .iter()
            .all(|one| one.half_size && [7, 8].contains(&one.to[0]))
    );
    assert!(found.added[0].at.iter().all(|space| *space < 7));
}

#[test]
fn breakers_that_may_not_move_stay() {
    let mut fixed = vec![
        single("kitchen", 1),
        single("lamps", 3),
        single("bath", 4),
        single("pump", 6),
    ];
    for breaker in &mut fixed {
        breaker.movable = false;
    }
    assert_eq!(
        place_breakers(&panel(6, fixed), &[heater("a")]).unwrap(),
        Err(NoRoom::TooManyMoves { tried: 4 })
    );
}

#[test]
fn a_move_that_keeps_its_leg_is_preferred() {
    // Free: 2, 3, 8. The pair 1, 3 or 3, 5 or 6, 8 … needs one move; a breaker moved to 2 from row 1 keeps its leg.
    let breakers = vec![
        single("a", 1),
        single("b", 4),
        single("c", 5),
        single("d", 6),
        single("e", 7),
    ];
    let found = place_breakers(&panel(8, breakers), &[heater("h")])
        .unwrap()
        .unwrap();
    assert_eq!(found.moves.len(), 1);
    assert!(!found.moves[0].changes_leg);
}

#[test]
fn panels_that_do_not_add_up_are_refused() {
    assert!(place_breakers(&panel(0, vec![]), &[]).is_err());
    assert!(place_breakers(&panel(4, vec![single("a", 5)]), &[]).is_err());
    assert!(
        place_breakers(
            &panel(4, vec![single("a", 1), single("b", 1), single("c", 1)]),
            &[]
        )
        .is_err()
    );
    let four = NewBreaker {
        label: "odd".into(),
        rating: Current::from_amperes(20.0),
        poles: 4,
    };
    assert!(place_breakers(&panel(12, vec![]), &[four]).is_err());
    let mut three = panel(12, vec![]);
    three.legs = 4;
    assert!(place_breakers(&three, &[]).is_err());
}

/// Fewest moves by trying every arrangement of singles and one pair in a small panel, without the search.
fn fewest_by_enumeration(spaces: u16, singles: &[u16]) -> Option<usize> {
    (1..=spaces - 2)
        .filter_map(|first| {
            let pair = [first, first + 2];
            let displaced = singles.iter().filter(|space| pair.contains(space)).count();
            let free = usize::from(spaces) - singles.len();
            // Displaced singles need free spaces outside the pair.
            let outside = free - pair.iter().filter(|space| !singles.contains(space)).count();
            (displaced <= outside).then_some(displaced)
        })
        .min()
}

#[test]
fn the_search_agrees_with_plain_enumeration() {
    // Every way of filling an 8-space panel with singles.
    for bits in 0_u16..256 {
        let singles: Vec<u16> = (1..=8).filter(|space| bits & (1 << (space - 1)) != 0).collect();
        let breakers = singles
            .iter()
            .map(|space| single(&format!("c{space}"), *space))
            .collect();
        let found = place_breakers(&panel(8, breakers), &[heater("h")]).unwrap();
        let expected = fewest_by_enumeration(8, &singles);
        assert_eq!(found.ok().map(|found| found.moves.len()), expected, "{singles:?}");
    }
}
