//! What arrived, as it was recorded at the dock. Does not judge it.

use crate::model::leaf::Leaf;
use crate::model::length::Length;
use crate::model::quantity::Quantity;
use crate::model::size::Size;
use crate::model::spot::{At, Spot};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// One delivery received.
#[derive(Debug, Clone)]
pub struct Receipt {
    /// Its number, text.
    pub number: At<String>,
    /// The order it belongs to.
    pub order: At<String>,
    /// The date it was received, local.
    pub date: NaiveDate,
    /// Who received it.
    pub by: Option<String>,
    /// The supplier's packing slip.
    pub packing_slip: Option<String>,
    /// Who brought it.
    pub carrier: Option<Carrier>,
    /// Where the goods stand.
    pub place: Option<String>,
    /// What was counted.
    pub lines: Vec<ReceiptLine>,
    /// Where it was read.
    pub spot: Spot,
}

/// Who brought the goods, and what was written on the delivery receipt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Carrier {
    /// Name.
    pub name: String,
    /// The carrier's shipment number.
    pub pro: Option<String>,
    /// What was noted on the delivery receipt before signing.
    pub noted: Option<String>,
}

/// When damage could be seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Damage {
    /// Seen at delivery, and noted on the delivery receipt.
    Visible,
    /// Found after unpacking.
    Concealed,
}

/// A property that bad storage changes, so that it is looked at again before anyone is blamed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Storage {
    /// Moisture content.
    Moisture,
    /// Whether panels lie flat.
    Flatness,
}

impl Storage {
    /// Returns the name used in files.
    pub const fn name(self) -> &'static str {
        match self {
            Storage::Moisture => "moisture",
            Storage::Flatness => "flatness",
        }
    }
}

/// One lot: what was counted of one thing with one set of properties.
#[derive(Debug, Clone)]
pub struct ReceiptLine {
    /// The order line it belongs to, where the clerk said.
    pub line: Option<At<String>>,
    /// The code on the label.
    pub item: Option<String>,
    /// In words.
    pub description: Option<String>,
    /// What the packing slip says.
    pub slip: Option<Quantity>,
    /// What was counted. `None` only where leaves or a tally say it.
    pub quantity: Option<At<Quantity>>,
    /// What the slip says will follow.
    pub back_order: Option<Quantity>,
    /// What one pack was found to hold.
    pub pack: Option<Quantity>,
    /// Grade on the label or as judged.
    pub grade: Option<At<String>>,
    /// Size as measured.
    pub size: Option<Size>,
    /// Named properties as found.
    pub finish: Vec<(String, String)>,
    /// Leaves, where they were recorded.
    pub leaves: Vec<Leaf>,
    /// How many are damaged.
    pub damaged: Option<Quantity>,
    /// When the damage could be seen.
    pub damage: Option<Damage>,
    /// When concealed damage was found.
    pub found: Option<NaiveDate>,
    /// Moisture content as measured, per cent.
    pub moisture: Option<Decimal>,
    /// Properties that may have changed in the shop's own storage and were looked at a second time, the storage ruled
    /// out: `moisture`, `flatness`.
    pub checked_again: Vec<Storage>,
    /// Papers that came with the goods.
    pub papers: Vec<String>,
    /// Tally of boards.
    pub tally: Option<Tally>,
    /// Photographs, relative to the shop's folder.
    pub photos: Vec<String>,
    /// Where this lot stands.
    pub place: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// Where it was read.
    pub spot: Spot,
}

/// A tally of boards of one thickness.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// Thickness in quarters of an inch: 5/4 is 5.
    pub quarters: u32,
    /// Thickness as measured, where it was.
    pub measured: Option<Length>,
    /// Boards in the order they were tallied; the order decides how exact halves round.
    pub boards: Vec<Board>,
}

/// One board of a tally.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// Width in inches, with fractions.
    pub width: Decimal,
    /// Length in feet; NHLA drops a fraction of a foot.
    pub length: Decimal,
    /// How many alike.
    pub count: u32,
    /// Its own grade, where boards differ.
    pub grade: Option<String>,
}
