//! Waits for hot water at each fixture, today and after the work, and the pipes behind them.

use super::{Part, Sheet, digits, standing_water};
use crate::document::{Block, Column, RowRole, Table, Text};
use crate::report::phrases::fill;
use assess::{FixtureResult, HotPath};
use quantity::{Length, Time, Volume};

pub(super) fn part(sheet: &Sheet<'_>) -> Part {
    let phrases = &sheet.phrases.waits;
    let mut part = Part::new(phrases.heading);
    let fixtures = &sheet.assessment.fixtures;
    let any_after = fixtures.iter().any(|fixture| fixture.after.is_some());
    let any_today = fixtures.iter().any(|fixture| fixture.today.is_some());
    if !any_after {
        part.leave_out(&phrases.no_piping);
    } else if !any_today {
        part.leave_out(&phrases.no_today);
    }
    if !any_after && !any_today {
        return part;
    }
    part.say(phrases.lead);
    part.push(Block::Table(waits(sheet)));
    let dividing: Vec<&str> = fixtures
        .iter()
        .filter(|fixture| divides(fixture))
        .map(|fixture| &*fixture.name)
        .collect();
    if !dividing.is_empty() {
        part.say(fill(
            phrases.divides,
            &[("fixtures", Text::new().strong(dividing.join(", ")))],
        ));
    }
    part.draw(sheet.drawings.wait_over_time.as_ref());
    let unreached: Vec<&str> = fixtures
        .iter()
        .filter(|fixture| fixture.after.as_ref().is_some_and(|path| !path.reaches_use))
        .map(|fixture| &*fixture.name)
        .collect();
    if !unreached.is_empty() {
        part.say(fill(
            phrases.unreached,
            &[("fixtures", Text::new().strong(unreached.join(", ")))],
        ));
    }
    standing_water::add(sheet, &mut part);
    part.push(Block::Table(ways(sheet)));
    part
}

fn waits(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.waits;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        Column::figures(phrases.wait_today).share(1),
        Column::figures(phrases.wait_after).share(1),
        Column::figures(phrases.change).share(1),
        digits.slim_column::<Volume>(phrases.wasted_today),
        digits.slim_column::<Volume>(phrases.wasted_after),
    ])
    .with_named_rows();
    let unknown = || sheet.phrases.unknown.to_owned();
    let wait = |path: &Option<HotPath>| path.as_ref().map_or_else(unknown, |path| digits::time(path.wait));
    let wasted = |path: &Option<HotPath>| {
        path.as_ref()
            .map_or_else(unknown, |path| digits.volume(path.wasted).number())
    };
    for fixture in &sheet.assessment.fixtures {
        table = table.row([
            fixture.name.clone(),
            wait(&fixture.today),
            wait(&fixture.after),
            change(sheet, fixture).unwrap_or_else(unknown),
            wasted(&fixture.today),
            wasted(&fixture.after),
        ]);
    }
    table
}

/// By how much the wait changes, in words, since a bare sign is easily overlooked.
fn change(sheet: &Sheet<'_>, fixture: &FixtureResult) -> Option<String> {
    let phrases = &sheet.phrases.waits;
    let (today, after) = (fixture.today.as_ref()?, fixture.after.as_ref()?);
    // The difference of what is printed, so that the row adds up.
    let longer = digits::whole(after.wait) - digits::whole(today.wait);
    let none = Time::from_seconds(0.0);
    if longer == none {
        return Some(phrases.same.to_owned());
    }
    let sentence = if longer > none {
        phrases.longer
    } else {
        phrases.shorter
    };
    let difference = if longer > none { longer } else { -longer };
    Some(fill(sentence, &[("time", Text::from(digits::time(difference)))]).to_string())
}

fn divides(fixture: &FixtureResult) -> bool {
    [&fixture.today, &fixture.after]
        .into_iter()
        .flatten()
        .any(|path| path.divides)
}

/// Which heater serves each fixture through which pipes, today and after.
fn ways(sheet: &Sheet<'_>) -> Table {
    let phrases = &sheet.phrases.waits;
    let digits = sheet.digits;
    let mut table = Table::new([
        Column::words(phrases.fixture).share(3),
        Column::words(phrases.heater).share(1),
        digits.slim_column::<Length>(phrases.length),
        digits.slim_column::<Volume>(phrases.holds),
        Column::words(phrases.pipes).share(3),
    ])
    .captioned(phrases.ways)
    .with_named_rows();
    let fixtures = &sheet.assessment.fixtures;
    let today: Vec<_> = fixtures
        .iter()
        .filter_map(|fixture| Some((fixture, fixture.today.as_ref()?)))
        .collect();
    let after: Vec<_> = fixtures
        .iter()
        .filter_map(|fixture| Some((fixture, fixture.after.as_ref()?)))
        .collect();
    for (when, paths) in [(phrases.today, today), (phrases.after, after)] {
        if paths.is_empty() {
            continue;
        }
        table = table.row_as(RowRole::Group, [when]);
        for (fixture, path) in paths {
            table = table.row([
                fixture.name.clone(),
                path.heater.clone(),
                digits.length(path.length).number(),
                digits.volume(path.volume).number(),
                path.pipes.join(" "),
            ]);
        }
    }
    table
}
