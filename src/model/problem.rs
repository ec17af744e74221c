//! Bad input. A problem is never the answer to "is this as ordered"; that is a finding.

use crate::model::spot::Spot;

/// One thing wrong with what was handed in. All problems of a run are collected and shown at once.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// Where it stands.
    pub spot: Spot,
    /// What was found and what was expected, lower case, no full stop.
    pub text: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl Problem {
    /// Makes a problem at a place.
    pub fn new(spot: &Spot, text: impl Into<String>) -> Self {
        Problem {
            spot: spot.clone(),
            text: text.into(),
            hint: None,
        }
    }

    /// Adds what to do about it.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}
