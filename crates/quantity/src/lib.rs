//! Typed quantities: kinds kept apart, parsed from and printed as text with units.
//!
//! In: numbers with a unit named in the constructor (`Length::from_feet(50.0)`) or text a person wrote ("50 ft").
//! Out: values that only combine where physics and trade allow it, and text in the reader's unit system.
//! Start at [`kinds`]. Dimensions are checked by `uom` inside; no other crate sees it, so that kinds with the same
//! dimension (gauge and absolute pressure, temperature and temperature difference, W and VA) stay different types.
//!
//! Does not know pipes, circuits, tables or files. Never rounds a stored value: rounding happens in print only.
//!
//! ```
//! use quantity::{Length, Power, Temperature, UnitSystem, VolumeFlow};
//! let run: Length = "50 ft".parse()?;
//! assert!((run.as_meters() - 15.24).abs() < 1e-12);
//! let heat: Power = "9 kW".parse()?;
//! assert_eq!(heat.show(UnitSystem::Us).to_string(), "9 kW");
//! let flow: VolumeFlow = "0.5 gpm".parse()?;
//! assert_eq!(flow.show(UnitSystem::Si).to_string(), "1.89 L/min");
//! let rise = "120 °F".parse::<Temperature>()? - "50 degF".parse::<Temperature>()?;
//! assert_eq!(rise.show(UnitSystem::Us).to_string(), "70 °F");
//! # Ok::<(), quantity::ParseError>(())
//! ```
//!
//! Kinds do not mix, though their dimensions agree:
//! ```compile_fail
//! # use quantity::*;
//! let wrong: Power = ApparentPower::from_volt_amperes(1500.0);
//! ```
//! ```compile_fail
//! # use quantity::*;
//! let wrong: AbsolutePressure = GaugePressure::from_psi(55.0);
//! ```
//! ```compile_fail
//! # use quantity::*;
//! let wrong = Temperature::from_fahrenheit(120.0) + Temperature::from_fahrenheit(50.0);
//! ```

mod conductor_size;
mod kind;
pub mod kinds;
mod parse;
mod pipe_size;
mod print;
mod products;
mod text;

pub use conductor_size::ConductorSize;
pub use kind::{Kind, Unit, UnitSystem};
pub use kinds::*;
pub use parse::{ParseError, ParseProblem, parse_number};
pub use pipe_size::PipeSize;
pub use print::{Shown, number};
