//! An element circuit by the metric wiring rules: breaker, conductor, protective conductor, voltage drop.
//!
//! In: elements, nominal voltage, the run in stretches with their installation methods, insulation. Out: the parts with
//! their working. Start at [`metric_circuit`]. Rules of a country that differ from the international ones are not carried,
//! nor is protection against electric shock: disconnection times and residual-current devices are for a person.

use crate::PowerError;
use crate::conductor_run::{ConductorRun, conductor_impedance};
use crate::element::{Element, voltage_in_range};
use crate::error::in_range;
use crate::longest_length::target_in_range;
use quantity::{ConductorSize, Current, Length, Ratio, Temperature, Voltage};
use tables::conductor::ConductorMaterial;
use tables::conductor_impedance::Surrounding;
use tables::iec_ampacity::{
    InstallationMethod, Insulation, iec_ambient_factor, iec_ampacity, iec_grouping_factor, iec_sizes,
};
use tables::metric_rules::{protective_conductor, standard_metric_at_least};
use tables::sourced::Sourced;
use trace::Source;

/// A stretch of a run in one surrounding.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricStretch {
    /// Where it is, in words.
    pub label: String,
    /// How it is installed there.
    pub method: InstallationMethod,
    /// Length along the run.
    pub length: Length,
    /// Hottest temperature of air or ground.
    pub ambient: Temperature,
    /// Circuits bunched together there, this one included.
    pub circuits: u16,
}

/// What a circuit has to do, and where it runs.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricRequest {
    /// Elements on it, all on together, between the same two conductors.
    pub elements: Vec<Element>,
    /// Nominal voltage between those conductors.
    pub nominal: Voltage,
    /// Metal.
    pub material: ConductorMaterial,
    /// Insulation.
    pub insulation: Insulation,
    /// The run from panel to heater.
    pub run: Vec<MetricStretch>,
    /// Largest voltage drop wanted, as a share of the nominal voltage.
    pub drop_target: Ratio,
}

/// A stretch with its working.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricWorking {
    /// Where it is.
    pub label: String,
    /// How it is installed.
    pub method: InstallationMethod,
    /// Tabulated ampacity.
    pub base: Sourced<Current>,
    /// Factor for the ambient temperature.
    pub ambient: Sourced<Ratio>,
    /// Factor for circuits together.
    pub grouping: Sourced<Ratio>,
    /// What it carries there.
    pub ampacity: Current,
}

/// A circuit by the metric rules.
#[derive(Debug, Clone, PartialEq)]
pub struct MetricCircuit {
    /// Design current Ib.
    pub design: Current,
    /// Breaker In.
    pub breaker: Sourced<Current>,
    /// Smallest conductor whose ampacity is not below the breaker.
    pub conductor: ConductorSize,
    /// Its ampacity Iz, that of the worst stretch.
    pub ampacity: Current,
    /// The working of every stretch.
    pub stretches: Vec<MetricWorking>,
    /// Smallest conductor from there up that meets the drop target, if one does.
    pub for_drop: Option<ConductorSize>,
    /// Protective conductor for the larger of both.
    pub protective: Sourced<ConductorSize>,
    /// Drop with the larger of both at the design current, conductors at the insulation's temperature.
    pub drop: Ratio,
    /// One-way length.
    pub length: Length,
    /// Where ampacities come from.
    pub source: &'static Source,
}

/// Designs a circuit by the metric rules.
///
/// Ib ≤ In ≤ Iz, with Iz = It · ka · kg in the worst stretch; drop = 2 · Ib · L · (r · 1 + x · 0) / U
///
/// # Symbols
/// | here      | meaning                                                 | unit |
/// |-----------|---------------------------------------------------------|------|
/// | `request` | elements, voltage U, run of length L, insulation, target | –, V, m |
/// | It, ka, kg | tabulated ampacity, factors for ambient and grouping   | A, –, – |
/// | result    | breaker In, conductor, protective conductor, drop       | A, –, –, – |
///
/// # Valid
/// 1 V to 1000 V; 1.5 mm² to 300 mm²; breakers 6 A to 125 A; up to 10 km.
/// # Outside
/// [`PowerError`].
/// # Assumes
/// Two loaded conductors; circuit breakers whose conventional tripping current is 1.45 In, so that In ≤ Iz covers
/// overload too; unity power factor, so reactance does not count.
/// # Source
/// IEC 60364-4-43, 433.1 (memory); ampacities IEC 60364-5-52, Annex B: seen transcribed; ratings IEC 60898 and
/// protective conductors IEC 60364-5-54, Table 54.2: seen transcribed.
/// # Example
/// ```
/// use power::element::Element;
/// use power::metric_circuit::{MetricRequest, MetricStretch, metric_circuit};
/// use quantity::{Length, Power, Ratio, Temperature, Voltage};
/// use tables::{conductor::ConductorMaterial, iec_ampacity::{Insulation, InstallationMethod}};
/// let volts = Voltage::from_volts(230.0);
/// let found = metric_circuit(&MetricRequest {
///     elements: vec![Element::new(Power::from_kilowatts(7.2), volts)?], nominal: volts,
///     material: ConductorMaterial::Copper, insulation: Insulation::Pvc,
///     run: vec![MetricStretch {
///         label: "wall".into(), method: InstallationMethod::C, length: Length::from_meters(15.0),
///         ambient: Temperature::from_celsius(30.0), circuits: 1,
///     }],
///     drop_target: Ratio::from_percent(5.0),
/// })?;
/// // 31.3 A: 32 A breaker; Table B.52.2, method C: 4 mm² has 36 A.
/// assert!((found.breaker.value.as_amperes() - 32.0).abs() < 1e-9);
/// assert_eq!((found.conductor.to_string(), found.protective.value.to_string()), ("4 mm²".into(), "4 mm²".into()));
/// # Ok::<(), power::PowerError>(())
/// ```
pub fn metric_circuit(request: &MetricRequest) -> Result<MetricCircuit, PowerError> {
    if request.elements.is_empty() || request.run.is_empty() {
        return Err(PowerError::Nothing {
            what: "element or stretch of the circuit",
        });
    }
    let nominal = voltage_in_range("nominal voltage", request.nominal)?;
    let target = target_in_range(request.drop_target)?;
    let design: Current = request
        .elements
        .iter()
        .map(|element| nominal / element.resistance())
        .sum();
    let length = request
        .run
        .iter()
        .map(|stretch| {
            in_range(
                "length of a stretch",
                stretch.length,
                Length::zero(),
                Length::from_meters(1e4),
            )
        })
        .sum::<Result<Length, _>>()?;
    let breaker = standard_metric_at_least(design)?;
    let mut chosen = None;
    for size in iec_sizes(request.material) {
        let stretches = workings(request, size)?;
        let ampacity = stretches
            .iter()
            .map(|working| working.ampacity)
            .fold(Current::from_kiloamperes(1e3), Current::min);
        if ampacity >= breaker.value {
            chosen = Some((size, ampacity, stretches));
            break;
        }
    }
    let (conductor, ampacity, stretches) = chosen.ok_or_else(|| PowerError::NoConductor {
        material: request.material.to_string(),
        largest: "300 mm²".to_owned(),
        why: format!("the breaker is {}", breaker.value.show_in("A")),
    })?;
    let drop_of = |size| drop(request, size, length, design);
    let mut for_drop = None;
    for size in iec_sizes(request.material).filter(|size| size.area() >= conductor.area()) {
        if drop_of(size)? <= target {
            for_drop = Some(size);
            break;
        }
    }
    let larger = for_drop.unwrap_or(conductor);
    Ok(MetricCircuit {
        design,
        breaker,
        conductor,
        ampacity,
        source: stretches[0].base.source,
        stretches,
        for_drop,
        protective: protective_conductor(larger)?,
        drop: drop_of(larger)?,
        length,
    })
}

fn workings(request: &MetricRequest, size: ConductorSize) -> Result<Vec<MetricWorking>, PowerError> {
    request
        .run
        .iter()
        .map(|stretch| {
            let base = iec_ampacity(size, request.material, request.insulation, 2, stretch.method)?;
            let ambient = iec_ambient_factor(stretch.ambient, request.insulation, stretch.method)?;
            let grouping = iec_grouping_factor(stretch.circuits)?;
            Ok(MetricWorking {
                label: stretch.label.clone(),
                method: stretch.method,
                ampacity: base.value * ambient.value.as_fraction() * grouping.value.as_fraction(),
                base,
                ambient,
                grouping,
            })
        })
        .collect()
}

/// Drop out and back over the nominal voltage.
fn drop(
    request: &MetricRequest,
    size: ConductorSize,
    length: Length,
    design: Current,
) -> Result<Ratio, PowerError> {
    let line = conductor_impedance(&ConductorRun {
        size,
        material: request.material,
        length,
        surrounding: Surrounding::Nonmetallic,
        temperature: request.insulation.temperature(),
    })?;
    Ok(Ratio::from_fraction(
        (line.resistance * 2.0 * design) / request.nominal,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Power;

    fn request(kilowatts: f64, method: InstallationMethod, meters: f64, circuits: u16) -> MetricRequest {
        let volts = Voltage::from_volts(230.0);
        MetricRequest {
            elements: vec![Element::new(Power::from_kilowatts(kilowatts), volts).unwrap()],
            nominal: volts,
            material: ConductorMaterial::Copper,
            insulation: Insulation::Pvc,
            run: vec![MetricStretch {
                label: "run".into(),
                method,
                length: Length::from_meters(meters),
                ambient: Temperature::from_celsius(30.0),
                circuits,
            }],
            drop_target: Ratio::from_percent(3.0),
        }
    }

    #[test]
    fn surroundings_and_length_ask_for_more() {
        let size = |request: &MetricRequest| metric_circuit(request).unwrap().conductor.to_string();
        // 40 A breaker: method C 6 mm² (46 A), method A2 10 mm² (43 A); two circuits together 46 · 0.8 = 36.8 A do not do.
        assert_eq!(size(&request(8.5, InstallationMethod::C, 10.0, 1)), "6 mm²");
        assert_eq!(size(&request(8.5, InstallationMethod::A2, 10.0, 1)), "10 mm²");
        assert_eq!(size(&request(8.5, InstallationMethod::C, 10.0, 2)), "10 mm²");
        let far = metric_circuit(&request(8.5, InstallationMethod::C, 60.0, 1)).unwrap();
        assert!(far.for_drop.unwrap().area() > far.conductor.area());
        assert!(far.drop <= Ratio::from_percent(3.0));
    }

    #[test]
    fn what_is_too_large_is_refused() {
        // 30 kW on 230 V is 130 A; ratings end at 125 A.
        assert!(metric_circuit(&request(30.0, InstallationMethod::C, 10.0, 1)).is_err());
        let mut empty = request(8.0, InstallationMethod::C, 10.0, 1);
        empty.run.clear();
        assert!(metric_circuit(&empty).is_err());
    }
}
