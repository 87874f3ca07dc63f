//! Months by name, and runs of months such as October to May.

use super::phrases::Phrases;

/// The name of a month counted from 1, if there is such a month.
pub(super) fn name(phrases: &Phrases, month: u8) -> Option<&'static str> {
    let index = usize::from(month).checked_sub(1)?;
    phrases.months.get(index).copied()
}

/// Months counted from 1 as runs: `Oct–May`, or `Mar, May–Jun`. A run may pass the end of the year.
pub(super) fn runs(phrases: &Phrases, months: &[u8]) -> String {
    let mut holds = [false; 12];
    for month in months {
        let index = usize::from(*month).checked_sub(1);
        if let Some(place) = index.and_then(|index| holds.get_mut(index)) {
            *place = true;
        }
    }
    if holds == [true; 12] {
        return phrases.all_year.to_owned();
    }
    let starts = (0..12).filter(|month| holds[*month] && !holds[(month + 11) % 12]);
    let runs: Vec<String> = starts
        .map(|start| {
            let length = (0..12).take_while(|step| holds[(start + step) % 12]).count();
            let first = phrases.months_short[start];
            match length {
                1 => first.to_owned(),
                _ => format!("{first}–{}", phrases.months_short[(start + length - 1) % 12]),
            }
        })
        .collect();
    if runs.is_empty() {
        phrases.no_month.to_owned()
    } else {
        runs.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use crate::report::phrases::of;
    use crate::words::Language;

    #[test]
    fn runs_may_pass_the_end_of_the_year() {
        let runs = |months: &[u8]| super::runs(of(Language::English), months);
        assert_eq!(runs(&[5, 6, 7, 8, 9, 10]), "May–Oct");
        assert_eq!(runs(&[12, 1, 2, 10, 11]), "Oct–Feb");
        assert_eq!(runs(&[3, 5, 6]), "Mar, May–Jun");
        assert_eq!(runs(&[12, 1]), "Dec–Jan");
        assert_eq!(runs(&[]), "no month");
        assert_eq!(runs(&(1..=12).collect::<Vec<u8>>()), "all year");
        assert_eq!(runs(&[0, 13, 255, 7]), "Jul");
    }

    #[test]
    fn only_twelve_months_have_names() {
        let name = |month| super::name(of(Language::English), month);
        assert_eq!(name(2), Some("February"));
        assert_eq!(name(0), None);
        assert_eq!(name(13), None);
    }
}
