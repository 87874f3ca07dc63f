//! Invented jobs for the one-line diagram: what tests, benchmark and gallery draw.

use drawings::one_line::{
    Branch, Breaker, Delivered, Element, Feeds, Metal, OneLine, Panel, Status, Supply, Tank, VoltageDrop,
    Wiring,
};
use drawings::title_block::TitleBlock;
use quantity::{ApparentPower, ConductorSize, Current, Length, Power, Ratio, UnitSystem, Voltage, Volume};

/// A two- or one-pole breaker.
pub(crate) fn breaker(poles: u8, amperes: f64, spaces: &str) -> Breaker {
    Breaker {
        poles,
        rating: Some(Current::from_amperes(amperes)),
        kind: String::new(),
        spaces: spaces.to_owned(),
        interrupting: Some(Current::from_kiloamperes(10.0)),
    }
}

/// Two hot conductors with a ground.
pub(crate) fn wiring(status: Status, size: i8, ground: i8, method: &str, feet: f64, volts: f64) -> Wiring {
    Wiring {
        status,
        hot_conductors: 2,
        size: Some(ConductorSize::Awg(size)),
        metal: Some(Metal::Copper),
        neutral: None,
        ground: Some(ConductorSize::Awg(ground)),
        method: method.to_owned(),
        length: Some(Length::from_feet(feet)),
        drop: Some(VoltageDrop {
            volts: Voltage::from_volts(volts),
            share: Ratio::from_fraction(volts / 240.0),
        }),
    }
}

/// A circuit to one 9 kW element.
pub(crate) fn element_circuit(tag: &str, heater: &str, number: usize, of: usize) -> Branch {
    Branch {
        tag: tag.to_owned(),
        name: format!("heater circuit {number}"),
        status: Status::New,
        breaker: breaker(2, 50.0, &format!("{}, {}", 4 * number + 1, 4 * number + 3)),
        wiring: Some(wiring(Status::New, 6, 10, "NM-B cable", 52.0, 1.9)),
        disconnect: None,
        feeds: Feeds::Element(Element {
            heater: heater.to_owned(),
            name: format!("element {number} of {of}"),
            rated: Power::from_kilowatts(9.0),
            rated_at: Voltage::from_volts(240.0),
            delivered: Some(Delivered {
                power: Power::from_kilowatts(8.62),
                voltage: Voltage::from_volts(234.9),
                current: Current::from_amperes(36.7),
            }),
        }),
    }
}

/// An existing circuit to something else.
pub(crate) fn other(name: &str, amperes: f64, spaces: &str) -> Branch {
    Branch {
        tag: String::new(),
        name: name.to_owned(),
        status: Status::Existing,
        breaker: breaker(2, amperes, spaces),
        wiring: None,
        disconnect: None,
        feeds: Feeds::Other(name.to_owned()),
    }
}

/// The old tank's circuit.
pub(crate) fn tank(status: Status) -> Branch {
    Branch {
        tag: "C-8".to_owned(),
        name: "storage tank".to_owned(),
        status,
        breaker: breaker(2, 30.0, "8, 10"),
        wiring: Some(wiring(status, 10, 10, "NM-B cable", 38.0, 2.0)),
        disconnect: Some("30 A, within sight of the tank".to_owned()),
        feeds: Feeds::Tank(Tank {
            name: "Old tank, hall closet".to_owned(),
            volume: Some(Volume::from_gallons(50.0)),
            rated: Some(Power::from_kilowatts(4.5)),
            rated_at: Some(Voltage::from_volts(240.0)),
        }),
    }
}

/// A feeder to a subpanel.
pub(crate) fn feeder(tag: &str, panel: Panel) -> Branch {
    let mut run = wiring(Status::New, 1, 6, "XHHW-2 in 1-1/4 in EMT", 64.0, 2.6);
    run.neutral = Some(ConductorSize::Awg(1));
    Branch {
        tag: tag.to_owned(),
        name: format!("feeder to {}", panel.name),
        status: Status::New,
        breaker: breaker(2, 125.0, "2, 4"),
        wiring: Some(run),
        disconnect: None,
        feeds: Feeds::Panel(Box::new(panel)),
    }
}

/// A subpanel.
pub(crate) fn subpanel(name: &str, branches: Vec<Branch>) -> Panel {
    Panel {
        name: name.to_owned(),
        place: "garage, east wall".to_owned(),
        status: Status::New,
        bus: Some(Current::from_amperes(125.0)),
        main_breaker: None,
        voltage: Some(Voltage::from_volts(236.8)),
        fault_current: Some(Current::from_kiloamperes(3.9)),
        grounding: "neutral bar isolated, equipment grounds on their own bar".to_owned(),
        branches,
    }
}

/// A 200 A service with the given branches.
pub(crate) fn service(branches: Vec<Branch>) -> OneLine {
    let mut drop = wiring(Status::Existing, -3, 4, "triplex overhead", 85.0, 2.1);
    drop.metal = Some(Metal::Aluminum);
    drop.neutral = Some(ConductorSize::Awg(0));
    drop.ground = None;
    let mut entrance = drop.clone();
    "SE cable".clone_into(&mut entrance.method);
    entrance.length = Some(Length::from_feet(18.0));
    entrance.drop = None;
    OneLine {
        title_block: TitleBlock {
            job: "Alder house: on-demand heater beside the old tank".to_owned(),
            place: "14 Millrace Lane, Anyfield".to_owned(),
            revision: "B".to_owned(),
            edition: "NFPA 70 (NEC) 2023".to_owned(),
            date: "14 March 2026".to_owned(),
            drawn_by: "R. Okafor, journeyman electrician".to_owned(),
        },
        units: UnitSystem::Us,
        supply: Supply {
            system: "120/240 V, single phase, 3-wire".to_owned(),
            transformer: Some(ApparentPower::from_kilovolt_amperes(25.0)),
            transformer_status: Status::Existing,
            service_drop: Some(drop),
            meter: "class 200".to_owned(),
            meter_status: Status::Existing,
            service_entrance: Some(entrance),
        },
        main: Panel {
            name: "Main panel".to_owned(),
            place: "garage, north wall".to_owned(),
            status: Status::Existing,
            bus: Some(Current::from_amperes(200.0)),
            main_breaker: Some(Breaker {
                interrupting: Some(Current::from_kiloamperes(22.0)),
                ..breaker(2, 200.0, "")
            }),
            voltage: Some(Voltage::from_volts(236.8)),
            fault_current: Some(Current::from_kiloamperes(7.4)),
            grounding: "neutral and ground bonded here; 4 AWG copper to water pipe and ground rods".to_owned(),
            branches,
        },
        notes: vec![
            "Voltages and delivered power are computed with all elements of the heater on and the service at its \
             nominal voltage."
                .to_owned(),
            "The tank circuit and the heater are interlocked; see the change-over card beside the valves.".to_owned(),
        ],
    }
}

/// The job most like those in the trade: three circuits to one heater, the tank kept.
pub(crate) fn typical() -> OneLine {
    service(vec![
        element_circuit("WH-1", "Heater H1, laundry", 1, 3),
        element_circuit("WH-2", "Heater H1, laundry", 2, 3),
        element_circuit("WH-3", "Heater H1, laundry", 3, 3),
        tank(Status::Existing),
        other("range", 50.0, "14, 16"),
        other("dryer", 30.0, "18, 20"),
        Branch {
            breaker: Breaker {
                poles: 1,
                ..breaker(1, 20.0, "")
            },
            ..other("14 lighting and receptacle circuits", 20.0, "")
        },
    ])
}

/// Six circuits over three panels, one inside another.
pub(crate) fn three_panels() -> OneLine {
    let inner = subpanel(
        "SP-2",
        vec![
            element_circuit("WH-5", "Heater H2, upper bath", 1, 2),
            element_circuit("WH-6", "Heater H2, upper bath", 2, 2),
        ],
    );
    let middle = subpanel(
        "SP-1",
        vec![
            element_circuit("WH-3", "Heater H1, laundry", 3, 4),
            element_circuit("WH-4", "Heater H1, laundry", 4, 4),
            feeder("F-2", inner),
            other("workshop", 20.0, "5, 7"),
        ],
    );
    service(vec![
        element_circuit("WH-1", "Heater H1, laundry", 1, 4),
        element_circuit("WH-2", "Heater H1, laundry", 2, 4),
        feeder("F-1", middle),
        tank(Status::Removed),
    ])
}

/// Names that try to break the sheet: long, right to left, emoji, markup, nothing at all.
pub(crate) fn ugly() -> OneLine {
    let long = "Hauptverteilung-Nebengebaeude/Waschkueche, ".repeat(5);
    let mut job = three_panels();
    job.title_block.job = format!("{long} {}", "x".repeat(200));
    "لوحة التوزيع الرئيسية 200 A في المرآب".clone_into(&mut job.main.name);
    "🔥👨‍👩‍👧 <b>garage</b> & \"shed\" \u{202E}reversed".clone_into(&mut job.main.place);
    "𝔤rounded \u{0} 水道管 へ接地".clone_into(&mut job.main.grounding);
    job.supply.transformer = None;
    job.supply.service_drop = None;
    job.supply.meter = "M".repeat(200);
    job.notes.push(String::new());
    job.notes.push(long.clone());
    for branch in &mut job.main.branches {
        branch.name = format!("{} 🚿 מטבח", branch.name);
        "GFCI with a very long remark that nobody asked for".clone_into(&mut branch.breaker.kind);
    }
    job.main.branches[0].name.clone_from(&long);
    job.main.branches[0].tag = "W".repeat(200);
    if let Feeds::Element(element) = &mut job.main.branches[0].feeds {
        element.heater = long;
        element.rated = Power::from_kilowatts(f64::NAN);
    }
    job.main.branches[1].wiring = None;
    job.main.branches[1].breaker.rating = None;
    job
}
