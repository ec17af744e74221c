//! What the records say, as the solvers need it: the clear piece, a leaf's own extent. Chooses nothing.

use crate::check::sequence::leaves::Leaf as SolverLeaf;
use crate::model::leaf::Leaf;
use crate::model::length::Length;
use crate::model::order::OrderLine;
use crate::model::receipt::ReceiptLine;
use crate::model::rect::Rect;
use crate::model::size::{Measure, Size};
use rust_decimal::Decimal;

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

/// Returns a window's corner in words, in the unit the clear piece was written in: `1 in x 12 in`.
pub fn position_text(window: &Rect, clear: &Size) -> String {
    format!(
        "{} x {}",
        length_text(window.left, &clear.across),
        length_text(window.butt, &clear.along)
    )
}

/// Writes a length like another was written: millimetres where it was metric, else inches with tape fractions.
pub fn length_text(length: Length, like: &Measure) -> String {
    let metric = ["mm", "cm", " m"]
        .iter()
        .any(|unit| like.text.ends_with(unit));
    if metric {
        let mm = Decimal::new(length.nm(), 6).normalize();
        return format!("{mm} mm");
    }
    /// Nanometres of 1/64 in.
    const SIXTY_FOURTH: i64 = 396_875;
    if length.nm() % SIXTY_FOURTH != 0 {
        let inches = Decimal::from(length.nm()) / Decimal::from(SIXTY_FOURTH * 64);
        return format!("{} in", inches.round_dp(4).normalize());
    }
    let parts = length.nm() / SIXTY_FOURTH;
    let (whole, mut above, mut below) = (parts / 64, parts % 64, 64);
    while above != 0 && above % 2 == 0 {
        above /= 2;
        below /= 2;
    }
    match (whole, above) {
        (whole, 0) => format!("{whole} in"),
        (0, above) => format!("{above}/{below} in"),
        (whole, above) => format!("{whole} {above}/{below} in"),
    }
}
