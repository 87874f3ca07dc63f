//! Damaged, cut and hostile files: a clear error with its place, or kept with a note; every reading accounted for.

#[path = "../samples/feed.rs"]
mod feed;

use feed::{block, head};
use meter::{Import, MeterError, Note, NoteKind, green_button};

fn read(text: &str) -> Result<Import, MeterError> {
    green_button(text.as_bytes(), None)
}

fn note(import: &Import, kind: NoteKind) -> &Note {
    import
        .notes
        .iter()
        .find(|note| note.kind == kind)
        .unwrap_or_else(|| panic!("no {kind:?} in {:?}", import.notes))
}

fn with_readings(readings: &str) -> String {
    format!(
        "{}<entry><link rel=\"up\" href=\"https://example.org/espi/1_1/resource/RetailCustomer/1/UsagePoint/1/MeterReading/1/IntervalBlock\"/>\
         <content><IntervalBlock>{readings}</IntervalBlock></content></entry></feed>",
        head()
    )
}

fn reading(start: &str, duration: &str, value: &str) -> String {
    format!(
        "<IntervalReading><timePeriod><duration>{duration}</duration><start>{start}</start></timePeriod>\
         <value>{value}</value></IntervalReading>\n"
    )
}

#[test]
fn entity_bombs_are_refused_at_the_door() {
    let bomb = "<?xml version=\"1.0\"?>\n<!DOCTYPE lolz [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;\">]>\n<feed>&b;</feed>";
    let error = read(bomb).unwrap_err();
    assert!(matches!(error, MeterError::DocumentType { .. }), "{error}");
    assert!(error.to_string().contains("line 2"), "{error}");
    let error = read("<feed><title>&evil;</title></feed>").unwrap_err();
    assert!(
        matches!(error, MeterError::Entity { ref name, .. } if name == "evil"),
        "{error}"
    );
}

#[test]
fn deep_nesting_and_huge_pieces_stop_early() {
    let deep = format!("<feed>{}", "<a>".repeat(100_000));
    let error = read(&deep).unwrap_err();
    assert!(matches!(error, MeterError::TooDeep { limit: 64, .. }), "{error}");
    for huge in [
        format!("<feed a=\"{}\"></feed>", "x".repeat(10_000_000)),
        format!("<feed>{}</feed>", "x".repeat(10_000_000)),
        format!("<feed><!--{}--></feed>", "x".repeat(10_000_000)),
        format!("<{}/>", "x".repeat(10_000_000)),
    ] {
        let error = read(&huge).unwrap_err();
        assert!(matches!(error, MeterError::TooLong { .. }), "{error}");
    }
    // Many attributes are long, not deep.
    let many: String = (0..200_000).fold(String::new(), |mut all, at| {
        use std::fmt::Write;
        let _ = write!(all, " a{at}=\"\"");
        all
    });
    assert!(matches!(
        read(&format!("<feed{many}/>")),
        Err(MeterError::TooLong { .. })
    ));
}

#[test]
fn a_cut_file_says_where_it_ends_and_how_far_it_came() {
    let whole = feed::feed(200);
    for share in 1..40 {
        let cut = &whole[..whole.len() * share / 40];
        let error = read(cut).unwrap_err();
        match error {
            MeterError::Truncated { place, readings, .. } => {
                assert_eq!(place.byte, cut.len() as u64, "{error}");
                assert_eq!(place.line, 1 + cut.matches('\n').count() as u64);
                assert!(readings <= 200);
            }
            other => panic!("at {share}/40: {other}"),
        }
    }
}

#[test]
fn damaged_bytes_and_tags_are_placed() {
    let mut bytes = feed::feed(10).into_bytes();
    let at = bytes.windows(7).position(|window| window == b"<value>").unwrap() + 8;
    bytes[at] = 0xff;
    let error = green_button(bytes.as_slice(), None).unwrap_err();
    assert!(
        matches!(error, MeterError::NotText { place } if place.byte.abs_diff(at as u64) < 16),
        "{error}"
    );
    let text = feed::feed(10).replacen("</value>", "</volume>", 1);
    assert!(matches!(read(&text), Err(MeterError::Damaged { .. })));
    let wide: Vec<u8> = "<feed/>".encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(green_button(wide.as_slice(), None).is_err());
}

#[test]
fn a_reading_that_cannot_be_used_is_counted_and_placed() {
    let good = reading("1704096000", "900", "250");
    let import = read(&with_readings(&format!(
        "{good}{}{}{}{}{}{}<IntervalReading/>",
        reading("1704096900", "900", "12x4"),
        reading("1704097800", "900", ""),
        reading("-5", "900", "1"),
        reading("99999999999", "900", "1"),
        reading("1704098700", "0", "1"),
        reading("soon", "900", "1"),
    )))
    .unwrap();
    assert!(import.account.is_closed(), "{:?}", import.account);
    assert_eq!(
        (import.account.read, import.account.kept, import.account.unusable),
        (8, 1, 7)
    );
    assert_eq!(note(&import, NoteKind::NoValue).count, 3);
    assert_eq!(note(&import, NoteKind::TimeOutside).count, 2);
    assert_eq!(note(&import, NoteKind::LengthOutside).count, 1);
    assert_eq!(note(&import, NoteKind::NoTime).count, 1);
    let place = note(&import, NoteKind::NoValue).first.unwrap();
    let text = with_readings(&good);
    assert_eq!(
        place.line,
        1 + text.matches('\n').count() as u64,
        "the line behind the good one"
    );
}

#[test]
fn nothing_is_counted_twice() {
    let once = reading("1704096000", "900", "250");
    let again = format!(
        "{once}{once}{}{}",
        reading("1704096000", "900", "260"),
        reading("1704096000", "3600", "900")
    );
    let import = read(&with_readings(&again)).unwrap();
    let account = import.account;
    assert!(account.is_closed());
    assert_eq!(
        (
            account.kept,
            account.duplicate,
            account.conflicting,
            account.overlapping
        ),
        (1, 1, 1, 1)
    );
    let series = import.demand(None).unwrap();
    assert!(
        (series.energy().as_watt_hours() - 260.0).abs() < 1e-9,
        "the larger of two values"
    );
    // The same block twice, as when two downloads are pasted together.
    let text = format!("{}{}{}</feed>", head(), block(0, 96), block(0, 96));
    let import = read(&text).unwrap();
    assert_eq!((import.account.kept, import.account.duplicate), (96, 96));
}

#[test]
fn blocks_in_any_order_give_the_same_series() {
    let forward = read(&feed::feed(96 * 5)).unwrap();
    let mut text = head();
    for day in [3, 0, 4, 1, 2] {
        text.push_str(&block(day * 96, 96));
    }
    let shuffled = read(&format!("{text}</feed>")).unwrap();
    let all = |import: &Import| import.demand(None).unwrap().iter().collect::<Vec<_>>();
    assert_eq!(all(&forward), all(&shuffled));
}

#[test]
fn wrong_multipliers_and_units_are_told() {
    let with = |from: &str, to: &str| read(&feed::feed(8).replace(from, to)).unwrap();
    let multiplier = "<powerOfTenMultiplier>0<";
    let import = with(multiplier, "<powerOfTenMultiplier>99<");
    assert_eq!(import.account.other, 8);
    assert_eq!(note(&import, NoteKind::Multiplier).count, 8);
    assert!(matches!(import.demand(None), Err(MeterError::NoDemand { .. })));
    let import = with(multiplier, "<powerOfTenMultiplier>six<");
    assert_eq!(
        import.account.other, 8,
        "a multiplier that is no number is not taken for 0"
    );
    let import = with(multiplier, "<powerOfTenMultiplier>6<");
    assert_eq!(note(&import, NoteKind::Implausible).count, 8);
    let import = with(multiplier, "<powerOfTenMultiplier>-3<");
    assert_eq!(note(&import, NoteKind::Implausible).count, 1);
    let import = with("<uom>72<", "<uom>119<");
    assert_eq!(note(&import, NoteKind::OtherQuantity).count, 8);
    let import = with("<accumulationBehaviour>4<", "<accumulationBehaviour>3<");
    assert_eq!(note(&import, NoteKind::Register).count, 8);
    assert!(import.account.is_closed());
}

#[test]
fn several_usage_points_and_directions_stay_apart() {
    let other = |text: String, point: &str, flow: &str| {
        text.replace("UsagePoint/1", &format!("UsagePoint/{point}"))
            .replace("MeterReading/1", &format!("MeterReading/{flow}"))
            .replace("ReadingType/1", &format!("ReadingType/{flow}"))
            .replace("<flowDirection>1<", &format!("<flowDirection>{flow}<"))
    };
    let body = |text: String| {
        text.split_once("<entry>")
            .map(|(_, rest)| format!("<entry>{rest}"))
            .unwrap()
    };
    let part = |point, flow| body(other(format!("{}{}", head(), block(0, 4)), point, flow));
    let text = format!(
        "{}{}{}{}{}</feed>",
        head(),
        block(0, 4),
        part("1", "19"),
        part("2", "1"),
        ""
    );
    let import = read(&text).unwrap();
    assert_eq!(import.series.len(), 3);
    assert!(
        matches!(import.demand(None), Err(MeterError::ChoosePoint { asked: false, ref points }) if points.len() == 2)
    );
    assert_eq!(import.demand(Some("1")).unwrap().account.kept, 4);
    assert!(import.generates("1") && !import.generates("2"));
    assert!(matches!(
        import.demand(Some("9")),
        Err(MeterError::ChoosePoint { asked: true, .. })
    ));
}

#[test]
fn links_and_types_behind_their_readings_are_found() {
    let block = block(0, 4);
    let (links, rest) = block.split_once("  <title/>").unwrap();
    let (before, links) = links.split_once("  <link").unwrap();
    let (content, after) = rest.split_once("  <published>").unwrap();
    let late = format!("{before}{content}  <link{links}  <published>{after}");
    let head = head();
    let (first, entries) = head.split_once(" <entry>").unwrap();
    let import = read(&format!("{first}{late} <entry>{entries}</feed>")).unwrap();
    assert_eq!(import.demand(None).unwrap().account.kept, 4);
    assert_eq!(import.demand(None).unwrap().title.as_deref(), Some("House"));
}

#[test]
fn files_of_another_kind_say_so() {
    assert_eq!(read("<html></html>").unwrap_err(), MeterError::NoReadings);
    assert_eq!(read("<feed/>").unwrap_err(), MeterError::NoReadings);
    assert!(read("").is_err());
    // No type at all: read, accounted for, and not taken for electricity.
    let text = feed::feed(4).replace("<uom>72</uom>", "");
    let import = read(&text).unwrap();
    assert_eq!((import.account.read, import.account.other), (4, 4));
}
