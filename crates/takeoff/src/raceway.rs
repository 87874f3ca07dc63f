//! Raceway along the runs of new circuits: sticks, connectors and couplings, in the trade size the conductors fit in.
//!
//! All single-conductor circuits of one run share its raceway, as the assessment bundles them. A run of single conductors
//! whose raceway the record leaves open is taken as EMT, as the assessment does.

use crate::allowances::{allowances, steps};
use crate::circuit::{is_single_conductors, new_circuits, recorded};
use crate::line::MaterialLine;
use assess::{Assessment, CircuitResult};
use job::{Job, Raceway, Route};
use power::conduit_fill::{ConductorCount, smallest_raceway};
use quantity::Length;

/// A stretch of one raceway along one run.
struct Stretch {
    raceway: Raceway,
    length: Length,
    assumed: bool,
}

/// Raceway lines of all runs that new circuits take.
pub(crate) fn lines(job: &Job, assessment: &Assessment) -> Vec<MaterialLine> {
    let mut lines = Vec::new();
    for route in &job.routes {
        // Cables and single conductors on one run do not share a raceway here.
        let (singles, cables): (Vec<_>, Vec<_>) = new_circuits(assessment)
            .filter(|circuit| route_of(job, circuit).is_some_and(|taken| taken.id == route.id))
            .partition(|circuit| is_single_conductors(circuit));
        for (circuits, single) in [(singles, true), (cables, false)] {
            if !circuits.is_empty() {
                for stretch in stretches(route, single) {
                    lines.extend(stretch_lines(assessment, &route.id, &stretch, &circuits, single));
                }
            }
        }
    }
    for circuit in new_circuits(assessment) {
        if is_single_conductors(circuit) && route_of(job, circuit).is_none() {
            let stretch = Stretch {
                raceway: Raceway::Emt,
                length: circuit.length,
                assumed: true,
            };
            let run = format!("of circuit {}, not surveyed", circuit.id);
            lines.extend(stretch_lines(assessment, &run, &stretch, &[circuit], true));
        }
    }
    lines
}

fn route_of<'job>(job: &'job Job, circuit: &CircuitResult) -> Option<&'job Route> {
    let id = recorded(job, circuit)?.route.as_ref()?;
    job.routes.iter().find(|route| &route.id == id)
}

/// The lengths of each raceway along a run; segments left open are EMT when only single conductors take the run.
fn stretches(route: &Route, single: bool) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    for segment in &route.segments {
        let assumed = segment.raceway.is_none();
        let Some(raceway) = segment.raceway.or(single.then_some(Raceway::Emt)) else {
            continue;
        };
        match found.iter_mut().find(|stretch| stretch.raceway == raceway) {
            Some(stretch) => {
                stretch.length += segment.length;
                stretch.assumed |= assumed;
            }
            None => found.push(Stretch {
                raceway,
                length: segment.length,
                assumed,
            }),
        }
    }
    found
}

fn stretch_lines(
    assessment: &Assessment,
    run: &str,
    stretch: &Stretch,
    circuits: &[&CircuitResult],
    single: bool,
) -> Vec<MaterialLine> {
    let all = allowances();
    let units = assessment.head.units;
    let kind = table_raceway(stretch.raceway);
    let size = if single { trade_size(kind, circuits) } else { None };
    let name = size.map_or_else(
        || format!("{kind}, size to suit the cables"),
        |size| format!("{kind}, trade size {size}"),
    );
    let assumed = if stretch.assumed {
        "; the record leaves the raceway open, EMT was taken"
    } else {
        ""
    };
    let (stick, waste) = (all.raceway_stick.value, &all.raceway_waste);
    let needed = stretch.length * (1.0 + waste.value.as_fraction());
    let length = stretch.length.show(units);
    vec![
        MaterialLine::count(
            format!("{name}, stick of {}", stick.show(units)),
            steps(needed, stick),
            format!("run {run}: {length} + {}{assumed}", waste.value.show(units)),
        )
        .from(&waste.source),
        MaterialLine::count(
            format!("{name}, connector"),
            all.connectors_per_run.value,
            format!("run {run}: {}", all.connectors_per_run.reason),
        )
        .from(&all.connectors_per_run.source),
        MaterialLine::count(
            format!("{name}, coupling or bend"),
            steps(stretch.length, all.raceway_fitting_spacing.value),
            format!("run {run}: {}", all.raceway_fitting_spacing.reason),
        )
        .from(&all.raceway_fitting_spacing.source),
        MaterialLine::not_counted(
            format!("{name}, strap"),
            format!("run {run}: no spacing for this raceway is carried here"),
        ),
    ]
}

/// Smallest trade size for the conductors of all circuits, each with a ground of its own; none above the table.
fn trade_size(raceway: tables::conduit::Raceway, circuits: &[&CircuitResult]) -> Option<&'static str> {
    let conductors: Vec<_> = circuits
        .iter()
        .flat_map(|circuit| {
            [
                (circuit.conductor, usize::from(circuit.insulated_conductors)),
                (circuit.ground, 1),
            ]
        })
        .map(|(size, count)| ConductorCount { size, count })
        .collect();
    let found = smallest_raceway(raceway, &conductors, false).ok()?;
    Some(found.raceway.trade_size.as_str())
}

fn table_raceway(raceway: Raceway) -> tables::conduit::Raceway {
    match raceway {
        Raceway::Emt => tables::conduit::Raceway::Emt,
        Raceway::Pvc40 => tables::conduit::Raceway::Pvc40,
        Raceway::Pvc80 => tables::conduit::Raceway::Pvc80,
    }
}
