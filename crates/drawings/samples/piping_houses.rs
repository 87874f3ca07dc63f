//! Invented houses for the piping schematic: what tests, benchmark and gallery draw.

use drawings::one_line::Status;
use drawings::piping::{Device, Fixture, Flow, Pipe, Piping, Source, SourceSign, Valve, ValveSign, Water};
use drawings::title_block::TitleBlock;
use quantity::{Length, PipeSize, UnitSystem};

/// A pipe with water running in it.
pub(crate) fn pipe(tag: &str, from: &str, to: &str, water: Water, eighths: u8, feet: f64) -> Pipe {
    Pipe {
        tag: tag.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        water,
        status: Status::Existing,
        size: Some(PipeSize::InchEighths(eighths)),
        material: "copper type L".to_owned(),
        length: Some(Length::from_feet(feet)),
        flow: Flow::Forward,
    }
}

/// A shut-off valve.
pub(crate) fn valve(tag: &str, from: &str, to: &str, water: Water, name: &str) -> Valve {
    Valve {
        tag: tag.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        name: name.to_owned(),
        water,
        status: Status::New,
        ..Valve::default()
    }
}

fn fixture(tag: &str, name: &str, hot: Option<&str>, cold: Option<&str>) -> Fixture {
    Fixture {
        tag: tag.to_owned(),
        name: name.to_owned(),
        hot: hot.map(str::to_owned),
        cold: cold.map(str::to_owned),
    }
}

/// A heater added beside an old tank, the tank standing by.
pub(crate) fn two_sources() -> Piping {
    use Water::{Cold, Hot};
    let new = |pipe: Pipe| Pipe {
        status: Status::New,
        material: "PEX".to_owned(),
        ..pipe
    };
    let still = |pipe: Pipe| Pipe {
        flow: Flow::Still,
        ..pipe
    };
    Piping {
        title_block: TitleBlock {
            job: "Alder house: on-demand heater beside the old tank".to_owned(),
            place: "14 Millrace Lane, Anyfield".to_owned(),
            revision: "B".to_owned(),
            edition: "IPC 2021".to_owned(),
            date: "14 March 2026".to_owned(),
            drawn_by: "R. Okafor".to_owned(),
        },
        units: UnitSystem::Us,
        mode: "on-demand heater serves the house, tank isolated".to_owned(),
        entry: Some("street".to_owned()),
        pipes: vec![
            pipe("P1", "street", "m1", Cold, 8, 40.0),
            pipe("P2", "m2", "c1", Cold, 8, 6.0),
            pipe("P3", "c1", "c2", Cold, 6, 12.0),
            pipe("P4", "c1", "c3", Cold, 6, 18.0),
            pipe("P5", "c3", "kc", Cold, 4, 9.0),
            pipe("P6", "c3", "c4", Cold, 6, 14.0),
            pipe("P7", "c4", "bc", Cold, 4, 5.0),
            pipe("P8", "c4", "wc", Cold, 4, 7.0),
            pipe("P9", "c4", "sc", Cold, 4, 11.0),
            new(pipe("P10", "hv1", "h1in", Cold, 6, 3.0)),
            new(pipe("P11", "h1out", "hv3", Hot, 6, 3.0)),
            still(pipe("P12", "tv1", "t1in", Cold, 6, 4.0)),
            still(pipe("P13", "t1out", "tv3", Hot, 6, 4.0)),
            pipe("P14", "x1", "x2", Hot, 6, 16.0),
            pipe("P15", "x2", "kh", Hot, 4, 8.0),
            pipe("P16", "x2", "x3", Hot, 6, 13.0),
            pipe("P17", "x3", "bh", Hot, 4, 5.0),
            pipe("P18", "x3", "sh", Hot, 4, 12.0),
            pipe("P19", "c1", "hose", Cold, 4, 22.0),
        ],
        valves: vec![
            Valve {
                status: Status::Existing,
                ..valve("MV", "m1", "m2", Cold, "gate valve, house main")
            },
            valve("HC", "c2", "hv1", Cold, "ball valve, heater cold side"),
            valve("HH", "hv3", "x1", Hot, "ball valve, heater hot side"),
            Valve {
                closed: true,
                ..valve("TC", "c2", "tv1", Cold, "ball valve, tank cold side")
            },
            Valve {
                closed: true,
                ..valve("TH", "tv4", "x1", Hot, "ball valve, tank hot side")
            },
            Valve {
                sign: ValveSign::Check,
                ..valve("CK", "tv3", "tv4", Hot, "check valve, tank outlet")
            },
            Valve {
                normally_closed: true,
                closed: true,
                ..valve("BY", "c2", "x1", Cold, "bypass for flushing, locked")
            },
        ],
        sources: vec![
            Source {
                tag: "H1".to_owned(),
                name: "27 kW, laundry".to_owned(),
                sign: SourceSign::OnDemand,
                inlet: Some("h1in".to_owned()),
                outlet: Some("h1out".to_owned()),
                status: Status::New,
                energized: true,
            },
            Source {
                tag: "T1".to_owned(),
                name: "50 gal, hall closet".to_owned(),
                sign: SourceSign::Tank,
                inlet: Some("t1in".to_owned()),
                outlet: Some("t1out".to_owned()),
                status: Status::Existing,
                energized: false,
            },
        ],
        fixtures: vec![
            fixture("F1", "kitchen sink", Some("kh"), Some("kc")),
            fixture("F2", "bath lavatory", Some("bh"), Some("bc")),
            fixture("F3", "shower, thermostatic valve", Some("sh"), Some("sc")),
            fixture("F4", "toilet", None, Some("wc")),
            fixture("F5", "hose bibb", None, Some("hose")),
        ],
        devices: vec![
            Device {
                tag: "XT".to_owned(),
                name: "expansion tank".to_owned(),
                at: "t1in".to_owned(),
                water: Cold,
                status: Status::Existing,
            },
            Device {
                tag: "RV".to_owned(),
                name: "relief valve".to_owned(),
                at: "t1out".to_owned(),
                water: Hot,
                status: Status::Existing,
            },
            Device {
                tag: "FP".to_owned(),
                name: "flush port".to_owned(),
                at: "h1out".to_owned(),
                water: Hot,
                status: Status::New,
            },
        ],
        notes: vec!["The tank is drained and without power in the mode drawn.".to_owned()],
    }
}

/// A house of `bathrooms` bathrooms on two trunks with a heater at the root, every branch with its stop.
pub(crate) fn large(bathrooms: usize) -> Piping {
    use Water::{Cold, Hot};
    let mut house = Piping {
        entry: Some("street".to_owned()),
        ..two_sources()
    };
    house.pipes = vec![
        pipe("P1", "street", "c0", Cold, 8, 40.0),
        pipe("P2", "c0", "hin", Cold, 6, 5.0),
        pipe("P3", "hout", "h0", Hot, 6, 5.0),
    ];
    house.valves.clear();
    house.devices.clear();
    house.fixtures.clear();
    house.sources.truncate(1);
    house.sources[0].inlet = Some("hin".to_owned());
    house.sources[0].outlet = Some("hout".to_owned());
    for bath in 1..=bathrooms {
        let name = |letter: &str, at: usize| format!("{letter}{at}");
        let mut add = |from: String, to: String, water: Water, eighths: u8| {
            let tag = format!("P{}", house.pipes.len() + 1);
            house.pipes.push(pipe(&tag, &from, &to, water, eighths, 9.0));
        };
        add(name("c", bath - 1), name("c", bath), Cold, 6);
        add(name("h", bath - 1), name("h", bath), Hot, 6);
        for fixture in ["lav", "tub", "shower"] {
            add(name("c", bath), format!("{fixture}c{bath}"), Cold, 4);
            add(name("h", bath), format!("{fixture}h{bath}"), Hot, 4);
        }
        add(name("c", bath), format!("wc{bath}"), Cold, 4);
        for (tag, kind) in [("L", "lav"), ("B", "tub"), ("S", "shower")] {
            house.fixtures.push(fixture(
                &format!("{tag}{bath}"),
                &format!("{kind}, bathroom {bath}"),
                Some(&format!("{kind}h{bath}")),
                Some(&format!("{kind}c{bath}")),
            ));
        }
        let toilet = format!("wc{bath}");
        house
            .fixtures
            .push(fixture(&format!("W{bath}"), "toilet", None, Some(&toilet)));
    }
    house
}
