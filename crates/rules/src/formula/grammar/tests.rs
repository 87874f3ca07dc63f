//! What the grammar reads, and how it refuses the rest.

use super::*;

fn shape(text: &str) -> Part {
    parse(text)
        .unwrap_or_else(|error| panic!("{text}: {error:?}"))
        .part
}

#[test]
fn operators_bind_as_on_paper() {
    let Part::Any(sides) = shape("a.b or c.d and not e.f = g.h + 2 * 3 A") else {
        panic!("`or` binds loosest");
    };
    let Part::All(ref both) = sides[1].part else {
        panic!("`and` binds tighter than `or`");
    };
    let Part::Not(ref negated) = both[1].part else {
        panic!("`not` takes the comparison");
    };
    let Part::Compare(Comparison::Equal, _, ref right) = negated.part else {
        panic!("a comparison");
    };
    let Part::Arithmetic(Operation::Add, _, ref last) = right.part else {
        panic!("sum outside");
    };
    assert!(matches!(last.part, Part::Arithmetic(Operation::Multiply, ..)));
    let Part::Arithmetic(Operation::Subtract, left, _) = shape("9 A - 4 A - 3 A") else {
        panic!("a difference");
    };
    assert!(matches!(left.part, Part::Arithmetic(Operation::Subtract, ..)));
}

#[test]
fn numbers_take_their_unit_and_their_sign() {
    assert_eq!(shape("80psi"), Part::Number("80 psi".into()));
    assert_eq!(shape("-4 °F"), Part::Number("-4 °F".into()));
    assert_eq!(shape("3 % "), Part::Number("3 %".into()));
    assert_eq!(shape("0.5 gal"), Part::Number("0.5 gal".into()));
    assert_eq!(
        parse("a.b <= 48 A and a.c").map(|e| matches!(e.part, Part::All(_))),
        Ok(true)
    );
}

#[test]
fn what_is_wrong_is_said_where_it_is() {
    for (text, at, words) in [
        ("", 0, "a value"),
        ("a.b <=", 6, "a value"),
        ("a.b <= 5 A <= 6 A", 11, "two sides"),
        ("(a.b", 4, "`)`"),
        ("a.b c.d", 4, "the end"),
        ("a.b and", 7, "a value"),
        ("if a.b then 3", 13, "`else`"),
        ("load < 3 A", 5, "scope.name"),
        ("a.b is big", 7, "`known`"),
        ("a.b is one of (3)", 15, "texts in parentheses"),
        ("\"open", 5, "closing quote"),
        ("min(3 A", 7, "parentheses"),
        ("3 A is known", 12, "name of a fact"),
    ] {
        let error = parse(text).expect_err(text);
        assert!(error.wanted.contains(words), "{text}: {}", error.wanted);
        assert_eq!(error.span.start, at, "{text}");
    }
}

#[test]
fn length_and_depth_are_bounded() {
    let deep = "(".repeat(400) + "1" + &")".repeat(400);
    assert!(parse(&deep).unwrap_err().wanted.contains("less nesting"));
    assert!(
        parse(&"not ".repeat(200))
            .unwrap_err()
            .wanted
            .contains("less nesting")
    );
    assert!(
        parse(&"-".repeat(400))
            .unwrap_err()
            .wanted
            .contains("less nesting")
    );
    assert!(parse(&"1+".repeat(600)).unwrap_err().wanted.contains("at most"));
}

proptest::proptest! {
    #[test]
    fn any_text_is_answered_without_panic(text in "\\PC{0,60}") {
        let _ = parse(&text);
    }
    #[test]
    fn any_pile_of_tokens_is_answered_without_panic(
        tokens in proptest::collection::vec(proptest::sample::select(vec![
            "(", ")", "and", "or", "not", "if", "then", "else", "is", "known", "one", "of", "a.b", "3 A", "-",
            "+", "*", "/", "<=", "=", "\"x\"", ",", "min", "round_up", "80 psi", "limit.x", "true", "°", "2.",
        ]), 0..40)
    ) {
        let _ = parse(&tokens.join(" "));
    }
}
