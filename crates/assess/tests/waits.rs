//! Waits, cold slugs, dead legs and other places of the unit, on the example records.
#![allow(clippy::unwrap_used, reason = "helpers of tests fail as tests do")]

use assess::{Assessment, DatedDesk, Placement, assess};
use job::Job;
use quantity::{Time, VolumeFlow};

fn job(name: &str) -> Job {
    let path = format!("{}/../../examples/{name}.job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap();
    toml::from_str(&text).unwrap()
}

fn assessed(job: &Job) -> Assessment {
    let desk = DatedDesk {
        today: jiff::civil::date(2026, 11, 25),
        electrical: None,
    };
    assess(job, &desk)
}

#[test]
fn waits_lie_between_the_bare_plug_and_what_laboratories_saw() {
    // Volume over flow is the least a full plug takes; laboratories saw up to twice that (handbook of the project, water
    // section 6, low confidence). An on-demand unit adds its delay and its own water, a tank nothing.
    for name in ["far-bath", "hundred-amp"] {
        let assessment = assessed(&job(name));
        for fixture in &assessment.fixtures {
            for path in [&fixture.today, &fixture.after].into_iter().flatten() {
                let plug_s = (path.volume / fixture.flow).as_seconds();
                let (low, high) = (0.95 * plug_s, 2.0 * plug_s + 20.0);
                let wait_s = path.wait.as_seconds();
                assert!(
                    (low..high).contains(&wait_s),
                    "{name} {}: {wait_s} s, plug {plug_s} s",
                    fixture.id
                );
                // The hot side runs fully open throughout.
                let run_off = (fixture.flow * path.wait).as_gallons();
                assert!(
                    (path.wasted.as_gallons() / run_off - 1.0).abs() < 0.02,
                    "{name} {}",
                    fixture.id
                );
                assert!(path.branch_volume <= path.volume && path.lukewarm <= path.wait);
            }
        }
    }
}

#[test]
fn the_stub_of_the_old_trunk_is_a_dead_leg() {
    let assessment = assessed(&job("far-bath"));
    let [leg] = assessment.dead_legs.as_slice() else {
        panic!("{:?}", assessment.dead_legs);
    };
    assert_eq!(
        (leg.pipes.as_slice(), leg.hangs_at.as_slice()),
        (&["H1".to_owned()][..], &["kitchen-hot-tee".to_owned()][..])
    );
    // 19 ft of 3/4 in type L at 0.02514 gal/ft (handbook of the project, water section 2).
    assert!((leg.volume.as_gallons() - 19.0 * 0.02514).abs() < 0.001);
    assert!(assessed(&job("hundred-amp")).dead_legs.is_empty());
}

#[test]
fn a_unit_gives_a_cold_slug_after_a_pause_and_a_tank_does_not() {
    let assessment = assessed(&job("far-bath"));
    let shower = assessment
        .fixtures
        .iter()
        .find(|fixture| fixture.id == "far-shower")
        .unwrap();
    assert_eq!(shower.today.as_ref().unwrap().slug, None);
    let slug = shower.after.as_ref().unwrap().slug.clone().unwrap();
    // What stands hot in 11 ft of 1/2 in pipe comes first, then what passed the unit before it heated.
    let hot_first = (shower.after.as_ref().unwrap().volume / shower.flow).as_seconds();
    assert!((slug.begins.as_seconds() - hot_first).abs() < 4.0, "{slug:?}");
    assert!(
        slug.lasts > Time::from_seconds(1.0) && slug.lasts < Time::from_seconds(15.0),
        "{slug:?}"
    );
}

#[test]
fn the_unit_at_other_places() {
    let assessment = assessed(&job("far-bath"));
    let wait = |place: Placement, fixture: &str| {
        let placement = assessment
            .placements
            .iter()
            .find(|placement| placement.place == place)
            .unwrap();
        let found = placement
            .waits
            .iter()
            .find(|wait| wait.fixture == fixture)
            .unwrap();
        found.wait.as_seconds()
    };
    let (planned, there) = (Placement::AsPlanned, Placement::AtTodaysHeater);
    assert!(wait(planned, "far bath shower") < 0.4 * wait(there, "far bath shower"));
    assert!(wait(planned, "kitchen sink") > wait(there, "kitchen sink"));
    let alone = assessment
        .placements
        .iter()
        .find(|placement| placement.place == Placement::AtTheFixture)
        .unwrap();
    assert!(
        alone.waits.len() == 1 && alone.waits[0].wait < Time::from_seconds(25.0),
        "{alone:?}"
    );
    // In the other house the unit takes the place of the tank: there is nothing to compare.
    let other = assessed(&job("hundred-amp"));
    assert!(other.placements.iter().all(|placement| placement.place != there));
}

#[test]
fn the_trace_is_of_the_longest_wait_and_ends_warm() {
    let assessment = assessed(&job("far-bath"));
    let trace = assessment.wait_trace.as_ref().unwrap();
    assert_eq!(trace.fixture, "far bath basin");
    for points in [&trace.today, &trace.after] {
        assert!(points.windows(2).all(|pair| pair[0].0 <= pair[1].0));
        assert!(points.len() > 20 && points.len() < 90);
        let last = points.last().unwrap().1.as_fahrenheit();
        assert!((last - 100.0).abs() < 2.5, "{last}");
    }
}

#[test]
fn a_flow_that_starts_no_unit_is_a_gap_and_no_figure() {
    let mut job = job("far-bath");
    for fixture in &mut job.fixtures {
        if fixture.id == "far-basin" {
            fixture.rated_flow = Some(VolumeFlow::from_gallons_per_minute(0.3));
        }
    }
    let assessment = assessed(&job);
    let basin = assessment
        .fixtures
        .iter()
        .find(|fixture| fixture.id == "far-basin")
        .unwrap();
    assert_eq!(basin.after, None);
    assert!(basin.today.is_some());
    let says = |finding: &&trace::Finding| finding.message.contains("does not start at this flow");
    assert!(assessment.findings.iter().any(|finding| says(&finding)));
}

#[test]
fn insulation_never_lengthens_a_wait() {
    let bare = job("far-bath");
    let mut foamed = bare.clone();
    for pipe in &mut foamed.piping.pipes {
        pipe.insulation = Some(quantity::Length::from_inches(0.5));
    }
    let (bare, foamed) = (assessed(&bare), assessed(&foamed));
    for (one, other) in bare.fixtures.iter().zip(&foamed.fixtures) {
        let (one, other) = (one.today.as_ref().unwrap(), other.today.as_ref().unwrap());
        assert!(other.wait <= one.wait * 1.01, "{one:?} {other:?}");
    }
}
