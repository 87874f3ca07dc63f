//! The PDF printer: equal bytes for equal papers, an archive file whatever was typed, and errors that say what is wrong.
#![cfg(feature = "pdf")]

#[path = "specimen/any.rs"]
mod any;
#[path = "specimen/document.rs"]
mod specimen;

use lopdf::Object;
use papers::document::{
    Block, Callout, CalloutKind, Column, Definition, Document, Figure, Head, Level, ListMarks, Table, Text,
};
use papers::pdf::{self, PdfError};
use papers::words::Language;
use proptest::prelude::*;
use quantity::UnitSystem;

fn parsed(document: &Document) -> lopdf::Document {
    let bytes = pdf::print(document).expect("a paper");
    lopdf::Document::load_mem(&bytes).expect("a PDF")
}

/// All text of all pages without blanks and without the invisible places to break.
fn text(file: &lopdf::Document) -> String {
    let pages: Vec<u32> = file.get_pages().keys().copied().collect();
    file.extract_text(&pages)
        .expect("text")
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '\u{200b}')
        .collect()
}

fn paper(blocks: impl IntoIterator<Item = Block>) -> Document {
    let mut document = Document::new("Paper", Head::new("Job", jiff::civil::date(2026, 3, 14)));
    document.blocks.extend(blocks);
    document
}

#[test]
fn equal_papers_have_equal_bytes() {
    let first = pdf::print(&specimen::document()).expect("a paper");
    // A paper in between, so that nothing remembered by the typesetter decides.
    pdf::print(&paper([Block::paragraph("another")])).expect("a paper");
    let second = pdf::print(&specimen::document()).expect("a paper");
    assert!(first == second, "{} and {} bytes", first.len(), second.len());
}

#[test]
fn the_date_is_that_of_the_paper() {
    let file = parsed(&specimen::document());
    let info = file
        .trailer
        .get(b"Info")
        .and_then(Object::as_reference)
        .expect("a reference");
    let info = file
        .get_object(info)
        .and_then(Object::as_dict)
        .expect("facts of the file");
    let date = info
        .get(b"CreationDate")
        .and_then(Object::as_str)
        .expect("a date");
    assert!(
        date.starts_with(b"D:20260314"),
        "{}",
        String::from_utf8_lossy(date)
    );
    assert!(info.get(b"Title").is_ok() && info.get(b"Author").is_ok());
}

#[test]
fn the_file_says_that_it_is_an_archive_file_to_be_read_by_ear() {
    let bytes = pdf::print(&specimen::document()).expect("a paper");
    let file = lopdf::Document::load_mem(&bytes).expect("a PDF");
    let catalog = file.catalog().expect("a catalog");
    assert!(catalog.get(b"StructTreeRoot").is_ok());
    assert_eq!(
        catalog.get(b"Lang").and_then(Object::as_str).expect("a language"),
        b"en"
    );
    let raw = String::from_utf8_lossy(&bytes);
    // XMP properties of ISO 19005-2 and ISO 14289-1, status memory.
    for part in ["pdfaid:part>2<", "pdfaid:conformance>A<", "pdfuaid:part>1<"] {
        assert!(raw.contains(part), "{part}");
    }
}

#[test]
fn the_sheet_follows_the_units() {
    let mut document = paper([]);
    for (units, width) in [(UnitSystem::Us, 612.0), (UnitSystem::Si, 595.3)] {
        document.units = units;
        let file = parsed(&document);
        let page = *file.get_pages().get(&1).expect("a page");
        let sheet = file
            .get_dictionary(page)
            .and_then(|page| page.get(b"MediaBox"))
            .and_then(Object::as_array)
            .expect("a sheet");
        let found = sheet[2].as_float().expect("a width");
        assert!((found - width).abs() < 0.1, "{found}");
    }
}

#[test]
fn every_page_carries_job_revision_edition_date_number_and_caution() {
    let document = specimen::document();
    let file = parsed(&document);
    let n_pages = file.get_pages().len();
    assert!((4..=6).contains(&n_pages), "{n_pages}");
    for number in 1..=n_pages {
        let page = file
            .extract_text(&[u32::try_from(number).expect("few pages")])
            .expect("text");
        let page: String = page.chars().filter(|c| !c.is_whitespace()).collect();
        let numbered = format!("page{number}of{n_pages}");
        for wanted in [
            "JuniperLane14",
            "revision3",
            "specimenbook,edition2",
            "2026-03-14",
            "Notapermit",
            &numbered,
        ] {
            assert!(page.contains(wanted), "page {number}: {wanted} in {page}");
        }
    }
}

#[test]
fn the_head_of_a_table_is_repeated_on_every_page_it_reaches() {
    let mut table = Table::new([Column::words("Headword"), Column::figures("Figure")]);
    for number in 0..120 {
        table = table.row([format!("row {number}"), number.to_string()]);
    }
    let file = parsed(&paper([Block::Table(table)]));
    let n_pages = file.get_pages().len();
    assert!(n_pages >= 3, "{n_pages}");
    assert_eq!(text(&file).matches("Headword").count(), n_pages);
}

#[test]
fn no_heading_stands_alone_at_the_foot_of_a_page() {
    for n_lines in 36..54 {
        let filler = (0..n_lines).map(|n| Block::paragraph(format!("line {n}")));
        let tail = [
            Block::heading(Level::Part, "Parthead"),
            Block::heading(Level::Section, "Sectionhead"),
            Block::paragraph("Followed"),
        ];
        let file = parsed(&paper(filler.chain(tail)));
        let page_of = |wanted: &str| {
            file.get_pages()
                .keys()
                .copied()
                .find(|page| file.extract_text(&[*page]).expect("text").contains(wanted))
                .expect("printed")
        };
        let pages = [page_of("Parthead"), page_of("Sectionhead"), page_of("Followed")];
        assert!(
            pages[0] == pages[1] && pages[1] == pages[2],
            "{n_lines}: {pages:?}"
        );
    }
}

#[test]
fn markup_is_printed_and_not_obeyed() {
    let hostile =
        "#panic(\"x\") $ x^2 $ *b* _i_ `c` = h // c /* d */ @ref <label> \\ #import \"data.json\" ] ) }";
    let document = paper([
        Block::heading(Level::Part, hostile),
        Block::paragraph(Text::from(hostile).strong(hostile).code(hostile)),
        Block::Definitions(vec![Definition::new(hostile, hostile).unit(hostile)]),
        Block::list(ListMarks::Bullets, [hostile]),
        Block::Callout(Callout::new(CalloutKind::Note, hostile).titled(hostile)),
    ]);
    let found = text(&parsed(&document));
    let wanted: String = hostile.chars().filter(|c| !c.is_whitespace()).collect();
    // Heading 1, paragraph 3, definition 3, list 1, callout 2.
    assert_eq!(found.matches(&wanted).count(), 10, "{found}");
}

#[test]
fn what_no_typeface_has_is_marked_and_listed() {
    let found = text(&parsed(&paper([Block::paragraph("Owner: 張 😀")])));
    assert!(found.contains("Owner:□□"), "{found}");
    assert!(found.contains("U+5F35,U+1F600"), "{found}");
}

#[test]
fn ten_thousand_characters_are_all_printed() {
    let long = "x".repeat(10_000);
    // More than a sheet holds in the size of a heading; enough where the typesetter might wait for the end of a block.
    let sheetful = "x".repeat(3_000);
    let mut document = paper([
        Block::paragraph(long.as_str()),
        Block::heading(Level::Part, sheetful.as_str()),
        Block::Table(
            Table::new([Column::words(sheetful.as_str()), Column::words("short")])
                .captioned(sheetful.as_str())
                .row([long.as_str(), "short"]),
        ),
        Block::finding(specimen::finding(trace::Severity::Stop, "rule", &sheetful, &long)),
    ]);
    document.title.clone_from(&sheetful);
    document.caution = Some(sheetful.clone());
    document.head.revision = Some(sheetful.clone());
    let found = text(&parsed(&document));
    // Each place prints all of it; running heads print a part of it again.
    let n_printed = found.matches('x').count();
    assert!(n_printed >= 3 * 10_000 + 7 * 3_000, "{n_printed}");
}

#[test]
fn a_drawing_that_is_none_is_named() {
    let figure = |svg: &str| {
        Block::Figure(Figure {
            svg: svg.to_owned(),
            caption: None,
            alt: "a drawing".to_owned(),
            lines: Vec::new(),
        })
    };
    let good = r#"<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M0 0h9"/></svg>"#;
    for bad in [
        "",
        "not a drawing",
        "<svg",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><g>",
    ] {
        match pdf::print(&paper([figure(good), figure(bad)])) {
            Err(PdfError::Figure { number, reasons }) => {
                assert_eq!(number, 2);
                assert!(!reasons.is_empty() && reasons.iter().all(|reason| !reason.is_empty()));
            }
            other => panic!("{bad:?}: {other:?}"),
        }
    }
}

#[test]
fn a_drawing_reaches_nothing_outside_of_itself() {
    let figure = |href: &str| {
        Block::Figure(Figure {
            svg: format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="9" height="9"><image width="9" height="9" xlink:href="{href}"/></svg>"#
            ),
            caption: None,
            alt: "a drawing".to_owned(),
            lines: Vec::new(),
        })
    };
    for href in [
        "/etc/hostname",
        "file:///etc/hostname",
        "../../etc/hostname",
        "http://localhost/x.png",
    ] {
        if let Ok(bytes) = pdf::print(&paper([figure(href)])) {
            let file = lopdf::Document::load_mem(&bytes).expect("a PDF");
            let n_images = file
                .objects
                .values()
                .filter_map(|object| object.as_stream().ok())
                .filter(|stream| {
                    stream
                        .dict
                        .get(b"Subtype")
                        .and_then(Object::as_name)
                        .is_ok_and(|name| name == b"Image")
                })
                .count();
            assert_eq!(n_images, 0, "{href}");
        }
    }
}

#[test]
fn an_empty_paper_is_still_a_paper() {
    let mut document = Document::new("", Head::new("", jiff::civil::date(1, 1, 1)));
    document.language = Language::Spanish;
    let found = text(&parsed(&document));
    assert!(found.contains("documentosintítulo"), "{found}");
    assert!(found.contains("página1de1"), "{found}");
}

proptest! {
    // Each case typesets a paper; the odd texts in `any` come up often enough in this many.
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_paper_is_printed(document in any::document()) {
        let bytes = pdf::print(&document).map_err(|error| TestCaseError::fail(error.to_string()))?;
        prop_assert!(lopdf::Document::load_mem(&bytes).is_ok());
    }
}
