//! A heater of the record as it works in time: what the record gives, and usual figures for what it does not.
//!
//! In: a heater with its set point and real power. Out: the unit or tank that heat in motion takes. The usual figures are
//! named values of the tables; each is replaced when the record gives its own.

use crate::context::{Context, source_at};
use crate::heat::Boiler;
use job::SourceKind;
use quantity::{Power, Temperature, Volume};
use tables::water_parameter::water_parameters;
use water::motion::{Control, NodeId, OnDemandUnit, Plan, StandbyLoss, StorageTank, TankElement};

/// Either kind of heater.
pub(crate) enum Source {
    Unit(OnDemandUnit),
    Tank(StorageTank),
}

impl Source {
    pub(crate) fn of(context: &Context<'_>, boiler: &Boiler, around: Temperature) -> Self {
        let heater = &context.job.sources[boiler.index];
        let usual = water_parameters();
        let standby = |power: Power| StandbyLoss {
            power,
            difference: usual.standby_difference.value,
        };
        match boiler.kind {
            SourceKind::OnDemand => {
                let at = source_at(boiler.index).field("activation_flow");
                let activation = context
                    .given
                    .take(heater.activation_flow, at, "sources.activation_flow")
                    .value;
                // Half of the usual delay to see the flow, half to ramp up.
                let half = usual.heater_start_delay.value / 2.0;
                Self::Unit(OnDemandUnit {
                    set_point: boiler.set_point.value,
                    power: boiler.delivered,
                    control: Control::Modulating { least: Power::zero() },
                    activation_flow: activation,
                    drop_out_flow: activation * usual.drop_out_share.value.as_fraction(),
                    start_delay: half,
                    ramp: half,
                    thermal_volume: heater.volume.unwrap_or(usual.unit_thermal_volume.value),
                    standby: standby(usual.unit_standby_loss.value),
                    surroundings: around,
                })
            }
            SourceKind::Tank => {
                let at = source_at(boiler.index).field("volume");
                let volume: Volume = context.given.take(heater.volume, at, "sources.volume.tank").value;
                let simultaneous = heater.simultaneous.unwrap_or(false);
                let heights = [usual.tank_upper_element.value, usual.tank_lower_element.value];
                let share = if simultaneous { 0.5 } else { 1.0 };
                Self::Tank(StorageTank {
                    volume,
                    set_point: boiler.set_point.value,
                    dead_band: usual.tank_dead_band.value,
                    elements: heights
                        .map(|height| TankElement {
                            power: boiler.delivered * share,
                            height,
                        })
                        .to_vec(),
                    simultaneous,
                    standby: standby(usual.tank_standby_loss.value),
                    inlet_mixing: usual.tank_inlet_mixing.value,
                    surroundings: around,
                })
            }
        }
    }

    pub(crate) fn set_point(&self) -> Temperature {
        match self {
            Self::Unit(unit) => unit.set_point,
            Self::Tank(tank) => tank.set_point,
        }
    }

    pub(crate) fn put(&self, plan: &mut Plan, inlet: NodeId, outlet: NodeId) {
        match self {
            Self::Unit(unit) => plan.unit(inlet, outlet, *unit),
            Self::Tank(tank) => plan.tank(inlet, outlet, tank.clone()),
        };
    }
}
