//! A pipe with what it loses to its surroundings.

use crate::error::WaterError;
use crate::pipe::Pipe;
use crate::standing_loss::{Insulation, heat_loss_per_length};
use quantity::{HeatLossPerLength, Temperature};
use tables::water_parameter::water_parameters;

/// A pipe, the air around it, and its heat loss with water moving and standing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeRun {
    /// The pipe.
    pub pipe: Pipe,
    /// Temperature around it.
    pub surroundings: Temperature,
    /// Heat lost while water runs; a laboratory sees a little more than standing.
    pub loss_moving: HeatLossPerLength,
    /// Heat lost while it stands.
    pub loss_standing: HeatLossPerLength,
}

impl PipeRun {
    /// A pipe in still air, its loss by the model of [`crate::standing_loss`], moving and standing alike.
    ///
    /// # Errors
    /// When the insulation is out of range.
    pub fn in_air(
        pipe: Pipe,
        insulation: Option<Insulation>,
        surroundings: Temperature,
    ) -> Result<Self, WaterError> {
        let loss = heat_loss_per_length(&pipe, insulation, water_parameters().surface_heat_transfer.value)?;
        Ok(Self {
            pipe,
            surroundings,
            loss_moving: loss,
            loss_standing: loss,
        })
    }
}
