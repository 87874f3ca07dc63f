//! Where the water and the heat of a run went.

use quantity::{Energy, Volume};

/// Heat and water of one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Water that came in.
    pub water_in: Volume,
    /// Water drawn.
    pub water_out: Volume,
    /// Heat that came in with it, above 0 °C.
    pub heat_in: Energy,
    /// Heat put in by heaters.
    pub heated: Energy,
    /// Heat drawn, above 0 °C.
    pub heat_out: Energy,
    /// Heat lost by pipes.
    pub lost_by_pipes: Energy,
    /// Heat lost by heaters.
    pub lost_by_heaters: Energy,
    /// Heat that pipes, walls and heaters hold more than before.
    pub stored: Energy,
    /// Events it took.
    pub events: u64,
}

impl Balance {
    /// What of the heat is unaccounted for, over all that came in, was put in and was held.
    pub fn residual(&self) -> f64 {
        let off = self.heat_in + self.heated
            - self.heat_out
            - self.lost_by_pipes
            - self.lost_by_heaters
            - self.stored;
        let whole = self.heat_in.as_joules().abs()
            + self.heated.as_joules().abs()
            + self.heat_out.as_joules().abs()
            + self.stored.as_joules().abs();
        if whole > 0.0 { off.as_joules() / whole } else { 0.0 }
    }
}
