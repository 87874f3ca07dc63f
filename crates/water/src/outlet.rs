//! The flow a tap, shower or hose really takes at the end of a path, given the pressure at its beginning.
//!
//! In: a path, the supply pressure, how the outlet's flow follows pressure. Out: flow, flowing pressure at the outlet,
//! losses. Start at [`flow_at_outlet`]. Does not know what the outlet is or how two of them share a path.

use crate::error::{WaterError, within};
use crate::path::{Path, PathLoss};
use quantity::{GaugePressure, PressureDifference, VolumeFlow};

/// How the flow of an outlet follows the pressure at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outlet {
    /// Like an orifice: the flow goes with the square root of the pressure.
    Orifice {
        /// Flow at the rated pressure.
        rated_flow: VolumeFlow,
        /// The rated pressure.
        rated_pressure: GaugePressure,
    },
    /// Keeps its flow from a pressure on; below it an orifice that meets that point.
    Compensated {
        /// The flow it keeps.
        flow: VolumeFlow,
        /// The pressure from which it does.
        least_pressure: GaugePressure,
    },
}

impl Outlet {
    /// The flow at a pressure: Q = Q₁ √(p/p₁), no more than the kept flow; nothing without pressure.
    ///
    /// ```
    /// use quantity::{GaugePressure, VolumeFlow};
    /// use water::outlet::Outlet;
    /// let shower = Outlet::Orifice {
    ///     rated_flow: VolumeFlow::from_gallons_per_minute(2.5),
    ///     rated_pressure: GaugePressure::from_psi(80.0),
    /// };
    /// // A head for 2.5 gpm at 80 psi gives 1.875 gpm at 45 psi.
    /// assert!((shower.flow_at(GaugePressure::from_psi(45.0)).as_gallons_per_minute() - 1.875).abs() < 0.001);
    /// ```
    pub fn flow_at(&self, pressure: GaugePressure) -> VolumeFlow {
        let (flow, rated) = self.point();
        let share = (pressure / rated).max(0.0).sqrt();
        match self {
            Self::Orifice { .. } => flow * share,
            Self::Compensated { .. } => flow * share.min(1.0),
        }
    }

    /// A flow and the pressure at which the orifice law gives it.
    pub(crate) fn point(&self) -> (VolumeFlow, GaugePressure) {
        match *self {
            Self::Orifice {
                rated_flow,
                rated_pressure,
            } => (rated_flow, rated_pressure),
            Self::Compensated { flow, least_pressure } => (flow, least_pressure),
        }
    }

    pub(crate) fn checked(&self) -> Result<(VolumeFlow, GaugePressure), WaterError> {
        let (flow, pressure) = self.point();
        Ok((
            within("the rated flow of the outlet", flow, 0.001, 100.0, "gpm")?,
            within("the rated pressure of the outlet", pressure, 0.1, 300.0, "psi")?,
        ))
    }
}

/// What an outlet takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutletFlow {
    /// The flow, as the volume of the cold water that enters the path; nothing when the supply does not reach the outlet.
    pub flow: VolumeFlow,
    /// Pressure at the outlet while it flows; below zero when the supply does not reach it.
    pub flowing_pressure: GaugePressure,
    /// Where the pressure went.
    pub loss: PathLoss,
    /// What the pressures were left apart by.
    pub residual: PressureDifference,
    /// Steps taken.
    pub iterations: u32,
}

/// How hard the search tries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutletSettings {
    /// Pressures may stay apart by this much; default 1 Pa. Less costs a step or two, more moves the flow.
    pub residual_max: PressureDifference,
    /// Steps allowed; default 100. Six are usual; fewer than ten may refuse a path that has an answer.
    pub iterations_max: u32,
}

impl Default for OutletSettings {
    fn default() -> Self {
        Self {
            residual_max: PressureDifference::from_pascals(1.0),
            iterations_max: 100,
        }
    }
}

/// The flow an outlet takes at the end of a path.
///
/// ps − Δp(Q) = p₁ (Q/Q₁)², searched for Q by Newton's steps held inside a shrinking bracket
///
/// # Symbols
/// | here       | meaning                                      | kind            |
/// |------------|----------------------------------------------|-----------------|
/// | `path`     | Δp(Q), see [`Path::loss_at`]                  | `Path`          |
/// | `supply`   | ps, where the path begins                    | `GaugePressure` |
/// | `outlet`   | Q₁ at p₁                                     | `Outlet`        |
///
/// # Valid
/// Supply -15 to 300 psi, outlet rated 0.001 to 100 gpm at 0.1 to 300 psi, flow to 200 gpm.
/// # Outside
/// [`WaterError::OutOfRange`]; a search that does not end is [`WaterError::NotConverged`], never a number.
/// # Assumes
/// One outlet alone on the path. The supply keeps its pressure: put a falling one into the path as a device.
/// # Source
/// Orifice law (handbook of the project, section 3); both sides rise with Q, so there is exactly one answer.
/// # Example
/// ```
/// use quantity::{GaugePressure, Temperature, VolumeFlow};
/// use water::{Water, outlet::{Outlet, OutletSettings, flow_at_outlet}, path::Path};
/// let cold = Water::in_house(Temperature::from_fahrenheit(50.0))?;
/// let shower = Outlet::Orifice {
///     rated_flow: VolumeFlow::from_gallons_per_minute(2.5),
///     rated_pressure: GaugePressure::from_psi(80.0),
/// };
/// // Without any pipe the outlet takes what its own law says at 45 psi: 1.875 gpm.
/// let found = flow_at_outlet(&Path::new(cold, &[]), GaugePressure::from_psi(45.0), &shower, &OutletSettings::default())?;
/// assert!((found.flow.as_gallons_per_minute() - 1.875).abs() < 1e-6);
/// # Ok::<(), water::WaterError>(())
/// ```
pub fn flow_at_outlet(
    path: &Path,
    supply: GaugePressure,
    outlet: &Outlet,
    settings: &OutletSettings,
) -> Result<OutletFlow, WaterError> {
    let supply = within("the supply pressure", supply, -15.0, 300.0, "psi")?;
    let (rated_flow, rated_pressure) = outlet.checked()?;
    let density = path.inlet().density_kg_per_m3();
    let rated_kg_per_s = rated_flow.as_cubic_meters_per_second() * density;
    // What is left over the outlet's own need: falls with flow.
    let spare = |kg_per_s: f64| {
        let (loss, slope) = path.total_and_slope(kg_per_s);
        let share = kg_per_s / rated_kg_per_s;
        let needed = rated_pressure.as_pascals() * share * share;
        let needed_slope = 2.0 * rated_pressure.as_pascals() * share / rated_kg_per_s;
        (supply.as_pascals() - loss - needed, slope + needed_slope)
    };
    let at_rest = spare(0.0).0;
    let search = if at_rest <= 0.0 {
        Found {
            kg_per_s: 0.0,
            residual_pa: 0.0,
            iterations: 0,
        }
    } else if matches!(outlet, Outlet::Compensated { .. }) && spare(rated_kg_per_s).0 >= 0.0 {
        Found {
            kg_per_s: rated_kg_per_s,
            residual_pa: 0.0,
            iterations: 0,
        }
    } else {
        // Even a path without friction would pass no more than this.
        let most = rated_kg_per_s * (at_rest / rated_pressure.as_pascals()).sqrt();
        root(spare, most, settings)?
    };
    let flow = VolumeFlow::from_cubic_meters_per_second(search.kg_per_s / density);
    let loss = path.loss_at(flow)?;
    Ok(OutletFlow {
        flow,
        flowing_pressure: supply - loss.total(),
        loss,
        residual: PressureDifference::from_pascals(search.residual_pa),
        iterations: search.iterations,
    })
}

struct Found {
    kg_per_s: f64,
    residual_pa: f64,
    iterations: u32,
}

/// The zero of a falling function that is positive at 0 and not positive at `most`. `spare` gives the value and the
/// steepness of its fall.
fn root(
    spare: impl Fn(f64) -> (f64, f64),
    most: f64,
    settings: &OutletSettings,
) -> Result<Found, WaterError> {
    let close = settings.residual_max.as_pascals();
    let (mut low, mut high) = (0.0, most);
    let mut at = most;
    let mut residual_pa = f64::INFINITY;
    for iterations in 1..=settings.iterations_max {
        let (value, fall) = spare(at);
        residual_pa = value;
        if value.abs() <= close {
            return Ok(Found {
                kg_per_s: at,
                residual_pa,
                iterations,
            });
        }
        if value > 0.0 {
            low = at;
        } else {
            high = at;
        }
        let newton = at + value / fall;
        at = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
    }
    Err(WaterError::NotConverged {
        what: "the flow at the outlet",
        residual: residual_pa,
        unit: "Pa",
        iterations: settings.iterations_max,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loss_curve::LossCurve;
    use crate::path::{Part, Run};
    use crate::pipe::Pipe;
    use crate::properties::Water;
    use proptest::prelude::*;
    use quantity::{Length, Temperature};
    use tables::fitting::Fitting;
    use tables::pipe::PipeMaterial;

    fn cold() -> Water {
        Water::in_house(Temperature::from_fahrenheit(50.0)).unwrap()
    }

    fn run(size: &str, feet: f64, rise_ft: f64) -> Part {
        let pipe = Pipe::of(PipeMaterial::Pex, size.parse().unwrap(), Length::from_feet(feet)).unwrap();
        let run = Run::new(pipe, cold()).rising(Length::from_feet(rise_ft)).unwrap();
        Part::Run(
            run.with_fittings(size.parse().unwrap(), &[(Fitting::Elbow90, 4)])
                .unwrap(),
        )
    }

    fn shower(gpm: f64) -> Outlet {
        Outlet::Orifice {
            rated_flow: VolumeFlow::from_gallons_per_minute(gpm),
            rated_pressure: GaugePressure::from_psi(80.0),
        }
    }

    fn take(parts: &[Part], supply_psi: f64, outlet: &Outlet) -> OutletFlow {
        flow_at_outlet(
            &Path::new(cold(), parts),
            GaugePressure::from_psi(supply_psi),
            outlet,
            &OutletSettings::default(),
        )
        .unwrap()
    }

    #[test]
    fn orifice_law() {
        for case in &checks::load("water/orifice.toml").cases {
            let outlet = Outlet::Orifice {
                rated_flow: VolumeFlow::from_gallons_per_minute(case.given("rated_flow_gpm")),
                rated_pressure: GaugePressure::from_psi(case.given("rated_pressure_psi")),
            };
            let found = take(&[], case.given("pressure_psi"), &outlet);
            case.close("flow_gpm", found.flow.as_gallons_per_minute());
        }
    }

    #[test]
    fn a_supply_that_does_not_reach_gives_nothing() {
        let found = take(&[run("1/2 in", 30.0, 100.0)], 40.0, &shower(2.5));
        assert_eq!(found.flow, VolumeFlow::zero());
        assert!(found.flowing_pressure < GaugePressure::zero());
    }

    #[test]
    fn a_compensated_outlet_keeps_its_flow_until_it_cannot() {
        let outlet = Outlet::Compensated {
            flow: VolumeFlow::from_gallons_per_minute(1.8),
            least_pressure: GaugePressure::from_psi(25.0),
        };
        let parts = [run("1/2 in", 50.0, 5.0)];
        let (strong, stronger) = (take(&parts, 50.0, &outlet), take(&parts, 80.0, &outlet));
        assert_eq!(strong.flow, VolumeFlow::from_gallons_per_minute(1.8));
        assert_eq!(strong.flow, stronger.flow);
        let weak = take(&parts, 20.0, &outlet);
        assert!(weak.flow < strong.flow && weak.flow > VolumeFlow::zero());
        assert!((outlet.flow_at(weak.flowing_pressure) / weak.flow - 1.0).abs() < 1e-4);
        assert_eq!(
            outlet.flow_at(GaugePressure::from_psi(70.0)),
            VolumeFlow::from_gallons_per_minute(1.8)
        );
    }

    #[test]
    fn a_search_cut_short_is_an_error() {
        let settings = OutletSettings {
            iterations_max: 1,
            ..OutletSettings::default()
        };
        let parts = [run("1/2 in", 100.0, 0.0)];
        let result = flow_at_outlet(
            &Path::new(cold(), &parts),
            GaugePressure::from_psi(60.0),
            &shower(5.0),
            &settings,
        );
        assert!(
            matches!(result, Err(WaterError::NotConverged { iterations: 1, .. })),
            "{result:?}"
        );
    }

    #[test]
    fn nonsense_is_refused() {
        let path = Path::new(cold(), &[]);
        let settings = OutletSettings::default();
        for psi in [f64::NAN, -20.0, 400.0] {
            assert!(
                flow_at_outlet(&path, GaugePressure::from_psi(psi), &shower(2.5), &settings).is_err(),
                "{psi}"
            );
        }
        assert!(flow_at_outlet(&path, GaugePressure::from_psi(50.0), &shower(0.0), &settings).is_err());
    }

    proptest! {
        #[test]
        fn the_flow_found_satisfies_path_and_outlet(
            feet in 0.0_f64..300.0, rise_ft in -20.0_f64..30.0, supply_psi in 20.0_f64..100.0,
            gpm in 0.2_f64..10.0, heater_psi in 0.5_f64..15.0,
        ) {
            let heater = LossCurve::through(&[(VolumeFlow::from_gallons_per_minute(3.0), PressureDifference::from_psi(heater_psi))]).unwrap();
            let parts = [run("3/4 in", feet / 2.0, rise_ft), Part::Device(heater), run("1/2 in", feet / 2.0, 0.0)];
            let found = take(&parts, supply_psi, &shower(gpm));
            prop_assert!(found.iterations < 20, "{}", found.iterations);
            prop_assert!(found.residual.as_pascals().abs() <= 1.0);
            let by_outlet = shower(gpm).flow_at(found.flowing_pressure);
            prop_assert!((by_outlet / found.flow - 1.0).abs() < 1e-4, "{:?} {:?}", by_outlet, found.flow);
            // Supply = losses + flowing pressure, to the last digits.
            let closed = found.flowing_pressure + found.loss.total();
            prop_assert!((closed.as_psi() - supply_psi).abs() < 1e-9);
        }

        #[test]
        fn more_pipe_never_brings_more(feet in 1.0_f64..200.0, more in 0.1_f64..100.0, supply_psi in 10.0_f64..90.0) {
            let short = take(&[run("1/2 in", feet, 0.0)], supply_psi, &shower(2.5));
            let long = take(&[run("1/2 in", feet + more, 0.0)], supply_psi, &shower(2.5));
            // The residual of 1 Pa may move either by a few parts in a million.
            prop_assert!(long.flow <= short.flow * (1.0 + 1e-5));
        }
    }
}
