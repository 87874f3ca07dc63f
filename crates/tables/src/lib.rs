//! Published tables, embedded: pipes, conductors, fittings, water, climate, code tables by edition.
//!
//! In: a name or a size. Out: the published row with its source. Lookup and, where the table says so, interpolation; no
//! judgment, no job, no engine. Every table is a file under `data/` whose head names document, place and status; a
//! table without that head does not load (see [`table`]).

mod as_printed;
pub mod fitting;
pub mod fixture_flow;
pub mod hardness;
pub mod legionella;
pub mod pipe;
pub mod push_fit;
mod row_source;
pub mod scald;
pub mod table;
mod unknown_size;
pub mod velocity;
pub mod water_parameter;
pub use unknown_size::UnknownSize;
