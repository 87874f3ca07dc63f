//! Drawings and charts as shapes, then SVG.
//!
//! In: plain descriptions of what to draw, filled by the caller: [`one_line::OneLine`] (the electrical one-line
//! diagram), [`piping::Piping`] (the piping schematic), [`chart::LineChart`] (curves with axes; [`capability`],
//! [`mains`] and [`wait_over_time`] fill it for the charts of this trade). Out: a [`shape::Drawing`], which [`svg_print`] prints, or plain
//! text for a terminal ([`plain`]).
//!
//! Start at [`shape::Drawing`]. Computes no figure of the job: every number drawn was given. Knows no file; only
//! [`sheets`] and [`demand`] know the job record and what was worked out. All output is a function of the input alone:
//! same input, same bytes.
//!
//! Lettering is measured before it is placed ([`lettering`]), and [`clash`] can list what overlaps in a finished
//! drawing; the tests hold every layout to an empty list.

pub mod capability;
pub mod chart;
pub mod clash;
pub mod demand;
mod geometry;
pub mod lettering;
pub mod mains;
pub mod one_line;
mod pipe_symbol;
pub mod piping;
pub mod piping_of_job;
pub mod plain;
pub mod shape;
pub mod sheets;
pub mod svg_print;
mod symbol;
pub mod title_block;
pub mod wait_over_time;
