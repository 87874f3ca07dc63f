//! Every block in every printer: what a document says is found in the terminal page, in the HTML file and in the PDF.

#[path = "specimen/document.rs"]
mod specimen;

use papers::document::{Block, Document, FindingBlock, Text};
use papers::terminal::{self, Look};
use papers::words::Language;

/// Words without blanks and marks of the printer, so that line breaks do not matter.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '`' | '\u{200b}'))
        .collect()
}

fn on_terminal(document: &Document) -> String {
    bare(&terminal::print(
        document,
        Look {
            columns: 200,
            styled: false,
        },
    ))
}

fn in_html(document: &Document) -> String {
    let page = papers::html::print(document);
    let (_, body) = page.split_once("<body>").expect("a body");
    let text: String = body
        .split('<')
        .skip(1)
        .filter_map(|piece| Some(piece.split_once('>')?.1))
        .collect();
    bare(
        &text
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&quot;", "\"")
            .replace("&amp;", "&"),
    )
}

#[cfg(feature = "pdf")]
fn in_pdf(document: &Document) -> String {
    let bytes = papers::pdf::print(document).expect("a paper");
    let file = lopdf::Document::load_mem(&bytes).expect("a PDF");
    let pages: Vec<u32> = file.get_pages().keys().copied().collect();
    bare(&file.extract_text(&pages).expect("text"))
}

/// Everything a block says, in pieces that no printer may part.
fn said(block: &Block, document: &Document) -> Vec<String> {
    let words = document.language.words();
    let plain = |text: &Text| text.to_string();
    match block {
        Block::Heading(heading) => vec![heading.words.clone()],
        Block::Paragraph(text) => vec![plain(text)],
        Block::Callout(callout) => callout
            .title
            .iter()
            .cloned()
            .chain(callout.paragraphs.iter().map(plain))
            .collect(),
        Block::Table(table) => {
            let heads = table.columns().iter().map(|column| column.head.clone());
            let cells = table.rows().iter().flat_map(|row| row.cells().iter().map(plain));
            table.caption.iter().cloned().chain(heads).chain(cells).collect()
        }
        Block::Definitions(definitions) => definitions
            .iter()
            .flat_map(|definition| {
                let unit = definition.unit.clone().unwrap_or_default();
                let value = format!("{}{unit}", definition.value);
                let origin = definition.origin.map(|origin| words.origin(origin).to_owned());
                [Some(definition.term.clone()), Some(value), origin]
                    .into_iter()
                    .flatten()
            })
            .collect(),
        Block::Finding(block) => said_by_finding(block, document),
        Block::Figure(figure) => figure.caption.iter().cloned().collect(),
        Block::FillIn(fill_in) => fill_in
            .blanks
            .iter()
            .flat_map(|blank| {
                [Some(blank.label.clone()), blank.unit.clone()]
                    .into_iter()
                    .flatten()
            })
            .collect(),
        Block::List(list) => list.items.iter().map(plain).collect(),
        Block::PageBreak => Vec::new(),
    }
}

fn said_by_finding(block: &FindingBlock, document: &Document) -> Vec<String> {
    let words = document.language.words();
    let finding = &block.finding;
    let mut said = vec![
        words.severity(finding.severity).to_owned(),
        finding.title.clone(),
        finding.subject.clone(),
        finding.message.clone(),
        finding.rule.clone(),
        words.source(&finding.source),
    ];
    said.extend(finding.edition.iter().cloned());
    said.extend([&finding.remedy, &finding.caution].into_iter().flatten().cloned());
    for fact in &finding.missing {
        said.extend([fact.symbol.clone(), fact.meaning.clone(), fact.measure.clone()]);
    }
    if block.detail == papers::document::Detail::Full {
        said.extend(finding.why.clone());
        let working = &finding.working;
        said.extend([
            working.formula.clone(),
            working.substituted.clone(),
            working.result.clone(),
        ]);
        for input in &working.inputs {
            said.extend([input.symbol.clone(), input.meaning.clone(), input.value.clone()]);
            said.push(words.origin(input.origin).to_owned());
        }
    }
    said
}

/// A page and its printer's name.
fn pages(document: &Document) -> Vec<(&'static str, String)> {
    vec![
        ("terminal", on_terminal(document)),
        ("HTML", in_html(document)),
        #[cfg(feature = "pdf")]
        ("PDF", in_pdf(document)),
    ]
}

#[test]
fn what_a_document_says_is_found_on_every_page() {
    for language in Language::ALL {
        let mut document = specimen::document();
        document.language = language;
        let mut wanted = vec![document.title.clone(), document.caution().to_owned()];
        wanted.extend(document.subtitle.clone());
        wanted.extend(
            document
                .head
                .further
                .iter()
                .flat_map(|fact| [fact.label.clone(), fact.value.clone()]),
        );
        wanted.extend(document.blocks.iter().flat_map(|block| said(block, &document)));
        let wanted: Vec<String> = wanted
            .iter()
            .map(|said| bare(said))
            .filter(|said| !said.is_empty())
            .collect();
        assert!(wanted.len() > 200, "{}", wanted.len());
        for (printer, page) in pages(&document) {
            let page_lower = page.to_lowercase();
            for said in &wanted {
                assert!(
                    page_lower.contains(&said.to_lowercase()),
                    "{printer}, {language:?}: `{said}`"
                );
            }
        }
    }
}

#[test]
fn a_drawing_is_there_for_those_who_cannot_see_it() {
    let document = specimen::document();
    let drawn = document.blocks.iter().find_map(|block| match block {
        Block::Figure(figure) => Some(figure),
        _ => None,
    });
    let figure = drawn.expect("the specimen has a drawing");
    let page = on_terminal(&document);
    for line in &figure.lines {
        assert!(page.contains(&bare(line)), "{line}");
    }
    let html = papers::html::print(&document);
    assert!(html.contains(&format!("alt=\"{}\"", figure.alt)));
}
