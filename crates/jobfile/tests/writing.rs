//! What is written reads back to the same record, and the starter explains every field of the form.

use job::{Element, FittingKind, Job, Junction, Pipe};
use proptest::prelude::*;
use quantity::{GaugePressure, Length, Power, Voltage, VolumeFlow};

const HOUSE: &[u8] = include_bytes!("samples/version_1.job.toml");

fn read(text: &str) -> Job {
    jobfile::read("written", text.as_bytes())
        .unwrap_or_else(|unusable| panic!("{}\n{text}", unusable.plain()))
}

/// The stored sample, and the demo jobs, which are further samples.
fn jobs() -> Vec<Job> {
    let examples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut texts = vec![HOUSE.to_vec(), b"schema = 1".to_vec()];
    let mut files: Vec<_> = std::fs::read_dir(examples)
        .into_iter()
        .flatten()
        .flatten()
        .map(|file| file.path())
        .collect();
    files.sort();
    for file in files
        .into_iter()
        .filter(|file| file.to_string_lossy().ends_with(".job.toml"))
    {
        texts.push(std::fs::read(file).expect("an example can be read"));
    }
    texts
        .into_iter()
        .map(|text| read(std::str::from_utf8(&text).expect("text")))
        .collect()
}

#[test]
fn the_stored_record_of_every_version_opens() {
    let job = read(std::str::from_utf8(HOUSE).expect("text"));
    assert_eq!(job.schema, 1);
    assert_eq!(job.piping.pipes.len(), 4);
    assert_eq!(
        job.sources[0].elements[1].power,
        quantity::Power::from_kilowatts(8.0)
    );
}

#[test]
fn what_is_written_reads_back_to_the_same_record() {
    for job in jobs() {
        let text = jobfile::write(&job);
        assert_eq!(read(&text), job, "{text}");
        assert_eq!(
            jobfile::write(&read(&text)),
            text,
            "writing again changes nothing"
        );
        assert!(!text.contains('#'), "a record is written without remarks");
    }
}

#[test]
fn the_starter_reads_back_to_the_same_record() {
    for job in jobs() {
        let text = jobfile::starter(&job);
        assert_eq!(read(&text), job, "{text}");
    }
}

/// Takes the sign away from every line that can be brought to life.
fn brought_to_life(starter: &str) -> String {
    let lines = starter.lines().map(|line| match line.strip_prefix('#') {
        Some(rest) if !rest.is_empty() && !rest.starts_with(' ') => rest,
        _ => line,
    });
    lines.flat_map(|line| [line, "\n"]).collect()
}

#[test]
fn every_line_of_the_starter_fits_the_form_when_it_is_brought_to_life() {
    for job in jobs() {
        let text = brought_to_life(&jobfile::starter(&job));
        // Placeholders do not resolve, and two ratings at once contradict; but each line must have name and type right.
        if let Err(unusable) = jobfile::read("starter", text.as_bytes()) {
            assert_eq!(unusable.left_out, 0);
            for problem in &unusable.problems {
                let said = &problem.message;
                let of_form = [
                    "is no field",
                    "is no part",
                    "must be ",
                    "not TOML",
                    "twice",
                    "must be given",
                    "that this form knows",
                ];
                assert!(
                    !of_form.iter().any(|words| said.contains(words)),
                    "{}\n{text}",
                    problem.plain()
                );
            }
        }
    }
}

#[test]
fn the_starter_of_an_empty_record_names_every_field_of_the_form() {
    let text = brought_to_life(&jobfile::starter(&read("schema = 1")));
    let tree: toml::Table = text.parse().expect("TOML");
    let json = serde_json::to_value(&tree).expect("JSON");
    let schema = jobfile::schema();
    let mut missing = Vec::new();
    absent(&schema, &schema, &json, "", &mut missing);
    assert_eq!(missing, Vec::<String>::new());
}

/// Properties of `schema` that `value` does not show.
fn absent(
    root: &serde_json::Value,
    schema: &serde_json::Value,
    value: &serde_json::Value,
    at: &str,
    missing: &mut Vec<String>,
) {
    let schema = match schema["$ref"].as_str() {
        Some(path) => &root["$defs"][path.trim_start_matches("#/$defs/")],
        None => schema,
    };
    if schema["type"] == "array" {
        absent(root, &schema["items"], &value[0], &format!("{at}[]"), missing);
    }
    for (name, property) in schema["properties"].as_object().into_iter().flatten() {
        let at = format!("{at}.{name}");
        match value.get(name) {
            Some(value) => absent(root, property, value, &at, missing),
            None => missing.push(at),
        }
    }
}

/// A sound record with random values wherever a person writes one, and with random parts left out.
fn any_job() -> impl Strategy<Value = Job> {
    let texts = ("\\PC{1,60}", "[\\PC\n\t\"'\\\\]{0,120}");
    let numbers = (-90.0..90.0, -180.0..180.0, 0.1..200.0, 1.0..20.0, prop::bool::ANY);
    let pipes = prop::collection::vec((0.03..600.0, 0_u16..200, prop::option::of(0.0..0.15)), 1..12);
    let elements = prop::collection::vec((100.0..50_000.0, 100.0..600.0), 1..6);
    (texts, numbers, pipes, elements).prop_map(
        |((title, notes), (north, east, psi, flow, part), pipes, elements)| {
            let mut job = read(std::str::from_utf8(HOUSE).expect("text"));
            job.about.title = format!("{title}.");
            job.about.notes = Some(notes);
            (job.site.latitude, job.site.longitude) = (Some(north), Some(east));
            job.water.static_pressure = Some(GaugePressure::from_psi(psi + 50.0));
            job.fixtures[0].rated_flow = Some(VolumeFlow::from_liters_per_minute(flow));
            job.fixtures[0].uses_per_day = Some(flow * 3.0);
            let model = job.piping.pipes[3].clone();
            for (index, (length_m, elbows, insulation_m)) in pipes.into_iter().enumerate() {
                job.piping.junctions.push(Junction {
                    id: format!("new-{index}"),
                    height: Some(Length::from_meters(flow)),
                });
                job.piping.pipes.push(Pipe {
                    id: format!("N{index}"),
                    to: format!("new-{index}"),
                    length: Length::from_meters(length_m),
                    fittings: [(FittingKind::Elbow90, elbows)].into(),
                    insulation: insulation_m.map(Length::from_meters),
                    ..model.clone()
                });
            }
            let element = |(watts, volts)| Element {
                power: Power::from_watts(watts),
                voltage: Voltage::from_volts(volts),
            };
            job.sources[1].elements = elements.into_iter().map(element).collect();
            if part {
                (job.prices, job.meter) = (None, None);
                job.work.clear();
                job.measurements.clear();
            }
            job
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_sound_record_is_written_and_read_back(job in any_job()) {
        prop_assert_eq!(&read(&jobfile::write(&job)), &job);
        prop_assert_eq!(&read(&jobfile::starter(&job)), &job);
    }
}
