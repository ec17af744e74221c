//! A rectangle on a leaf: across the grain by along the grain. Knows nothing of what it marks.

use crate::model::length::Length;

/// A rectangle on a leaf. The corner is the one nearest the butt end and the left edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Rect {
    /// Distance of the corner from the left edge, across the grain.
    pub left: Length,
    /// Distance of the corner from the butt end, along the grain.
    pub butt: Length,
    /// Extent across the grain.
    pub across: Length,
    /// Extent along the grain.
    pub along: Length,
}
