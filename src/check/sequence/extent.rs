//! What the records say, as the solvers need it: the clear piece, a leaf's own extent. Chooses nothing.

use crate::check::sequence::leaves::Leaf as SolverLeaf;
use crate::model::leaf::Leaf;
use crate::model::length::Length;
use crate::model::order::OrderLine;
use crate::model::receipt::ReceiptLine;

/// Returns the clear piece that every leaf of the line must yield: across, along.
pub fn clear_extent(line: &OrderLine) -> Option<(Length, Length)> {
    line.clear
        .as_ref()
        .map(|clear| (clear.across.length, clear.along.length))
}

/// Returns a leaf as the solvers take it. Its size is its own, else the lot's as measured, else the one ordered.
/// Where nobody states a size only the defects decide: the leaf is taken to be as large as anything real.
pub fn solver_leaf(line: &OrderLine, lot: &ReceiptLine, leaf: &Leaf, number: u32) -> SolverLeaf {
    let size = leaf
        .size
        .as_ref()
        .or(lot.size.as_ref())
        .or(line.size.as_ref());
    SolverLeaf {
        number,
        size: size.map_or((LARGEST, LARGEST), |size| {
            (size.across.length, size.along.length)
        }),
        defects: leaf.defects.iter().map(|defect| defect.place).collect(),
    }
}

/// A hundred metres: no leaf is larger.
const LARGEST: Length = Length::from_nm(100_000_000_000);
