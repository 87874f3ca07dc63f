//! Complex numbers, as far as circuits with reactance need them.
//!
//! Real part: in phase; imaginary part: a quarter turn ahead. Units are the caller's.

use std::ops::{Add, Div, Mul, Sub};

/// A complex number.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Complex {
    /// In phase.
    pub(crate) re: f64,
    /// A quarter turn ahead.
    pub(crate) im: f64,
}

impl Complex {
    pub(crate) const ZERO: Self = Self { re: 0.0, im: 0.0 };
    pub(crate) const ONE: Self = Self { re: 1.0, im: 0.0 };

    pub(crate) fn new(re: f64, im: f64) -> Self {
        Self { re, im }
    }

    /// Of that magnitude, turned ahead by that angle.
    pub(crate) fn turned(magnitude: f64, angle_rad: f64) -> Self {
        Self::new(magnitude * angle_rad.cos(), magnitude * angle_rad.sin())
    }

    pub(crate) fn magnitude(self) -> f64 {
        self.re.hypot(self.im)
    }

    pub(crate) fn conjugate(self) -> Self {
        Self::new(self.re, -self.im)
    }

    pub(crate) fn scaled(self, factor: f64) -> Self {
        Self::new(self.re * factor, self.im * factor)
    }
}

impl Add for Complex {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.re + other.re, self.im + other.im)
    }
}

impl Sub for Complex {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.re - other.re, self.im - other.im)
    }
}

impl Mul for Complex {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self::new(
            self.re * other.re - self.im * other.im,
            self.re * other.im + self.im * other.re,
        )
    }
}

impl Div for Complex {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let square = other.re * other.re + other.im * other.im;
        (self * other.conjugate()).scaled(1.0 / square)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arithmetic_is_that_of_the_plane() {
        let (a, b) = (Complex::new(3.0, 4.0), Complex::new(1.0, -2.0));
        assert!((a.magnitude() - 5.0).abs() < 1e-12);
        assert_eq!(a * b, Complex::new(11.0, -2.0));
        assert_eq!(a + b - b, a);
        assert!((Complex::turned(2.0, std::f64::consts::PI) - Complex::new(-2.0, 0.0)).magnitude() < 1e-12);
        let back = a * b / b;
        assert!((back.re - a.re).abs() < 1e-12 && (back.im - a.im).abs() < 1e-12);
        assert!((a * a.conjugate()).im.abs() < 1e-12);
    }
}
