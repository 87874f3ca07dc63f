//! Published tables, embedded: pipes, conductors, fittings, water, climate, code tables by edition.
//!
//! In: a name or a size. Out: the published row with its source. Lookup and, where the table says so, interpolation; no
//! judgment, no job, no engine. Every table is a file under `data/` whose head names document, place and status; a
//! table without that head does not load (see [`table`]).

pub mod table;
