//! Service load of a dwelling by the methods of a code edition, line by line.
//!
//! In: floor area, circuits, nameplates with their kind and status, how the authority counts what the text leaves open,
//! supply and edition. Out: one [`LoadResult`] a method, with every line, factor and source. The methods: [`standard`]
//! (Part III), [`optional`] (220.82), [`existing`] (220.83), [`measured`] (220.87); beside them [`neutral`] and the raw
//! [`nameplate`] sum of what can run together.
//!
//! Code demand is not physical demand: a method may count 40 % of a heater that draws all of its rating for minutes.
//! Does not choose a method and does not say which one an authority accepts.

pub mod cooking;
pub mod existing;
mod general;
mod heater;
mod heating;
mod interlock;
mod ledger;
pub mod lighting;
pub mod measured;
pub mod nameplate;
pub mod neutral;
pub mod optional;
pub mod standard;

use crate::PowerError;
use crate::error::in_range;
use crate::supply::{LOAD_MAX_VA, Supply, line_current};
use quantity::{ApparentPower, Area, Current, Ratio};
use tables::breaker::standard_at_least;
use tables::figures::figures;
use tables::nec::NecEdition;
use tables::sourced::Sourced;
use trace::Source;

/// A dwelling as load calculations see it.
#[derive(Debug, Clone, PartialEq)]
pub struct Dwelling {
    /// Floor area by outside dimensions, without open porches, garages and unfinished spaces.
    pub floor_area: Area,
    /// Small-appliance circuits.
    pub small_appliance_circuits: u16,
    /// Laundry circuits.
    pub laundry_circuits: u16,
    /// Everything with a nameplate of its own.
    pub loads: Vec<Load>,
}

/// Kinds of load that the methods treat differently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadKind {
    /// Range, oven or cooktop.
    Cooking,
    /// Clothes dryer.
    Dryer,
    /// On-demand water heater.
    OnDemandHeater,
    /// Storage water heater.
    StorageHeater,
    /// Another appliance fastened in place.
    Fixed,
    /// A motor fastened in place, such as a well pump.
    Motor,
    /// Central electric space heating.
    CentralHeat,
    /// Separately controlled electric space heaters; the count is that of controls.
    RoomHeat,
    /// Air conditioning.
    Cooling,
    /// Heat pump compressor.
    HeatPump,
    /// Supplementary heat of a heat pump, which runs together with it.
    SupplementaryHeat,
    /// Electric vehicle supply equipment.
    VehicleCharger,
}

impl LoadKind {
    /// Heats or cools rooms.
    pub(crate) fn is_space(self) -> bool {
        matches!(
            self,
            Self::CentralHeat | Self::RoomHeat | Self::Cooling | Self::HeatPump | Self::SupplementaryHeat
        )
    }
}

/// Whether a load stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadStatus {
    /// Stands there and stays.
    Existing,
    /// Is added.
    Added,
    /// Is taken out; not counted.
    Removed,
}

/// A load.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Its name, unique in the list.
    pub name: String,
    /// Its kind.
    pub kind: LoadKind,
    /// Nameplate of one.
    pub nameplate: ApparentPower,
    /// How many alike.
    pub count: u16,
    /// Connected between line and neutral, so that it loads the neutral.
    pub line_to_neutral: bool,
    /// Whether it stands there.
    pub status: LoadStatus,
    /// Name of a set of loads of which an interlock lets one run at a time.
    pub interlock: Option<String>,
}

impl Load {
    /// Nameplate of all alike.
    pub fn connected(&self) -> ApparentPower {
        self.nameplate * f64::from(self.count)
    }
}

/// How the authority counts an on-demand heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HeaterCounting {
    /// Like any other appliance of the method, with its demand factor.
    WithAppliances,
    /// At full nameplate, outside any demand factor.
    FullNameplate,
    /// At 125 % of nameplate, outside any demand factor.
    Continuous125,
}

/// How the authority treats existing heating and cooling in 220.83(A), where none is added and the text is silent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HeatingPolicy {
    /// The larger of heating and cooling at full value: the cautious one.
    LargerAtFull,
    /// Among the appliances, under their demand factor; all of it.
    WithAppliances,
    /// Not at all.
    NotCounted,
}

/// What the authority decides where the text leaves it open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct LoadPolicy {
    /// On-demand heaters.
    pub heater: HeaterCounting,
    /// Existing heating and cooling in 220.83(A).
    pub existing_heating: HeatingPolicy,
}

/// Which method.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadMethod {
    /// Part III of Article 220.
    Standard,
    /// 220.82.
    Optional,
    /// 220.83(A): nothing that heats or cools is added.
    ExistingA,
    /// 220.83(B): heating or cooling is added.
    ExistingB,
    /// 220.87.
    Measured,
}

/// What a line belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LoadGroup {
    /// Lighting, small-appliance and laundry circuits.
    Lighting,
    /// Household cooking.
    Cooking,
    /// Dryers.
    Dryers,
    /// Appliances fastened in place.
    FixedAppliances,
    /// All that the optional methods throw together.
    General,
    /// Space heating and cooling.
    HeatingCooling,
    /// Vehicle charging.
    VehicleCharging,
    /// On-demand heaters counted by themselves.
    OnDemandHeater,
    /// Addition for the largest motor.
    LargestMotor,
    /// Measured maximum demand.
    MeasuredDemand,
}

/// What a line does in the sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LineRole {
    /// Goes into the subtotal below it.
    Item,
    /// A subtotal.
    Subtotal,
    /// A part of a subtotal with its factor; counts.
    Part,
    /// Counts by itself.
    Direct,
    /// Does not count, for the reason in the note.
    LeftOut,
}

/// One line of a load calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadLine {
    /// What it is, in words.
    pub label: String,
    /// What it belongs to.
    pub group: LoadGroup,
    /// What it does in the sum.
    pub role: LineRole,
    /// Volt-amperes before the factor.
    pub amount: ApparentPower,
    /// Factor.
    pub factor: Ratio,
    /// Volt-amperes after the factor.
    pub counted: ApparentPower,
    /// Why, where it is not plain.
    pub note: Option<&'static str>,
    /// The rule.
    pub source: &'static Source,
}

/// A load calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadResult {
    /// Its method.
    pub method: LoadMethod,
    /// Edition.
    pub edition: NecEdition,
    /// Its lines in order; those with role `Part` or `Direct` add up to the total.
    pub lines: Vec<LoadLine>,
    /// Calculated load.
    pub total: ApparentPower,
    /// Line current at the nominal voltage.
    pub current: Current,
    /// The method's article.
    pub source: &'static Source,
}

impl LoadResult {
    pub(crate) fn new(
        method: LoadMethod,
        edition: NecEdition,
        lines: Vec<LoadLine>,
        supply: &Supply,
        source: &'static Source,
    ) -> Result<Self, PowerError> {
        let total = lines
            .iter()
            .filter(|line| matches!(line.role, LineRole::Part | LineRole::Direct))
            .map(|line| line.counted)
            .sum();
        Ok(Self {
            method,
            edition,
            lines,
            total,
            current: line_current(supply, total)?,
            source,
        })
    }

    /// Held against the rating of a service or feeder.
    pub fn against(&self, rating: Current) -> LoadMargin {
        LoadMargin::of(self.current, rating)
    }

    /// The smallest standard rating of a service that carries it: not below the least of a one-family dwelling.
    pub fn smallest_service(&self) -> Result<Sourced<Current>, PowerError> {
        let least = figures(self.edition).service_minimum;
        if self.current <= least.value {
            return Ok(least);
        }
        Ok(standard_at_least(self.current, self.edition)?)
    }

    /// The lines of a group with a role, in order.
    pub fn lines_of(&self, group: LoadGroup, role: LineRole) -> impl Iterator<Item = &LoadLine> {
        self.lines
            .iter()
            .filter(move |line| line.group == group && line.role == role)
    }
}

/// A load against a rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadMargin {
    /// Calculated current.
    pub current: Current,
    /// Rating.
    pub rating: Current,
    /// Rating less current; negative when it does not fit.
    pub margin: Current,
    /// The current is not above the rating.
    pub fits: bool,
}

impl LoadMargin {
    pub(crate) fn of(current: Current, rating: Current) -> Self {
        let margin = rating - current;
        // 30 000 VA / 240 V is 125 A: the last binary digit of a division must not decide.
        let rounding = Current::from_amperes(1e-6);
        Self {
            current,
            rating,
            margin,
            fits: margin + rounding >= Current::zero(),
        }
    }
}

/// Refuses a dwelling whose figures lie outside what the methods take.
fn check_dwelling(dwelling: &Dwelling) -> Result<(), PowerError> {
    in_range(
        "floor area",
        dwelling.floor_area,
        Area::zero(),
        Area::from_square_feet(1e5),
    )?;
    for (what, found) in [
        ("small-appliance circuits", dwelling.small_appliance_circuits),
        ("laundry circuits", dwelling.laundry_circuits),
    ] {
        if found > CIRCUITS_MAX {
            return Err(PowerError::TooMany {
                what,
                found: usize::from(found),
                most: usize::from(CIRCUITS_MAX),
            });
        }
    }
    check_loads(&dwelling.loads)
}

/// More circuits of one kind than any dwelling has.
const CIRCUITS_MAX: u16 = 1000;

fn check_loads(loads: &[Load]) -> Result<(), PowerError> {
    let most = ApparentPower::from_volt_amperes(LOAD_MAX_VA);
    for load in loads {
        in_range("nameplate", load.nameplate, ApparentPower::zero(), most)?;
        in_range("connected load", load.connected(), ApparentPower::zero(), most)?;
    }
    Ok(())
}
