//! Raceway fill and box fill.

use power::box_fill::{BoxContents, box_volume};
use power::conduit_fill::{ConductorCount, smallest_raceway};
use tables::conduit::Raceway;
use tables::nec::NecEdition;

#[test]
fn raceway_and_box_cases() {
    for case in checks::load("electrical/raceways_boxes.toml").cases {
        let count = |value: &dyn Fn() -> Option<i64>| usize::try_from(value().unwrap()).unwrap();
        if case.expected("volume_in3").is_some() {
            let size = case.given_text("size").parse().unwrap();
            let group = |name: &str| {
                vec![ConductorCount {
                    size,
                    count: count(&|| case.given[name].as_integer()),
                }]
            };
            let contents = BoxContents {
                conductors: group("conductors"),
                internal_clamps: case.given["clamps"].as_bool().unwrap(),
                grounds: group("grounds"),
                ..BoxContents::default()
            };
            for edition in NecEdition::ALL {
                let found = box_volume(&contents, edition).unwrap();
                case.close("volume_in3", found.total.as_cubic_inches());
            }
            continue;
        }
        let (sizes, counts) = (
            case.given["sizes"].as_array().unwrap(),
            case.given["counts"].as_array().unwrap(),
        );
        let conductors: Vec<ConductorCount> = sizes
            .iter()
            .zip(counts)
            .map(|(size, number)| ConductorCount {
                size: size.as_str().unwrap().parse().unwrap(),
                count: count(&|| number.as_integer()),
            })
            .collect();
        let found = smallest_raceway(Raceway::Emt, &conductors, false).unwrap();
        case.close("area_in2", found.conductors.as_square_inches());
        assert_eq!(
            Some(found.raceway.trade_size.as_str()),
            case.expected_text("trade_size"),
            "case {}",
            case.id
        );
        if case.expected("fill_percent").is_some() {
            case.close("fill_percent", found.fill.as_percent());
        }
    }
}
