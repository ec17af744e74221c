//! Sizes as the trade writes them: across the grain x along the grain x thickness. Does not judge them.

use crate::model::length::Length;
use std::fmt::{Display, Formatter, Result};

/// A length and the words it was written in, so that an answer speaks as the order did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measure {
    /// The exact length.
    pub length: Length,
    /// As written, with its unit: `48 1/2 in`.
    pub text: String,
}

impl Display for Measure {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        f.write_str(&self.text)
    }
}

/// A size: the first number is across the grain, the second along it (48 x 96 runs with the 96).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Size {
    /// Across the grain.
    pub across: Measure,
    /// Along the grain.
    pub along: Measure,
    /// Thickness, where stated.
    pub thickness: Option<Measure>,
}

impl Display for Size {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        write!(f, "{} x {}", self.across, self.along)?;
        match &self.thickness {
            Some(thickness) => write!(f, " x {thickness}"),
            None => Ok(()),
        }
    }
}
