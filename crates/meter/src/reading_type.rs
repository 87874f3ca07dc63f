//! What the numbers of a Green Button file count: unit, multiplier, direction, kind of accumulation.
//!
//! In: the codes of a reading type. Out: a [`Scale`] that turns a value into a mean power, or the reason why not.
//!
//! Source: NAESB ESPI schema, types `UnitSymbolKind`, `UnitMultiplierKind`, `FlowDirectionKind`, `AccumulationKind`,
//! `CommodityKind`: seen in bindings generated from the schema and in the sample files; accumulation codes 3, 9 and 12 and
//! commodity 2 from memory.

use crate::note::NoteKind;

/// Which way the energy went.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Flow {
    /// From the utility to the house.
    Delivered,
    /// From the house to the utility.
    Received,
    /// Delivered less received; may be below zero.
    Net,
    /// Delivered and received added.
    Both,
}

impl Flow {
    /// The word shown.
    pub fn word(self) -> &'static str {
        match self {
            Self::Delivered => "delivered to the house",
            Self::Received => "received from the house",
            Self::Net => "net: delivered less received",
            Self::Both => "delivered and received added",
        }
    }

    /// Nothing said counts as delivered, as older files have it.
    pub(crate) fn of_code(code: Option<i64>) -> Option<Self> {
        match code {
            None | Some(0 | 1) => Some(Self::Delivered),
            Some(4) => Some(Self::Net),
            Some(19) => Some(Self::Received),
            Some(20 | 21) => Some(Self::Both),
            Some(_) => None,
        }
    }
}

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measured {
    /// Real power, W.
    Real,
    /// Apparent power, VA.
    Apparent,
}

/// How a value becomes a mean power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// What is measured.
    pub measured: Measured,
    /// Watts (or VA) of one count; watt-hours (`VAh`) when `per_interval`.
    pub per_count: f64,
    /// The value is an amount over the interval, not a mean.
    pub per_interval: bool,
}

impl Scale {
    /// The mean power over an interval, in W or VA.
    pub(crate) fn mean(&self, value: i64, length_s: u32) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "values are far below 2^53")]
        let amount = value as f64 * self.per_count;
        if self.per_interval && length_s > 0 {
            amount * 3600.0 / f64::from(length_s)
        } else {
            amount
        }
    }
}

/// A reading type as written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct ReadingType {
    pub(crate) uom: Option<i64>,
    pub(crate) multiplier: Option<i64>,
    pub(crate) flow: Option<i64>,
    pub(crate) commodity: Option<i64>,
    pub(crate) accumulation: Option<i64>,
    pub(crate) default_quality: Option<i64>,
}

impl ReadingType {
    /// Scale and flow; or what kind of series it is instead, in words.
    pub(crate) fn scale(&self) -> Result<(Scale, Flow), (NoteKind, String)> {
        if !matches!(self.commodity, None | Some(0..=2)) {
            let code = self.commodity.unwrap_or_default();
            return Err((NoteKind::OtherQuantity, format!("commodity {code}")));
        }
        let (measured, per_interval) = match self.uom {
            Some(72) => (Measured::Real, true),
            Some(38) => (Measured::Real, false),
            Some(71) => (Measured::Apparent, true),
            Some(61) => (Measured::Apparent, false),
            Some(other) => return Err((NoteKind::OtherQuantity, format!("unit code {other}"))),
            None => return Err((NoteKind::NoType, "no unit".to_owned())),
        };
        if let Some(code @ (1..=3)) = self.accumulation {
            return Err((NoteKind::Register, format!("accumulation {code}")));
        }
        let exponent = self.multiplier.unwrap_or(0);
        let exponent = i32::try_from(exponent)
            .ok()
            .filter(|exponent| (-12..=12).contains(exponent))
            .ok_or_else(|| (NoteKind::Multiplier, format!("multiplier {exponent}")))?;
        let flow = Flow::of_code(self.flow).ok_or_else(|| {
            let code = self.flow.unwrap_or_default();
            (NoteKind::OtherQuantity, format!("flow direction {code}"))
        })?;
        let scale = Scale {
            measured,
            per_count: 10_f64.powi(exponent),
            per_interval,
        };
        Ok((scale, flow))
    }

    pub(crate) fn instantaneous(&self) -> bool {
        self.accumulation == Some(12)
    }
}
