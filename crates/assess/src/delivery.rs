//! The piping in one mode, and what it brings to each fixture: flow and pressure at the tap, velocity.
//!
//! In: the piping in one mode, pressures, the hot share. Out: [`Delivery`]. Start at [`Plumbing::delivery`]. The solved
//! network is in `hydraulics`; here it is built when first asked for, and an error becomes a gap. Water properties are
//! those of the coldest month on the cold side and of the set point on the hot side.

use crate::context::Context;
use crate::hydraulics::{Delivery, Hydraulics, Together, Wanted};
use crate::network::{ModeView, Network};
use job::Fixture;
use quantity::{GaugePressure, Ratio, Temperature};
use std::cell::RefCell;
use trace::RecordPath;
use water::heating::Heater;
use water::network::NetworkError;
use water::outlet::Outlet;
use water::{Water, WaterError};

/// The piping in one mode with its water.
pub(crate) struct Plumbing<'job> {
    context: &'job Context<'job>,
    pub(crate) network: Network<'job>,
    pub(crate) mode: ModeView,
    cold: Water,
    pressure: GaugePressure,
    hydraulics: RefCell<Option<Result<Option<Hydraulics>, String>>>,
}

impl<'job> Plumbing<'job> {
    pub(crate) fn new(
        context: &'job Context<'job>,
        mode: ModeView,
        coldest: Temperature,
    ) -> Result<Self, WaterError> {
        let job = context.job;
        let network = Network::in_mode(job, &mode);
        let pressure = job
            .water
            .regulator_setting
            .map_or(job.water.static_pressure, |setting| {
                Some(
                    job.water
                        .static_pressure
                        .map_or(setting, |pressure| pressure.min(setting)),
                )
            });
        let pressure = context
            .given
            .take(
                pressure,
                RecordPath::from("water.static_pressure"),
                "water.static_pressure",
            )
            .value;
        Ok(Self {
            context,
            network,
            mode,
            cold: Water::in_house(coldest)?,
            pressure,
            hydraulics: RefCell::new(None),
        })
    }

    /// The heater that serves `fixture`: energized ones first, then the first it reaches.
    pub(crate) fn heater_of(&self, fixture: &Fixture) -> Option<usize> {
        let feeding = self.network.feeding(fixture.hot.as_deref()?);
        let energized = feeding.iter().find(|index| self.mode.energized.contains(index));
        energized.or(feeding.first()).copied()
    }

    /// Flow and pressure at a fixture that runs alone; none without piping to it.
    pub(crate) fn delivery(
        &self,
        fixture: usize,
        outlet: Outlet,
        share: Ratio,
        set_point: Temperature,
    ) -> Option<Delivery> {
        let of = &self.context.job.fixtures[fixture];
        let heater = self.heater_of(of);
        let found = self.solved(|hydraulics| {
            hydraulics.alone(self.context.job, fixture, outlet, share, set_point, heater)
        });
        match found {
            Ok(delivery) => delivery.flatten(),
            Err(error) => {
                self.context.gap(of.id.clone(), "flow and pressure", error);
                None
            }
        }
    }

    /// Fixtures together, with the heaters that are energized; none without an entry of the supply.
    pub(crate) fn together(
        &self,
        cold: &Water,
        wanted: &[Wanted],
        heaters: &[(usize, Heater)],
    ) -> Result<Option<Together>, String> {
        self.solved(|hydraulics| hydraulics.together(self.context.job, cold, wanted, heaters))
    }

    /// Whether the mode energizes a heater.
    pub(crate) fn energizes(&self, source: usize) -> bool {
        self.mode.energized.contains(&source)
    }

    /// Runs the solved network, which is built when it is first asked for.
    fn solved<T>(
        &self,
        run: impl FnOnce(&mut Hydraulics) -> Result<T, NetworkError>,
    ) -> Result<Option<T>, String> {
        let mut built = self.hydraulics.borrow_mut();
        let hydraulics = built.get_or_insert_with(|| {
            Hydraulics::new(self.context, &self.network, &self.mode, self.cold, self.pressure)
                .map_err(|error| error.to_string())
        });
        match hydraulics {
            Ok(Some(hydraulics)) => run(hydraulics).map(Some).map_err(|error| error.to_string()),
            Ok(None) => Ok(None),
            Err(error) => Err(error.clone()),
        }
    }
}
