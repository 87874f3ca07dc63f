//! Tables of the papers about change-over.

use crate::document::{Column, RowRole, Table, Text};
use assess::changeover::{ChangeOrder, ChangeOver, ModeStates};

/// One row a handle and heater, one column a mode.
pub(super) fn modes(found: &ChangeOver) -> Table {
    let named = [Column::words("handle").share(3)];
    let columns = found
        .modes
        .iter()
        .map(|mode| Column::words(mode.name.clone()).share(4));
    let mut table = Table::new(named.into_iter().chain(columns)).with_named_rows();
    for (at, handle) in found.handles.iter().enumerate() {
        let name = if handle.purpose.is_empty() {
            Text::new().strong(handle.tag.clone())
        } else {
            Text::new()
                .strong(handle.tag.clone())
                .plain(format!(" {}", handle.purpose))
        };
        let cells = found.modes.iter().map(|mode| position(mode, at));
        table.push(RowRole::Plain, [name].into_iter().chain(cells).collect());
    }
    table = table.row_as(RowRole::Group, ["Power"]);
    for heater in heaters(found) {
        let cells = found.modes.iter().map(|mode| {
            if mode.energized.contains(heater) {
                Text::new().strong("ON")
            } else {
                Text::from("off, locked")
            }
        });
        table.push(
            RowRole::Plain,
            [Text::from(heater.as_str())].into_iter().chain(cells).collect(),
        );
    }
    table
}

/// Where a handle stands in a mode, in capitals as on a tag. One that may stand otherwise is shown where the orders of
/// moves begin: someone who follows them must find it there.
fn position(mode: &ModeStates, handle: usize) -> Text {
    match mode.rest.as_ref().and_then(|rest| rest.handles.get(handle)) {
        Some(stands) => Text::new().strong(stands.position.to_uppercase()),
        None => Text::from("–"),
    }
}

/// All heaters that some mode gives power, in the order in which they first come up.
fn heaters(found: &ChangeOver) -> Vec<&String> {
    let mut heaters: Vec<&String> = Vec::new();
    for heater in found.modes.iter().flat_map(|mode| &mode.energized) {
        if !heaters.contains(&heater) {
            heaters.push(heater);
        }
    }
    heaters
}

/// The states that an order passes: the proof.
pub(super) fn passed(found: &ChangeOver, order: &ChangeOrder) -> Table {
    let mut table = Table::new([
        Column::figures("after move"),
        Column::words("handles stand").share(4),
        Column::words("power on").share(3),
        Column::words("shows of the list").share(3),
    ]);
    for (number, step) in (1..).zip(&order.steps) {
        let handles = found.handles.iter().zip(&step.handles);
        let handles = handles.map(|(handle, position)| format!("{} {position}", handle.tag));
        let or_none = |words: &[String]| {
            if words.is_empty() {
                "none".to_owned()
            } else {
                words.join("; ")
            }
        };
        table = table.row([
            number.to_string(),
            handles.collect::<Vec<_>>().join(", "),
            or_none(&step.energized),
            or_none(&step.passes),
        ]);
    }
    table
}

pub(super) fn hazards(found: &ChangeOver) -> Table {
    let mut table = Table::new([
        Column::words("hazard").share(5),
        Column::words("severity"),
        Column::words("forbidden").share(2),
        Column::figures("states"),
    ])
    .with_named_rows();
    for hazard in &found.hazards {
        let forbidden = match (hazard.in_passing, hazard.at_rest) {
            (true, _) => "passing, rest",
            (false, true) => "rest",
            (false, false) => "neither",
        };
        table = table.row([
            hazard.title.clone(),
            format!("{} {}", hazard.severity.sign(), hazard.severity.word()),
            forbidden.to_owned(),
            hazard.states.to_string(),
        ]);
    }
    table
}

pub(super) fn slips(found: &ChangeOver) -> Table {
    let mut table = Table::new([
        Column::words("move").share(3),
        Column::words("leads into").share(4),
    ]);
    for mode in &found.modes {
        let Some(rest) = mode.rest.as_ref().filter(|rest| !rest.slips.is_empty()) else {
            continue;
        };
        table = table.row_as(RowRole::Group, [format!("From: {}", mode.name)]);
        for slip in &rest.slips {
            let into = format!("{} {}", slip.severity.sign(), slip.hazards.join("; "));
            table = table.row([Text::with_values(&slip.words), Text::from(into)]);
        }
    }
    table
}

pub(super) fn assumptions(found: &ChangeOver) -> Table {
    let mut table = Table::new([
        Column::words("what").share(3),
        Column::words("taken as").share(2),
        Column::words("how to find out").share(3),
    ]);
    for assumption in &found.assumptions {
        table = table.row([&assumption.subject, &assumption.value, &assumption.measure].map(String::as_str));
    }
    table
}
