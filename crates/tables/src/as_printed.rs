//! A number beside a printed limit: binary rounding from unit conversion taken away.
//!
//! 140 °F kept in kelvins comes back as 140.00000000000006; a table that says "to 140" means to include it.

/// The number with six decimals, so that it meets a printed limit exactly.
pub(crate) fn as_printed(number: f64) -> f64 {
    (number * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Temperature;

    #[test]
    #[allow(clippy::float_cmp)] // exactness is the point
    fn every_whole_degree_comes_back_whole() {
        for whole in 32..=212 {
            let degrees = f64::from(whole);
            assert_eq!(
                as_printed(Temperature::from_fahrenheit(degrees).as_fahrenheit()),
                degrees
            );
        }
    }
}
