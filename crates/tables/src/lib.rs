//! Published tables, embedded: pipes, conductors, fittings, water, climate, code tables by edition.
//!
//! In: a name or a size. Out: the published row with its source. Lookup and, where the table says so, interpolation; no
//! judgment, no job, no engine. Every table is a file under `data/` whose head names document, place and status; a
//! table without that head does not load (see [`table`]).

pub mod absent;
pub mod ampacity;
mod as_printed;
pub mod breaker;
pub mod cable;
pub mod center_tapped_transformer;
pub mod conductor;
pub mod conductor_impedance;
pub mod conduit;
pub mod demand;
pub mod draw_pattern;
pub mod dwelling_service;
pub mod fault_constant;
pub mod figures;
pub mod fitting;
pub mod fixture_flow;
pub mod flicker_curve;
pub mod flicker_limits;
pub mod grounding;
pub mod hardness;
pub mod iec_ampacity;
pub mod legionella;
pub mod metric_rules;
pub mod nec;
pub mod pipe;
pub mod push_fit;
mod row_source;
pub mod scald;
pub mod sourced;
pub mod table;
pub mod torque;
pub mod transformer_thermal;
mod unknown_size;
pub mod valve_opening;
pub mod velocity;
pub mod voltage;
pub mod water_parameter;

pub use unknown_size::UnknownSize;
pub mod climate;
