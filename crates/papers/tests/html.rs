//! The HTML printer: the words of the specimen, and a file that holds no tag, script or address somebody typed.

#[path = "specimen/any.rs"]
mod any;
#[path = "specimen/document.rs"]
mod specimen;

use papers::document::{Block, Document, Head, Level, Text};
use papers::html;
use papers::words::Language;
use proptest::prelude::*;
use quantity::UnitSystem;
use std::collections::BTreeSet;

/// The file without its style sheet, which has tests of its own.
fn body(page: &str) -> String {
    let (before, rest) = page.split_once("<style>").expect("a style sheet");
    let (_, after) = rest.split_once("</style>").expect("its end");
    format!("{before}{after}").replace("><", ">\n<")
}

/// Every tag with its attributes' names, once.
fn tags(page: &str) -> BTreeSet<String> {
    body(page)
        .split('<')
        .skip(1)
        .map(|tag| tag.split('>').next().unwrap_or_default())
        .map(|tag| {
            let mut parts = tag.split('"');
            let mut outside = String::new();
            while let Some(part) = parts.next() {
                outside.push_str(part);
                parts.next();
            }
            outside
        })
        .collect()
}

#[test]
fn specimen_as_a_file() {
    insta::assert_snapshot!(body(&html::print(&specimen::document())));
}

#[test]
fn the_file_is_self_contained() {
    let page = html::print(&specimen::document());
    for outside in [
        "http:", "https:", "//", "@import", "<script", "<link", "<iframe", "url(",
    ] {
        // The name of the SVG namespace is not an address that is fetched.
        let page = page
            .replace("http:%2F%2Fwww.w3.org", "")
            .replace("http://www.w3.org/2000/svg", "");
        assert!(!page.contains(outside), "{outside}");
    }
    assert!(page.contains("default-src 'none'"));
}

#[test]
fn language_and_sheet_are_those_of_the_document() {
    let mut document = specimen::document();
    let page = html::print(&document);
    assert!(page.contains("<html lang=\"en\">") && page.contains("size:letter"));
    document.language = Language::Spanish;
    document.units = UnitSystem::Si;
    let page = html::print(&document);
    assert!(page.contains("<html lang=\"es\">") && page.contains("size:A4"));
    assert!(page.contains("dictamen: cambiar"));
}

#[test]
fn headings_step_down_one_at_a_time() {
    let mut document = Document::new("t", Head::new("j", jiff::civil::date(2026, 3, 14)));
    for level in [Level::Topic, Level::Part, Level::Topic, Level::Topic] {
        document.push(Block::heading(level, "words"));
    }
    let page = html::print(&document);
    let found: Vec<&str> = ["<h1", "<h2", "<h3", "<h4"]
        .into_iter()
        .filter(|tag| page.contains(*tag))
        .collect();
    assert_eq!(found, ["<h1", "<h2", "<h3", "<h4"]);
    assert_eq!(page.matches("<h1").count(), 1);
    assert_eq!(page.matches("<h2").count(), 2);
}

#[test]
fn what_was_typed_stays_text() {
    let mut document = Document::new(
        "</title><script>x()</script>",
        Head::new("\"><b>", jiff::civil::date(2026, 3, 14)),
    );
    document.caution = Some("\"}</style><script>y()</script>".to_owned());
    document.push(Block::paragraph(
        Text::from("a < b & c > d").code("<img src=x onerror=z>"),
    ));
    let page = html::print(&document);
    for tag in ["<script", "<b>", "<img"] {
        assert!(!page.contains(tag), "{tag}");
    }
    assert!(page.contains("a &lt; b &amp; c &gt; d"));
    assert_eq!(page.matches("</style>").count(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn no_text_adds_a_tag_or_a_control_character(document in any::document()) {
        let page = html::print(&document);
        prop_assert_eq!(&page, &html::print(&document));
        prop_assert!(page.chars().all(|c| !c.is_control() || c == '\n'));
        // Names of tags and attributes hold nothing but these characters; a typed one would bring others or more.
        for tag in tags(&page) {
            let known = tag.chars().all(|c| c.is_ascii_alphanumeric() || " =-/!:_".contains(c));
            prop_assert!(known && !tag.contains("script") && !tag.contains("onerror"), "{tag:?}");
        }
        let (_, sheet) = page.split_once("<style>").expect("a style sheet");
        prop_assert!(sheet.contains("</style></head>"));
        prop_assert_eq!(page.matches("</style>").count(), 1);
    }
}
