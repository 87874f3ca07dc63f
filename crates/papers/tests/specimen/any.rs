//! Any document: every kind of block, any text, any shape of table, for property tests.

use papers::document::{
    Align, Blank, BlankLength, Block, Callout, CalloutKind, Column, ColumnWidth, Definition, Detail,
    Document, Figure, FillIn, FindingBlock, Head, Heading, Level, List, ListMarks, RowRole, Table, Text,
};
use proptest::collection::vec;
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;
use quantity::UnitSystem;
use trace::{Finding, Missing, Origin, Severity, Source, SourceStatus, Working, WorkingInput};

/// Pieces that have broken printers before: markup, control sequences, direction marks, wide and joined characters.
const HOSTILE: [&str; 40] = [
    "",
    " ",
    "\n",
    "\r\n",
    "\t",
    "\u{1b}[2J\u{1b}]0;x\u{7}",
    "\0",
    "\u{9b}31m",
    "#panic()",
    "#import \"/x\": *",
    "$ x^2 $",
    "*bold* _it_ `code`",
    "\\",
    "\"]#",
    "= heading",
    "<script>alert(1)</script>",
    "</style></title><img src=x onerror=y>",
    "&amp;&lt;",
    "]]>",
    "{{x}}",
    "漢字かな交じり文",
    "שלום עולם",
    "مرحبا بالعالم ﷽",
    "नमस्ते क्षि",
    "👩\u{200d}🔧🇩🇪1\u{fe0f}\u{20e3}",
    "e\u{301}\u{323}\u{360}\u{489}",
    "\u{301}",
    "\u{202e}evil\u{202c}",
    "\u{2066}x\u{2069}",
    "\u{feff}\u{fffe}\u{ffff}",
    "\u{e000}\u{f8ff}\u{10ffff}",
    "\u{ad}\u{200b}\u{2060}\u{200d}",
    "\u{a0}\u{202f}\u{3000}",
    "fi ffi 1/2 --- -- ... ''",
    "½ in Ω ≥ 30 °F µ",
    "rule.with-a-long_name/and:marks",
    "Tester proven on a known live point",
    "\u{e0041}\u{e007f}",
    "\u{1160}\u{115f}\u{ac01}",
    "�□",
];

fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => select(HOSTILE.to_vec()).prop_map(str::to_owned),
        6 => vec(select(HOSTILE.to_vec()), 0..5).prop_map(|pieces| pieces.concat()),
        4 => "[a-z]{1,9}( [a-z]{1,9}){0,12}",
        3 => any::<String>(),
        1 => ("\\PC", 1_usize..90).prop_map(|(character, times)| character.repeat(times)),
    ]
}

fn text() -> impl Strategy<Value = Text> {
    vec((0..5_u8, words()), 0..4).prop_map(|spans| {
        spans
            .into_iter()
            .fold(Text::new(), |text, (weight, words)| match weight {
                0 => text.emphasis(words),
                1 => text.strong(words),
                2 => text.code(words),
                3 => text.append(&Text::with_values(&words)),
                _ => text.plain(words),
            })
    })
}

fn severity() -> impl Strategy<Value = Severity> {
    select(Severity::ALL.to_vec())
}

fn origin() -> impl Strategy<Value = Origin> {
    select(vec![
        Origin::Measured,
        Origin::Entered,
        Origin::Assumed,
        Origin::Table,
        Origin::Computed,
    ])
}

fn table() -> impl Strategy<Value = Table> {
    let column = (words(), 0..3_u8, 0..4_u8).prop_map(|(head, align, share)| Column {
        head,
        align: [Align::Left, Align::Right, Align::Center][usize::from(align)],
        width: if share == 0 {
            ColumnWidth::Fit
        } else {
            ColumnWidth::Share(share - 1)
        },
    });
    let role = select(vec![
        RowRole::Plain,
        RowRole::Strong,
        RowRole::Group,
        RowRole::Total,
    ]);
    (
        option::of(words()),
        any::<bool>(),
        vec(column, 0..9),
        vec((role, vec(text(), 0..10)), 0..6),
    )
        .prop_map(|(caption, named_rows, columns, rows)| {
            let mut table = Table::new(columns);
            table.caption = caption;
            table.named_rows = named_rows;
            for (role, cells) in rows {
                table.push(role, cells);
            }
            table
        })
}

fn finding() -> impl Strategy<Value = FindingBlock> {
    let input =
        (words(), words(), words(), origin()).prop_map(|(symbol, meaning, value, origin)| WorkingInput {
            symbol,
            meaning,
            value,
            origin,
        });
    let working =
        (vec(input, 0..3), words(), words(), words()).prop_map(|(inputs, formula, substituted, result)| {
            Working {
                inputs,
                formula,
                substituted,
                result,
                turns: Vec::new(),
            }
        });
    let source =
        (words(), option::of(words()), option::of(words())).prop_map(|(document, edition, place)| Source {
            document,
            edition,
            place,
            status: SourceStatus::Memory,
        });
    let missing = (words(), words(), words()).prop_map(|(symbol, meaning, measure)| Missing {
        symbol,
        meaning,
        measure,
    });
    let optional = (
        option::of(words()),
        option::of(words()),
        option::of(words()),
        option::of(words()),
    );
    (
        (words(), words(), words(), words()),
        severity(),
        source,
        working,
        optional,
        vec(missing, 0..3),
        any::<bool>(),
    )
        .prop_map(
            |((rule, subject, title, message), severity, source, working, optional, missing, full)| {
                let (edition, remedy, why, caution) = optional;
                let finding = Finding {
                    rule,
                    subject,
                    title,
                    severity,
                    message,
                    edition,
                    source,
                    working,
                    remedy,
                    why,
                    caution,
                    missing,
                };
                FindingBlock {
                    finding,
                    detail: if full { Detail::Full } else { Detail::Brief },
                }
            },
        )
}

fn figure() -> impl Strategy<Value = Figure> {
    (words(), option::of(words()), words(), vec(words(), 0..4)).prop_map(|(label, caption, alt, lines)| {
        let label = papers_escaped(&label);
        Figure {
            svg: format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 30" width="90" height="30"><path d="M0 0h90"/><text x="5" y="20">{label}</text></svg>"#
            ),
            caption,
            alt,
            lines,
        }
    })
}

/// Text as a drawing holds it: no character that XML forbids, and its five signs by name.
fn papers_escaped(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control() && !matches!(*c, '\u{fffe}' | '\u{ffff}'))
        .map(|c| match c {
            '&' => "&amp;".to_owned(),
            '<' => "&lt;".to_owned(),
            '>' => "&gt;".to_owned(),
            '"' => "&quot;".to_owned(),
            '\'' => "&apos;".to_owned(),
            _ => c.to_string(),
        })
        .collect()
}

fn block() -> impl Strategy<Value = Block> {
    let kind = prop_oneof![
        Just(CalloutKind::Caution),
        Just(CalloutKind::Note),
        severity().prop_map(CalloutKind::Verdict)
    ];
    let callout =
        (kind, option::of(words()), vec(text(), 0..3)).prop_map(|(kind, title, paragraphs)| Callout {
            kind,
            title,
            paragraphs,
        });
    let definition = (words(), text(), option::of(words()), option::of(origin())).prop_map(
        |(term, value, unit, origin)| Definition {
            term,
            value,
            unit,
            origin,
        },
    );
    let blank = (words(), any::<bool>(), option::of(words())).prop_map(|(label, long, unit)| Blank {
        label,
        length: if long {
            BlankLength::Long
        } else {
            BlankLength::Short
        },
        unit,
    });
    let marks = select(vec![
        ListMarks::Bullets,
        ListMarks::Numbers,
        ListMarks::CheckBoxes,
    ]);
    let level = select(vec![Level::Part, Level::Section, Level::Topic]);
    prop_oneof![
        (level, words()).prop_map(|(level, words)| Block::Heading(Heading { level, words })),
        text().prop_map(Block::Paragraph),
        callout.prop_map(Block::Callout),
        table().prop_map(Block::Table),
        vec(definition, 0..4).prop_map(Block::Definitions),
        finding().prop_map(Block::Finding),
        figure().prop_map(Block::Figure),
        vec(blank, 0..5).prop_map(|blanks| Block::FillIn(FillIn { blanks })),
        (marks, vec(text(), 0..4)).prop_map(|(marks, items)| Block::List(List { marks, items })),
        Just(Block::PageBreak),
    ]
}

/// Any document.
pub(crate) fn document() -> impl Strategy<Value = Document> {
    let head = (
        words(),
        vec(option::of(words()), 3),
        1_i16..=9999,
        1_i8..=12,
        vec((words(), words()), 0..5),
    )
        .prop_map(|(job, known, year, month, further)| {
            let mut head = Head::new(job, jiff::civil::date(year, month, 28));
            [head.revision, head.edition, head.prepared_by] =
                [known[0].clone(), known[1].clone(), known[2].clone()];
            further
                .into_iter()
                .fold(head, |head, (label, value)| head.fact(label, value))
        });
    let language = select(papers::words::Language::ALL.to_vec());
    (
        words(),
        option::of(words()),
        head,
        any::<bool>(),
        language,
        option::of(words()),
        vec(block(), 0..9),
    )
        .prop_map(
            |(title, subtitle, head, si, language, caution, blocks)| Document {
                title,
                subtitle,
                head,
                units: if si { UnitSystem::Si } else { UnitSystem::Us },
                language,
                caution,
                tight: si,
                blocks,
            },
        )
}
