//! Water engine: properties, pressure drop along paths, heat put into the flow, waits, mains temperature.
//!
//! In: plain quantities and the small structs defined here ([`Water`], [`pipe::Pipe`], [`path::Path`], …). Out: plain
//! quantities and result structs. Start at [`Water::at`] for water, [`path`] for pressure, [`heating`] for heat,
//! [`mixing`] for the tap.
//!
//! One convention everywhere: a volume flow is the volume of the **cold water at the inlet**, as a meter on the cold
//! side reads it, so that one number is one mass all along. Read literally, a 2.5 gpm shower at 105 °F carries 0.8 %
//! less mass than 2.5 gpm of cold water; taking it as cold asks for that much more power, the cautious side.
//!
//! Does not know jobs, houses or rules, gives no finding, reads no file. A poor
//! result is a number; only input outside a stated range and a search that fails are errors ([`WaterError`]).

pub mod activation;
pub mod draws;
mod error;
pub mod expansion;
pub mod friction;
pub mod heating;
mod if97;
mod loss_curve;
pub mod mains;
mod method;
pub mod mixing;
pub mod motion;
pub mod network;
pub mod outlet;
pub mod path;
pub mod pipe;
mod properties;
pub mod standing_loss;
mod transport;
pub mod tub;

pub use error::WaterError;
pub use loss_curve::LossCurve;
pub use method::Method;
pub use properties::Water;
