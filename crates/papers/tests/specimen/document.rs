//! A paper with every kind of block, for tests, the bench and the example. House, people and figures are invented, and
//! so are the rules: nothing here is to be built from.

use papers::document::{
    Blank, Block, Callout, CalloutKind, Column, Definition, Detail, Document, Figure, FillIn, FindingBlock,
    Head, Level, ListMarks, RowRole, Table, Text,
};
use trace::{Finding, Missing, Origin, Severity, Source, SourceStatus, Working, WorkingInput};

/// The specimen.
pub(crate) fn document() -> Document {
    let mut head = Head::new("Juniper Lane 14, second source", jiff::civil::date(2026, 3, 14))
        .fact("site", "14 Juniper Lane, ground floor and crawl space")
        .fact("owner", "R. Okafor");
    head.revision = Some("3".to_owned());
    head.edition = Some("specimen book, edition 2".to_owned());
    head.prepared_by = Some("M. Sandoval, crew 2".to_owned());

    let mut document = Document::new("Design review", head);
    document.subtitle =
        Some("On-demand heater beside the old tank; the tank stays as the second source".to_owned());
    for block in verdict()
        .into_iter()
        .chain(survey())
        .chain(findings())
        .chain(work())
    {
        document.push(block);
    }
    document
}

fn verdict() -> Vec<Block> {
    vec![
        Block::Callout(
            Callout::new(
                CalloutKind::Verdict(Severity::Change),
                Text::from("Two findings ask for a change before the circuit is pulled: the conductor of ")
                    .code("WH-2")
                    .plain(" and the missing expansion path while valve ")
                    .code("V3")
                    .plain(" is shut. Nothing else stands in the way."),
            )
            .titled("The design must change in two places"),
        ),
        Block::caution(
            "The line side of the main breaker stays live when the main is off. Lock the branch open, prove the tester, \
             test, prove the tester again.",
        ),
        Block::heading(Level::Part, "What was found on site"),
        Block::paragraph(
            Text::from("The service and the piping were surveyed on ")
                .emphasis("one visit")
                .plain(". Values that nobody could read are ")
                .strong("assumed")
                .plain(" and marked so; each of them can turn a finding."),
        ),
        Block::Definitions(vec![
            Definition::new("Service rating", "150")
                .unit("A")
                .origin(Origin::Entered),
            Definition::new("Voltage at the panel", "238")
                .unit("V")
                .origin(Origin::Measured),
            Definition::new("Coldest inlet water", "44")
                .unit("°F")
                .origin(Origin::Table),
            Definition::new("Static pressure", "62")
                .unit("psi")
                .origin(Origin::Measured),
            Definition::new("Run from panel to heater", "58")
                .unit("ft")
                .origin(Origin::Computed),
            Definition::new("Pipe in the wall", "3/4 in copper").origin(Origin::Assumed),
            Definition::new("Hardness", ""),
        ]),
    ]
}

fn survey() -> Vec<Block> {
    let mut loads = Table::new([
        Column::words("Circuit").share(3),
        Column::words("Fed by").share(2),
        Column::figures("Connected, VA"),
        Column::figures("Counted, VA"),
        Column::marks("Stays"),
    ])
    .captioned("Loads on the panel")
    .with_named_rows()
    .row_as(RowRole::Group, ["General"]);
    for (name, fed_by, connected, counted) in [
        ("Lighting and receptacles", "many", "6 300", "6 300"),
        ("Kitchen receptacles", "two circuits", "3 000", "3 000"),
        ("Laundry receptacle", "one circuit", "1 500", "1 500"),
        ("Bath receptacle", "one circuit", "1 500", "1 500"),
    ] {
        loads = loads.row([name, fed_by, connected, counted, "yes"]);
    }
    loads = loads.row_as(RowRole::Group, ["Fixed appliances"]);
    for (name, connected, stays) in [
        ("Range with oven", "8 000", "yes"),
        ("Dryer in the laundry", "5 000", "yes"),
        ("Dishwasher", "1 200", "yes"),
        ("Waste disposer under the kitchen sink", "900", "yes"),
        ("Refrigerator, receptacle of its own", "700", "yes"),
        ("Freezer in the garage", "600", "yes"),
        ("Microwave oven above the range", "1 500", "yes"),
        ("Bath heater, ceiling", "1 250", "no"),
        ("Second bath heater, ceiling", "1 250", "no"),
        ("Sump pump", "800", "yes"),
        ("Well pump, until the street main came", "1 500", "no"),
        ("Garage door", "550", "yes"),
        ("Workshop receptacles", "3 000", "yes"),
        ("Air handler", "600", "yes"),
        ("Outdoor unit, cooling", "3 800", "yes"),
        ("Strip heat, not counted beside cooling", "5 000", "yes"),
        ("Recirculation pump on the tank side", "90", "no"),
        ("Old tank, two elements, one at a time", "4 500", "yes"),
        ("Attic fan", "350", "yes"),
        (
            "Vehicle outlet in the carport, held back by the panel's own control while the heater draws",
            "7 200",
            "yes",
        ),
        ("Doorbell and controls", "60", "yes"),
    ] {
        loads = loads.row([name, "own circuit", connected, connected, stays]);
    }
    loads = loads
        .row_as(
            RowRole::Strong,
            ["On-demand heater", "own circuit", "9 000", "9 000", "new"],
        )
        .row_as(RowRole::Total, ["Sum", "", "69 150", "69 150", ""]);
    vec![
        Block::heading(Level::Section, "Loads"),
        Block::Table(loads),
        Block::heading(Level::Section, "Where the water goes"),
        Block::Figure(Figure {
            svg: SKETCH.to_owned(),
            caption: Some("Both sources and the valves between them".to_owned()),
            alt:
                "Cold supply through V1 to the tank and through V3 to the on-demand heater; both join at V4."
                    .to_owned(),
            lines: vec![
                "cold ──V1── tank ────────V2──┐".to_owned(),
                "   └───V3── on-demand ───V4──┴── hot".to_owned(),
            ],
        }),
    ]
}

fn findings() -> Vec<Block> {
    vec![
        Block::PageBreak,
        Block::heading(Level::Part, "Findings"),
        Block::paragraph(
            "Worst first. The rule ids lead to the rule book; the working stands with each finding.",
        ),
        Block::finding(finding(
            Severity::Stop,
            "relief.path",
            "Heated water keeps a way to relief",
            "with `V3` and `V4` shut the heater is full, closed on both sides, and its breaker can be on",
        )),
        Block::finding(finding(
            Severity::Change,
            "circuit.conductor-ampacity",
            "Conductor carries the load",
            "the conductor `10 AWG` carries `30 A` where at least `47 A` is wanted",
        )),
        Block::finding(finding(
            Severity::Judge,
            "panel.space",
            "Two circuits in one space",
            "the panel has `1` free space and the new circuit wants `2`; whether its label admits a half-size breaker \
             cannot be read from the photograph",
        )),
        Block::finding(finding(
            Severity::Unknown,
            "water.hardness",
            "Scale limits the set point",
            "the hardness of the water is not known",
        )),
        Block::Finding(FindingBlock {
            finding: finding(
                Severity::Note,
                "circuit.voltage-drop",
                "Voltage at the heater",
                "`4.1 V` are lost between panel and heater; it delivers `8.6 kW` of its rated `9.0 kW`",
            ),
            detail: Detail::Brief,
        }),
        Block::Finding(FindingBlock {
            finding: finding(
                Severity::Met,
                "breaker.rating",
                "Breaker protects the conductor",
                "a breaker of `50 A` stands before a conductor of `55 A`",
            ),
            detail: Detail::Brief,
        }),
    ]
}

/// A finding with everything a finding can have.
pub(crate) fn finding(severity: Severity, rule: &str, title: &str, message: &str) -> Finding {
    let missing = Missing {
        symbol: "H".to_owned(),
        meaning: "total hardness of the water".to_owned(),
        measure: "ask the supplier, or use a test strip at the kitchen tap".to_owned(),
    };
    Finding {
        rule: rule.to_owned(),
        subject: "circuit WH-2, panel to back hall".to_owned(),
        title: title.to_owned(),
        severity,
        message: message.to_owned(),
        edition: Some("specimen book, edition 2".to_owned()),
        source: Source {
            document: "Specimen book".to_owned(),
            edition: Some("edition 2".to_owned()),
            place: Some("table 4".to_owned()),
            status: SourceStatus::Memory,
        },
        working: Working {
            inputs: vec![
                WorkingInput {
                    symbol: "P".to_owned(),
                    meaning: "rated power of the heater at rated voltage".to_owned(),
                    value: "9.0 kW".to_owned(),
                    origin: Origin::Entered,
                },
                WorkingInput {
                    symbol: "U".to_owned(),
                    meaning: "rated voltage".to_owned(),
                    value: "240 V".to_owned(),
                    origin: Origin::Entered,
                },
                WorkingInput {
                    symbol: "k".to_owned(),
                    meaning: "factor for a load that stays on".to_owned(),
                    value: "1.25".to_owned(),
                    origin: Origin::Table,
                },
            ],
            formula: "I ≥ k · P ÷ U".to_owned(),
            substituted: "1.25 × 9.0 kW ÷ 240 V = 46.9 A".to_owned(),
            result: "30 A < 47 A".to_owned(),
            turns: Vec::new(),
        },
        remedy: (severity < Severity::Unknown).then(|| {
            "take the next conductor in the list, then check breaker and terminals again".to_owned()
        }),
        why: Some("A conductor that is too small grows hot inside the insulation around it.".to_owned()),
        caution: (severity == Severity::Stop).then(|| "Do not energize while the valve is shut.".to_owned()),
        missing: if severity == Severity::Unknown {
            vec![missing]
        } else {
            Vec::new()
        },
    }
}

fn work() -> Vec<Block> {
    vec![
        Block::heading(Level::Part, "Work and proof"),
        Block::heading(Level::Topic, "Before the cover comes off"),
        Block::list(
            ListMarks::CheckBoxes,
            [
                Text::from("Branch breaker off, locked and tagged"),
                Text::from("Tester proven on a known live point, conductors tested ")
                    .strong("dead")
                    .plain(", tester proven again"),
                Text::from("Heater filled and purged of air before it is energized"),
            ],
        ),
        Block::list(
            ListMarks::Numbers,
            [
                "Open V3, then V4.",
                "Run the kitchen tap until no air comes.",
                "Close V1 last.",
            ],
        ),
        Block::list(
            ListMarks::Bullets,
            ["Keep the tag of V3 legible.", "Leave this paper at the panel."],
        ),
        Block::heading(Level::Section, "Measured at hand-over"),
        Block::FillIn(FillIn {
            blanks: vec![
                Blank::short("Flow at the kitchen tap").unit("gpm"),
                Blank::short("Temperature there").unit("°F"),
                Blank::short("Volts under load").unit("V"),
                Blank::long("Measured by"),
            ],
        }),
        Block::Callout(
            Callout::new(
                CalloutKind::Note,
                "Predicted at 1.5 gpm: 108 °F, 37 A, 234 V at the terminals.",
            )
            .titled("What to expect"),
        ),
        Block::FillIn(FillIn {
            blanks: vec![
                Blank::long("Signature"),
                Blank::short("Date"),
                Blank::short("License"),
            ],
        }),
    ]
}

const SKETCH: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 210" width="640" height="210">
<g fill="none" stroke="#16191d" stroke-width="3">
<path d="M20 60H170M270 60H520M60 60V150H170M270 150H480V60"/>
<rect x="170" y="25" width="100" height="70"/><rect x="170" y="115" width="100" height="70"/>
<path d="M520 60h80m-12-7l12 7l-12 7"/></g>
<g fill="#ffffff" stroke="#16191d" stroke-width="2.5">
<path d="M106 50l28 20v-20l-28 20zM106 140l28 20v-20l-28 20zM366 50l28 20v-20l-28 20zM366 140l28 20v-20l-28 20z"/></g>
<g font-family="Libertinus Serif, serif" font-size="18" fill="#16191d" text-anchor="middle">
<text x="220" y="66">tank</text><text x="220" y="156">on-demand</text><text x="120" y="40">V1</text><text x="380" y="40">V2</text>
<text x="120" y="130">V3</text><text x="380" y="130">V4</text><text x="36" y="45">cold</text><text x="580" y="45">hot</text></g>
</svg>"##;
