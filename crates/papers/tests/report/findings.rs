//! Findings and assumptions of the invented house; the rules are invented too.

use trace::{
    Assumption, Finding, Influence, Missing, Origin, Severity, Source, SourceStatus, Turn, Working,
    WorkingInput,
};

/// A finding with working.
fn finding(
    severity: Severity,
    rule: &str,
    subject: &str,
    title: &str,
    message: &str,
    result: &str,
) -> Finding {
    let asks = severity < Severity::Note;
    Finding {
        rule: rule.to_owned(),
        subject: subject.to_owned(),
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
                    meaning: "rated power of the elements on the circuit".to_owned(),
                    value: "9 kW".to_owned(),
                    origin: Origin::Entered,
                },
                WorkingInput {
                    symbol: "U".to_owned(),
                    meaning: "rated voltage of the elements".to_owned(),
                    value: "240 V".to_owned(),
                    origin: Origin::Entered,
                },
            ],
            formula: "I = P / U".to_owned(),
            substituted: "9 kW / 240 V = 37.5 A".to_owned(),
            result: result.to_owned(),
            turns: vec![Turn {
                symbol: "P".to_owned(),
                value: "9 kW".to_owned(),
                at: "9.6 kW".to_owned(),
                origin: Origin::Entered,
            }],
        },
        remedy: asks.then(|| "change what is named, then assess again".to_owned()),
        why: Some("The rule keeps heat inside what the material stands.".to_owned()),
        caution: (severity == Severity::Stop).then(|| "Do not energize while the valve is shut.".to_owned()),
        missing: Vec::new(),
    }
}

pub(super) fn findings() -> Vec<Finding> {
    let mut unknown = finding(
        Severity::Unknown,
        "heater.inlet-limit",
        "unit",
        "Inlet water stays below the heater's limit",
        "the largest inlet temperature on the label of `unit` is not known",
        "",
    );
    unknown.working = Working {
        formula: "T_in ≤ T_in,max".to_owned(),
        ..Working::default()
    };
    unknown.missing = vec![Missing {
        symbol: "T_in,max".to_owned(),
        meaning: "largest inlet temperature".to_owned(),
        measure: "read it on the data sheet of the heater".to_owned(),
    }];
    let met = [
        (
            "circuit.breaker-rating",
            "W1",
            "Breaker carries the load",
            "the breaker of `40 A` carries `37.5 A`",
            "37.5 A ≤ 40 A",
        ),
        (
            "circuit.breaker-rating",
            "W2",
            "Breaker carries the load",
            "the breaker of `40 A` carries `37.5 A`",
            "37.5 A ≤ 40 A",
        ),
        (
            "circuit.conductor-ampacity",
            "W1",
            "Conductor carries the load in its surroundings",
            "`6 AWG` carries `49.2 A`",
            "37.5 A ≤ 49.2 A",
        ),
        (
            "circuit.conductor-ampacity",
            "W2",
            "Conductor carries the load in its surroundings",
            "`6 AWG` carries `49.2 A`",
            "37.5 A ≤ 49.2 A",
        ),
        (
            "circuit.ground-size",
            "W1",
            "Equipment ground is large enough for its breaker",
            "`10 AWG` behind `40 A`",
            "10 AWG is at least 10 AWG",
        ),
        (
            "circuit.ground-size",
            "W2",
            "Equipment ground is large enough for its breaker",
            "`10 AWG` behind `40 A`",
            "10 AWG is at least 10 AWG",
        ),
        (
            "panel.spaces",
            "main",
            "Spaces for the new breakers",
            "`10` are free, `4` are needed",
            "4 ≤ 10",
        ),
        (
            "water.static-pressure",
            "supply",
            "Static pressure stays below the limit",
            "`64 psi` stand at the entry",
            "",
        ),
    ];
    let mut findings = vec![
        finding(
            Severity::Stop,
            "relief.path",
            "mode tank serves the house",
            "Heated water keeps a way to relief",
            "with `V4` shut and no relief valve at `unit`, its breakers can be on while it is closed in",
            "no way to relief",
        ),
        finding(
            Severity::Change,
            "service.load",
            "service",
            "Service carries the calculated load",
            "by the method part by part the load is `202.8 A` where the service is rated `150 A`",
            "202.8 A > 150 A",
        ),
        finding(
            Severity::Judge,
            "heater.listing",
            "unit",
            "Temperature control at the outlet is listed",
            "no listing for temperature control is given for `unit`; the far bath tub has no protection of its own",
            "no listing given",
        ),
        unknown,
        finding(
            Severity::Note,
            "service.voltage-step",
            "service",
            "Voltage step at the main panel",
            "the voltage sinks by `1.4 %` when the heater comes on; lights may show it",
            "1.4 %",
        ),
        finding(
            Severity::Note,
            "fixture.activation",
            "far bath basin",
            "Small flows start the heater",
            "in August the heater sees `0.29 gpm` and starts at `0.4 gpm`",
            "0.29 gpm < 0.4 gpm",
        ),
    ];
    findings.extend(met.map(|(rule, subject, title, message, result)| {
        finding(Severity::Met, rule, subject, title, message, result)
    }));
    findings
}

pub(super) fn assumptions() -> Vec<Assumption> {
    let assumption =
        |field: &str, subject: &str, value: &str, reason: &str, influence, measure: &str| Assumption {
            field: field.into(),
            subject: subject.to_owned(),
            value: value.to_owned(),
            reason: reason.to_owned(),
            influence,
            measure: measure.to_owned(),
            source: Source {
                document: "field practice".to_owned(),
                edition: None,
                place: None,
                status: SourceStatus::CommonPractice,
            },
        };
    vec![
        assumption(
            "fixtures[4].use_temperature",
            "temperature wanted at far bath tub",
            "104 °F",
            "people fill a tub a little cooler than they shower",
            Influence::High,
            "let the owner set the tap and read a thermometer",
        ),
        assumption(
            "sources[0].breaker_max",
            "largest breaker on the heater's label",
            "40 A",
            "the next standard rating above the load",
            Influence::High,
            "read the label of the heater",
        ),
        assumption(
            "service.transformer.houses",
            "houses on the transformer",
            "3",
            "a usual number; only used for the sag under load",
            Influence::Medium,
            "count the service drops at the pole",
        ),
        assumption(
            "piping.pipes[3].roughness",
            "wall of old copper pipe",
            "0.0015 mm",
            "drawn tubing as new",
            Influence::Low,
            "compare a measured flow with the one given here",
        ),
    ]
}
