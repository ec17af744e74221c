//! Leaves of veneer as they were recorded. Does not decide what they make.

use crate::model::length::Length;
use crate::model::rect::Rect;
use crate::model::size::Size;
use crate::model::spot::Spot;

/// A defect on a leaf, as measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Defect {
    /// What it is: knot, split, stain.
    pub kind: String,
    /// Where it is.
    pub place: Rect,
}

/// A landmark of the figure on an unmarked leaf: its distance from the butt end, or that it is absent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Landmark {
    /// Its name: `peak`, `swirl`.
    pub name: String,
    /// Distance from the butt end; `None` when it was looked for and is absent.
    pub butt: Option<Length>,
}

/// One leaf of a receipt.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// The flitch, where it is marked.
    pub flitch: Option<String>,
    /// The number within the flitch, where it is marked, from 1.
    pub number: Option<u32>,
    /// The clerk's or the supplier's mark (`P1`).
    pub mark: Option<String>,
    /// Defects seen.
    pub defects: Vec<Defect>,
    /// Landmarks of the figure, for putting unmarked leaves in order.
    pub figure: Vec<Landmark>,
    /// Its own size, where it differs from the receipt line's.
    pub size: Option<Size>,
    /// A photograph, relative to the shop's folder.
    pub photo: Option<String>,
    /// Where it was read.
    pub spot: Spot,
}

impl Leaf {
    /// Returns the name a person would use: the number, else the mark, else a question mark.
    pub fn name(&self) -> String {
        match (self.number, &self.mark) {
            (Some(number), _) => number.to_string(),
            (None, Some(mark)) => mark.clone(),
            (None, None) => "?".to_owned(),
        }
    }
}
