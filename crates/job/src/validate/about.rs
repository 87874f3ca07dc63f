//! The head of the record, sign-offs, prices and the name of the interval-data file.

use super::limits::{LABOR_PER_HOUR, PRICE, Plain};
use super::{Problems, names};
use crate::{Job, Meter, Prices};
use jiff::civil::Date;
use std::collections::BTreeMap;
use trace::RecordPath;

pub(super) fn check(job: &Job, problems: &mut Problems) {
    let (at, about) = (RecordPath::from("about"), &job.about);
    names::text_of(
        &at.field("title"),
        "the title",
        &about.title,
        names::TITLE_MAX,
        false,
        problems,
    );
    names::optional_line(
        &at.field("revision"),
        "the revision",
        about.revision.as_ref(),
        problems,
    );
    names::optional_line(
        &at.field("customer"),
        "the customer",
        about.customer.as_ref(),
        problems,
    );
    names::remark(
        &at.field("address"),
        "the address",
        about.address.as_ref(),
        problems,
    );
    names::optional_line(
        &at.field("prepared_by"),
        "the preparer's name",
        about.prepared_by.as_ref(),
        problems,
    );
    names::remark(&at.field("notes"), "the note", about.notes.as_ref(), problems);
    date(&at.field("surveyed"), about.surveyed, problems);
    for (index, sign_off) in job.work.iter().enumerate() {
        let at = RecordPath::from("work").item(index);
        names::line(
            &at.field("step"),
            "the step of a sign-off",
            &sign_off.step,
            problems,
        );
        names::line(
            &at.field("by"),
            "the name under a sign-off",
            &sign_off.by,
            problems,
        );
        names::remark(
            &at.field("note"),
            "the note of a sign-off",
            sign_off.note.as_ref(),
            problems,
        );
        date(&at.field("on"), Some(sign_off.on), problems);
    }
    if let Some(meter) = &job.meter {
        file(meter, problems);
    }
    if let Some(prices) = &job.prices {
        money(prices, problems);
    }
}

/// A date of a job; a slip in the year is found here, because no clock is.
pub(super) fn date(at: &RecordPath, date: Option<Date>, problems: &mut Problems) {
    const YEARS: std::ops::RangeInclusive<i16> = 1950..=2150;
    if let Some(date) = date.filter(|date| !YEARS.contains(&date.year())) {
        problems.add(
            at.clone(),
            format!(
                "`{date}` is no date of a job: the year lies outside {} to {}",
                YEARS.start(),
                YEARS.end()
            ),
            "write year, month and day, such as \"2026-05-14\"".into(),
        );
    }
}

/// The file must lie with the record, so that a record from elsewhere cannot point into this computer.
fn file(meter: &Meter, problems: &mut Problems) {
    let at = RecordPath::from("meter.file");
    names::line(&at, "the file name", &meter.file, problems);
    let parts = || meter.file.split(['/', '\\']);
    let outside = meter.file.starts_with(['/', '\\', '~'])
        || meter.file.contains(':')
        || parts().any(|part| part == "..");
    let place = RecordPath::from("meter");
    for (field, what, text) in [
        ("usage_point", "the usage point", &meter.usage_point),
        ("zone", "the zone", &meter.zone),
        ("unit", "the unit of the meter file", &meter.unit),
    ] {
        names::optional_line(&place.field(field), what, text.as_ref(), problems);
    }
    if outside {
        problems.add(
            at,
            format!("`{}` does not lie with the record", names::quoted(&meter.file)),
            "put the file beside the record, or in a folder below it, and name it from there".into(),
        );
    }
}

fn money(prices: &Prices, problems: &mut Problems) {
    let at = RecordPath::from("prices");
    if prices.currency.len() != 3 || !prices.currency.chars().all(|c| c.is_ascii_uppercase()) {
        problems.add(
            at.field("currency"),
            format!("`{}` is not a currency code", names::quoted(&prices.currency)),
            "write its three capital letters, such as \"USD\"".into(),
        );
    }
    date(&at.field("on"), prices.on, problems);
    problems.limit(
        &at,
        "labor_per_hour",
        "the prices",
        prices.labor_per_hour.map(Plain),
        &LABOR_PER_HOUR,
    );
    let mut first_at = BTreeMap::new();
    for (index, item) in prices.items.iter().enumerate() {
        let at = at.field("items").item(index);
        names::line(
            &at.field("item"),
            "the name of a priced item",
            &item.item,
            problems,
        );
        names::line(&at.field("per"), "the unit of a priced item", &item.per, problems);
        let subject = format!("`{}`", names::quoted(&item.item));
        problems.limit(&at, "price", &subject, Plain(item.price), &PRICE);
        if let Some(first) = first_at.insert((&item.item, &item.per), index) {
            problems.add(
                at.field("item"),
                format!(
                    "`{}` has a price per {} already, as item {}",
                    names::quoted(&item.item),
                    names::quoted(&item.per),
                    first + 1
                ),
                "keep the price that holds".into(),
            );
        }
    }
}
