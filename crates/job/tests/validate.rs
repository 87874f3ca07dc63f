//! Validation by cases: a sound record, changed in one place, gives the expected problem at the expected place.
//!
//! A case is a text of the sound record, what stands there instead, and which problems must come of it, each as place
//! and a part of its message. No other problem may appear.

use job::{Job, validate};

const HOUSE: &str = include_str!("samples/house.toml");

/// Text found once, text in its place, expected problems.
type Case = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

/// Writes cases one to a line: what stands there => what stands there instead: place says part of message, …;
macro_rules! cases {
    ($($from:literal => $to:literal: $($at:literal says $text:literal),*;)+) => {
        [$(($from, $to, &[$(($at, $text)),*] as &[_])),+]
    };
}

fn problems_of(record: &str) -> Vec<(String, String)> {
    let job: Job = toml::from_str(record).unwrap_or_else(|error| panic!("the case is no record: {error}"));
    validate(&job)
        .into_iter()
        .map(|problem| (problem.at.0, format!("{}; {}", problem.message, problem.fix)))
        .collect()
}

fn check(cases: &[Case]) {
    let mut failures = Vec::new();
    for (from, to, expected) in cases {
        assert_eq!(
            HOUSE.matches(from).count(),
            1,
            "`{from}` must stand in the sound record once"
        );
        let found = problems_of(&HOUSE.replace(from, to));
        let fits = |((at, text), (wanted_at, wanted_text)): (&(String, String), &(&str, &str))| {
            at == wanted_at && text.contains(wanted_text)
        };
        if found.len() != expected.len() || !found.iter().zip(*expected).all(fits) {
            failures.push(format!("`{from}` -> `{to}` gives {found:#?}, not {expected:#?}"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn the_sound_record_has_no_problem() {
    assert_eq!(problems_of(HOUSE), []);
    assert_eq!(problems_of("schema = 1"), []);
}

#[test]
fn head_and_texts() {
    check(&cases! {
        "schema = 1" => "schema = 7": "schema" says "`7` is not the version";
        "Upstairs bath unit" => "Up\\u001bstairs": "about.title" says "`U+001B`, which does not print";
        "Upstairs bath unit" => "Up\\u202estairs": "about.title" says "`U+202E`";
        "D. Ferreira" => "": "about.customer" says "the customer is empty";
        "Side gate sticks." => "Side gate\\nsticks.":;
        "surveyed = \"2026-03-09\"" => "surveyed = \"0026-03-09\"": "about.surveyed" says "year lies outside";
        "supply verified dead" => " ": "work[0].step" says "is empty";
        "meter/larch.csv" => "../larch.csv": "meter.file" says "does not lie with the record";
        "meter/larch.csv" => "/etc/larch.csv": "meter.file" says "does not lie with the record";
        "meter/larch.csv" => "C:larch.csv": "meter.file" says "does not lie with the record";
        "\"USD\"" => "\"dollars\"": "prices.currency" says "`dollars` is not a currency code";
        "\"95.00\"" => "\"-95\"": "prices.labor_per_hour" says "less than `0`";
        "\"18.90\"" => "\"-1\"": "prices.items[1].price" says "a price is not negative";
        "\"40 A breaker\", per = \"each\"" => "\"8 AWG NM-B cable\", per = \"foot\"":
            "prices.items[1].item" says "already, as item 1";
    });
    let long = HOUSE.replace("Upstairs bath unit", &"bath ".repeat(200));
    let found = problems_of(&long);
    assert!(
        matches!(found.as_slice(), [(at, text)] if at == "about.title" && text.contains("more than the 500 that fit")),
        "{found:?}"
    );
}

#[test]
fn site_and_water_supply() {
    check(&cases! {
        "latitude = 39.76" => "latitude = 139.76": "site.latitude" says "more than `90`";
        "latitude = 39.76" => "latitude = nan": "site.latitude" says "`NaN`, which is not a number";
        "longitude = -84.19" => "longitude = -inf": "site.longitude" says "less than `-180`";
        "longitude = -84.19" => "": "site" says "`longitude` is missing";
        "latitude = 39.76" => "": "site" says "`latitude` is missing";
        "\"750 ft\"" => "\"75000 ft\"": "site.elevation" says "no town lies higher";
        "\"18 gpg\"" => "\"-1 gpg\"": "site.hardness" says "less than `0 gpg`";
        "\"41 °F\"" => "\"20 °F\"": "site.mains.coldest" says "water freezes there";
        "\"41 °F\"" => "\"80 °F\"": "site.mains.coldest" says "coldest `80 °F` is warmer than warmest `70 °F`";
        "static_pressure = \"62 psi\"" => "static_pressure = \"620 psi\"":
            "water.static_pressure" says "house plumbing would burst";
        "static_pressure = \"62 psi\"" => "static_pressure = \"40 psi\"":
            "water.flowing.pressure" says "above static pressure `40 psi`";
        "\"6 gpm\"" => "\"0 gpm\"": "water.flowing.flow" says "less than `0.1 gpm`";
        "\"2 gal\"" => "\"-2 gal\"": "water.expansion_tank.volume" says "less than";
        "entry = \"street\"" => "entry = \"stret\"": "water.entry" says "did you mean `street`?";
        "entry = \"street\"" => "": "water" says "`water.entry` does not say";
    });
}

#[test]
fn the_electrical_supply() {
    check(&cases! {
        "rating = \"200 A\"\nmeasured" => "rating = \"0 A\"\nmeasured":
            "service.rating" says "less than `15 A`: no house is supplied with less";
        "rating = \"200 A\"\nmeasured" => "rating = \"1000000 A\"\nmeasured":
            "service.rating" says "more than `1200 A`";
        "\"241 V\"" => "\"480 V\"":
            "service.measured_voltage" says "120/240 V system has 240 V between two legs";
        "\"241 V\"" => "\"121 V\"": "service.measured_voltage" says "not from a leg to neutral";
        "\"120/240 V\"" => "\"120/208 V\"":
            "service.measured_voltage" says "`120/240 V` would fit this reading";
        "houses = 5" => "houses = 0": "service.transformer.houses" says "at least this house";
        "\"1.9 %\"" => "\"1.9\"": "service.transformer.impedance" says "more than `15 %`";
        "length = \"85 ft\"" => "length = \"0 ft\"": "service.drop.length" says "less than `1 ft`";
        "conductor = \"4/0 AWG\", material = \"aluminum\"" => "conductor = \"14 AWG\", material = \"aluminum\"":
            "service.drop.conductor" says "no aluminum building wire is made in that size";
        "terminal_rating_c = 75\ninterrupting" => "terminal_rating_c = 90\ninterrupting":
            "service.panels[0].terminal_rating_c" says "60 or 75";
        "id = \"workshop\"" => "id = \"main\"": "service.panels[1].id" says "already the `id` of panel 1";
        "fed_from = \"main\"" => "fed_from = \"workshop\"":
            "service.panels[1].fed_from" says "panel `workshop` is fed from itself";
        "fed_from = \"main\"" => "fed_from = \"cellar\"":
            "service.panels[1].fed_from" says "names panel `cellar`, which the record does not have";
        "fed_from = \"main\"\nfeeder = { breaker = \"60 A\", conductor = \"6 AWG\", material = \"copper\", length = \"60 ft\", four_wire = true }" => "":
            "service.panels[1]" says "both have no `fed_from`";
        "id = \"main\"\nbus" => "id = \"main\"\nfed_from = \"workshop\"\nbus":
            "service.panels[0].fed_from" says "in a circle: `main` from `workshop` from `main`";
        "depth = \"40 in\"" => "depth = \"-1 in\"":
            "service.panels[0].working_space.depth" says "not negative";
    });
}

#[test]
fn spaces_of_a_panel() {
    check(&cases! {
        "spaces = 8" => "spaces = 65535": "service.panels[0].spaces" says "more than `120`";
        "spaces = 8" => "spaces = 4": "service.panels[0].breakers" says "have 5 poles, but it has 4 spaces";
        "spaces = 8" => "spaces = 8\nfree_spaces = 5":
            "service.panels[0].free_spaces" says "the breakers listed leave 3";
        "spaces = 8" => "spaces = 8\nfree_spaces = 3":;
        "free_spaces = 6" => "free_spaces = 13": "service.panels[1].free_spaces" says "`13` free spaces of 12";
        "at = [2, 4]" => "at = [3, 5]":
            "service.panels[0].breakers[1].at[0]" says "space `3` of panel `main` holds `range` already";
        "at = [2, 4]" => "at = [2]": "service.panels[0].breakers[1].at" says "2 poles but sits in 1 spaces";
        "at = [2, 4]" => "at = [2, 9]": "service.panels[0].breakers[1].at[1]" says "numbered 1 to 8";
        "at = [2, 4]" => "at = [0, 2]": "service.panels[0].breakers[1].at[0]" says "space `0`";
        "poles = 1 }" => "poles = 0 }": "service.panels[0].breakers[2].poles" says "less than `1`";
        "label = \"kitchen\"" => "label = \"\"": "service.panels[0].breakers[2].label" says "is empty";
        "rating = \"20 A\"" => "rating = \"20 kA\"":
            "service.panels[0].breakers[2].rating" says "more than `1200 A`";
    });
    // Half-size breakers share a space two by two, where the listing allows them.
    let halves = HOUSE
        .replace("half_size_allowed = false", "half_size_allowed = true")
        .replace("at = [2, 4]", "at = [1, 3]");
    assert_eq!(problems_of(&halves), []);
}

#[test]
fn other_loads() {
    check(&cases! {
        "\"1650 ft²\"" => "\"1650 in²\"": "loads.floor_area" says "no dwelling is that small";
        "small_appliance_circuits = 2" => "small_appliance_circuits = 65535":
            "loads.small_appliance_circuits" says "more than `40`";
        "power = \"11 kW\" }" => "}": "loads.appliances[0]" says "has no rating";
        "power = \"11 kW\"" => "power = \"11 kW\", volt_amperes = \"11 kVA\"":
            "loads.appliances[0].volt_amperes" says "has 2 ratings (`power`, `volt_amperes`)";
        "current = \"19 A\", voltage = \"240 V\"" => "current = \"19 A\"":
            "loads.appliances[1].current" says "a current but no voltage";
        "\"900 VA\"" => "\"0 VA\"": "loads.appliances[2].volt_amperes" says "less than `1 VA`";
        "\"900 VA\"" => "\"900 VA\", count = 0": "loads.appliances[2].count" says "leave the appliance out";
        "name = \"disposer\"" => "name = \"dis\\u0007poser\"": "loads.appliances[2].name" says "`U+0007`";
    });
}

#[test]
fn piping() {
    check(&cases! {
        "{ id = \"tank-in\" }" => "{ id = \"street\" }":
            "piping.junctions[2].id" says "already the `id` of junction 1",
            "piping.valves[0].to" says "names junction `tank-in`",
            "sources[1].inlet" says "names junction `tank-in`";
        "{ id = \"hot-1\" }" => "{ id = \"hot-1\" }, { id = \"\" }":
            "piping.junctions[5].id" says "of a junction is empty",
            "piping.junctions[5]" says "not joined to the water entry";
        "height = \"12 ft\" },\n]" => "height = \"12 mm\" },\n]":;
        "height = \"12 ft\" },\n]" => "height = \"1200 m\" },\n]":
            "piping.junctions[8].height" says "no house is that high";
        "length = \"30 ft\"" => "length = \"0 ft\"":
            "piping.pipes[1].length" says "length of pipe `C2` is `0 ft`, less than `1 in`";
        "length = \"30 ft\"" => "length = \"-30 ft\"": "piping.pipes[1].length" says "`-30 ft`";
        "length = \"30 ft\"" => "length = \"10000 m\"":
            "piping.pipes[1].length" says "`10000 m`, more than `2000 ft`";
        "elbow90 = 3" => "elbow90 = 65535": "piping.pipes[0].fittings" says "more than `200`";
        "insulation = \"1/2 in\"" => "insulation = \"1/2 ft\"":;
        "insulation = \"1/2 in\"" => "insulation = \"12 ft\"":
            "piping.pipes[2].insulation" says "no pipe insulation is that thick";
        "{ id = \"C2\"" => "{ id = \"C1\"": "piping.pipes[1].id" says "`C1` is already the `id` of pipe 1";
        "from = \"cold-1\", to = \"bath-cold\"" => "from = \"cold-1\", to = \"nowhere\"":
            "piping.pipes[1].to" says "pipe `C2` names junction `nowhere`";
        "from = \"cold-1\", to = \"bath-cold\"" => "from = \"cold-1\", to = \"cold-1\"":
            "piping.pipes[1].to" says "begins and ends at junction `cold-1`",
            "piping.junctions[8]" says "junction `bath-cold` is not joined to the water entry `street`, so no water reaches `shower`, `tub`";
        "from = \"hot-1\", to = \"unit-in\"" => "from = \"unit-in\", to = \"unit-in\"":
            "piping.valves[1].to" says "begins and ends";
        "from = \"cold-1\", to = \"tank-in\"" => "from = \"cold-1\", to = \"bath-cold\"":
            "piping.junctions[2]" says "junctions `tank-in`, `tank-out`, `hot-1`, `unit-in`, `unit-out` and 1 more are not joined";
        "{ tag = \"K1\"" => "{ tag = \"V3\"":
            "piping.valves[3].tag" says "`V3` hangs on valve 3 already",
            "piping.modes[0].closed[0]" says "check valve",
            "piping.modes[1].open[1]" says "check valve";
        "{ tag = \"V1\", from" => "{ tag = \"V1\", handle = \"L\", from":;
        "purpose = \"past the unit\" }" => "handle = \"L\" },\n  { tag = \"V4\", from = \"hot-1\", to = \"bath-hot\", kind = \"ball\", handle = \"L\" }":
            "piping.modes[1]" says "turns only one of valves `V3` and `V4`, which the handle `L`";
        "to = \"bath-hot\", kind = \"check\"" => "to = \"bath-hot\", kind = \"check\", handle = \"L\"":
            "piping.valves[3].handle" says "check valve and has no handle";
        "closed = [\"V3\"]" => "closed = [\"V2\"]":
            "piping.modes[0].closed[0]" says "`V2` both open and closed";
        "closed = [\"V3\"]" => "closed = [\"V7\"]": "piping.modes[0].closed[0]" says "names valve `V7`";
        "closed = [\"V3\"]" => "closed = [\"K1\"]": "piping.modes[0].closed[0]" says "is a check valve";
        "closed = [\"V3\"]" => "closed = [\"V3\", \"V3\"]": "piping.modes[0].closed[1]" says "`V3` twice";
        "energized = [\"tank\"]" => "energized = [\"boiler\"]":
            "piping.modes[1].energized[0]" says "names heater `boiler`";
        "name = \"tank alone\"" => "name = \"unit after tank\"":
            "piping.modes[1].name" says "already the name of mode 1";
    });
}

#[test]
fn fixtures_and_situations() {
    check(&cases! {
        "id = \"tub\"" => "id = \"the tub\"":
            "fixtures[1].id" says "spaces or signs",
            "together[1].fixtures[1]" says "names fixture `tub`";
        "cold = \"bath-cold\"\nrated_flow = \"2 gpm\"" => "cold = \"bath-hot\"\nrated_flow = \"2 gpm\"":
            "fixtures[0].cold" says "both hang on junction `bath-hot`";
        "hot = \"bath-hot\"\ncold = \"bath-cold\"\nrated_flow = \"5 gpm\"" => "rated_flow = \"5 gpm\"":
            "fixtures[1]" says "fixture `tub` is connected nowhere";
        "cold = \"bath-cold\"\nrated_flow = \"5 gpm\"" => "rated_flow = \"5 gpm\"":;
        "rated_flow = \"5 gpm\"" => "rated_flow = \"500 gpm\"":
            "fixtures[1].rated_flow" says "no house fixture runs that fast";
        "rated_pressure = \"80 psi\"" => "rated_pressure = \"800 psi\"":
            "fixtures[0].rated_pressure" says "more than `300 psi`";
        "use_temperature = \"105 °F\"" => "use_temperature = \"105 °C\"":
            "fixtures[0].use_temperature" says "more than `185 °F`";
        "uses_per_day = 3" => "uses_per_day = -3": "fixtures[0].uses_per_day" says "less than `0`";
        "use_time = \"8 min\"" => "use_time = \"8 h\"": "fixtures[0].use_time" says "more than `4 h`";
        "\"45 gal\"" => "\"100000 gal\"": "fixtures[1].fill_volume" says "no tub holds that much";
        "fixtures = [\"shower\"]" => "fixtures = []": "together[0].fixtures" says "names no fixture";
        "fixtures = [\"shower\", \"tub\"]" => "fixtures = [\"shower\", \"shower\"]":
            "together[1].fixtures[1]" says "names fixture `shower` twice";
        "fixtures = [\"shower\", \"tub\"]" => "fixtures = [\"shower\", \"tup\"]":
            "together[1].fixtures[1]" says "name one of `shower`, `tub`";
        "name = \"both\"" => "name = \"shower alone\"":
            "together[1].name" says "already the name of situation 1";
    });
}

#[test]
fn heaters() {
    check(&cases! {
        "set_point = \"115 °F\"" => "set_point = \"115 °C\"":
            "sources[0].set_point" says "more than `212 °F`: water boils there";
        "set_point = \"115 °F\"" => "set_point = \"-10 °C\"":
            "sources[0].set_point" says "below room temperature";
        "elements = [{ power = \"4.5 kW\", voltage = \"240 V\" }]" => "":
            "sources[1]" says "heater `tank` has no elements";
        "power = \"4.5 kW\"" => "power = \"1 W\"": "sources[1].elements[0].power" says "less than `100 W`";
        "power = \"4.5 kW\"" => "power = \"1000 kW\"": "sources[1].elements[0].power" says "more than `50 kW`";
        "{ power = \"4.5 kW\", voltage = \"240 V\" }" => "{ power = \"4.5 kW\", voltage = \"0 V\" }":
            "sources[1].elements[0].voltage" says "less than `100 V`";
        "{ power = \"4.5 kW\", voltage = \"240 V\" }" => "{ power = \"4.5 kW\", voltage = \"20 kV\" }":
            "sources[1].elements[0].voltage" says "more than `600 V`";
        "volume = \"50 gal\"" => "":;
        "volume = \"50 gal\"" => "volume = \"100000 gal\"":
            "sources[1].volume" says "no house tank is that large";
        "breaker_max = \"40 A\"" => "breaker_max = \"40 A\"\nvolume = \"50 gal\"":
            "sources[0].volume" says "stores next to nothing";
        "activation_flow = \"0.4 gpm\"" => "activation_flow = \"4.4 gpm\"":
            "sources[0].activation_flow" says "would never heat";
        "drop = \"3.5 psi\"" => "drop = \"0.5 psi\"":
            "sources[0].pressure_drop[1]" says "more flow costs more pressure";
        "inlet = \"tank-in\"\noutlet = \"tank-out\"" => "inlet = \"tank-in\"\noutlet = \"tank-in\"":
            "piping.junctions[3]" says "not joined",
            "sources[1].outlet" says "the same junction `tank-in`";
        "outlet = \"unit-out\"" => "": "sources[0]" says "joined at one end only: `outlet` is missing";
        "interlocked_with = \"tank\"" => "circuits_required = 0": "sources[0].circuits_required" says "needs one";
        "interlocked_with = \"tank\"" => "interlocked_with = \"unit\"":
            "sources[0].interlocked_with" says "interlocked with itself";
        "interlocked_with = \"tank\"" => "interlocked_with = \"boiler\"":
            "sources[0].interlocked_with" says "names heater `boiler`";
        "\"20 in\"" => "\"-20 in\"": "sources[0].plastic_pipe_distance" says "not negative";
    });
}

#[test]
fn circuits_and_cable_runs() {
    check(&cases! {
        "id = \"W2\"\nsource = \"unit\"" => "id = \"W2\"\nsource = \"boiler\"":
            "circuits[1].source" says "names heater `boiler`";
        "elements = [2]" => "elements = [3]": "circuits[1].elements[0]" says "which has 2, counted from 1";
        "elements = [2]" => "elements = [0]": "circuits[1].elements[0]" says "element `0`";
        "elements = [2]" => "elements = [2, 2]": "circuits[1].elements[1]" says "`2` twice";
        "elements = [2]" => "elements = [1]":
            "circuits[1].elements" says "hangs on circuit `W1` and on circuit `W2`";
        "elements = [2]" => "":
            "circuits[1].source" says "element `1` of heater `unit` hangs on circuit `W1` and on circuit `W2`";
        "route = \"up-the-chase\"" => "route = \"attic\"": "circuits[0].route" says "names cable run `attic`";
        "elements = [2]\npanel = \"main\"" => "elements = [2]\npanel = \"mian\"":
            "circuits[1].panel" says "did you mean `main`?";
        "conductor = \"8 AWG\"" => "conductor = \"7 AWG\"":
            "circuits[0].conductor" says "`8 AWG` and `6 AWG` are the next sizes made";
        "ground = \"10 AWG\"" => "ground = \"18 AWG\"": "circuits[0].ground" says "no copper building wire";
        "breaker = \"40 A\"\nconductor" => "breaker = \"0 A\"\nconductor":
            "circuits[0].breaker" says "less than `5 A`";
        "\"2 %\"" => "\"2\"": "circuits[0].drop_target" says "write percent";
        "id = \"T1\"" => "id = \"W1\"": "circuits[2].id" says "already the `id` of circuit 1";
        "length = \"12 ft\"" => "length = \"5000 m\"":
            "routes[0].segments[0].length" says "no cable of a house is that long";
        "ambient = \"86 °F\"" => "ambient = \"300 °F\"": "routes[0].segments[1].ambient" says "90 °C at most";
        "current_carrying = 4" => "current_carrying = 1":
            "routes[0].segments[1].current_carrying" says "out and back";
        "drop_target = \"2 %\"" => "splices = 200": "circuits[0].splices" says "no circuit of a house has so many";
        "slack = \"2 ft\"\nsegments = [\n  { space = \"basement\", length = \"12 ft\" },\n  { space = \"indoors\", length = \"20 ft\", ambient = \"86 °F\", current_carrying = 4 },\n]" => "segments = []":
            "routes[0].segments" says "no segments";
    });
}

#[test]
fn measurements() {
    check(&cases! {
        "at = \"shower\"" => "at = \"showr\"": "measurements[0].at" says "did you mean `shower`?";
        "flow = \"1.9 gpm\"\nhot_temperature = \"112 °F\"\nwait = \"22 s\"" => "":
            "measurements[0]" says "holds no reading";
        "hot_temperature = \"112 °F\"" => "hot_temperature = \"112 °C\"":
            "measurements[0].hot_temperature" says "water boils there";
        "\"bucket and watch\"\n" => "\"bucket and watch\"\n[observed.W1]\n\"circuit.sealed\" = \"\"\n[[measurements]]\nat = \"tub\"\n":
            "observed.W1.circuit.sealed" says "what was seen is empty", "measurements[0]" says "holds no reading";
        "wait = \"22 s\"" => "wait = \"22 h\"": "measurements[0].wait" says "more than `1 h`";
        "{ id = \"hot-1\" }" => "{ id = \"hot-1\" }, { id = \"shower\" }":
            "piping.junctions[5]" says "junction `shower` is not joined",
            "measurements[0].at" says "`shower` is a fixture and a junction";
    });
}

#[test]
fn a_hostile_list_is_refused_without_looking_at_its_items() {
    let pipe = "{ id = \"\", from = \"x\", to = \"y\", material = \"pex\", size = \"1/2 in\", length = \"-1 ft\" }, ";
    let found = problems_of(&format!("schema = 1\n[piping]\npipes = [{}]", pipe.repeat(5_000)));
    assert!(
        matches!(found.as_slice(), [(at, text)] if at == "piping.pipes" && text.contains("`5000` pipes")),
        "{found:?}"
    );
}
