//! A length, exact. Does not read or print text.

use std::ops::{Add, Sub};

/// A length in whole nanometres: 1 in is 25,400,000 nm (25.4 mm exactly, international inch), so every
/// tape fraction down to 1/64 in and every metric tape mark is a whole number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);

    /// Makes a length from whole nanometres.
    pub const fn from_nm(nm: i64) -> Self {
        Length(nm)
    }

    /// Returns the whole nanometres.
    pub const fn nm(self) -> i64 {
        self.0
    }
}

impl Add for Length {
    type Output = Length;

    fn add(self, other: Length) -> Length {
        Length(self.0.saturating_add(other.0))
    }
}

impl Sub for Length {
    type Output = Length;

    fn sub(self, other: Length) -> Length {
        Length(self.0.saturating_sub(other.0))
    }
}
