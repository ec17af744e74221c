//! Brings amounts to the unit of the order line, exactly, through size, pack or tally. Compares nothing and allows nothing:
//! tolerance is `check/quantity.rs`.

use crate::check::lumber::{self, Measured};
use crate::check::ratio::Ratio;
use crate::model::length::Length;
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::{ReceiptLine, Tally};
use crate::model::size::Size;
use crate::model::spot::Spot;
use crate::model::unit::{Dimension, Unit};
use crate::trade::units;
use rust_decimal::Decimal;

/// An inch in nanometres: lumber under 1 in counts as 1 in.
const INCH: Length = Length::from_nm(25_400_000);

/// Returns the lot's amount in the unit of the order line.
///
/// What was counted says it; else the tally; else the leaves. What a pack was found to hold counts before what the order says
/// it holds, and a size as measured before the size ordered. A result that does not end is rounded to nine places; sum
/// [`exact`] amounts where several lots are added up.
///
/// # Errors
/// What cannot be converted, at the lot, naming what is missing.
pub fn in_unit(line: &OrderLine, lot: &ReceiptLine) -> Result<Decimal, Problem> {
    both(line, lot).map(|(_, amount)| amount)
}

/// Returns the lot's amount as a fraction and as the decimal of [`in_unit`].
///
/// # Errors
/// As [`in_unit`].
pub fn both(line: &OrderLine, lot: &ReceiptLine) -> Result<(Ratio, Decimal), Problem> {
    let exact = exact(line, lot)?;
    rounded(exact, spot_of(lot)).map(|amount| (exact, amount))
}

/// The same as [`in_unit`], unrounded.
///
/// # Errors
/// As [`in_unit`].
pub fn exact(line: &OrderLine, lot: &ReceiptLine) -> Result<Ratio, Problem> {
    let spot = spot_of(lot);
    let to = line.quantity.unit;
    let goods = Goods {
        line,
        lot: Some(lot),
        spot,
    };
    match (&lot.quantity, &lot.tally) {
        (Some(counted), None) => goods.convert(counted.value, to),
        (Some(counted), Some(tally)) => {
            let tallied = goods.tally(tally)?;
            goods.agrees(counted.value, tally, &tallied)?;
            goods.tallied(tally, &tallied, to)
        }
        (None, Some(tally)) => goods.tallied(tally, &goods.tally(tally)?, to),
        (None, None) if lot.leaves.is_empty() => Err(Problem::new(
            &lot.spot,
            "found no amount, expected `quantity`, `leaves` or `tally`",
        )
        .hint("state what was counted, such as `quantity: 6 sheet`")),
        (None, None) => {
            let leaves = Decimal::from(lot.leaves.len());
            goods.convert(Quantity::new(leaves, Unit::Leaf), to)
        }
    }
}

/// Returns an amount in another unit, for goods of an order line. With a lot, what was found of it counts first: its pack and
/// its size. Without one, the order's own do, as for what a slip or an invoice states.
///
/// # Errors
/// What cannot be converted, at `spot`, naming what is missing.
pub fn convert(
    quantity: Quantity,
    to: Unit,
    line: &OrderLine,
    lot: Option<&ReceiptLine>,
    spot: &Spot,
) -> Result<Decimal, Problem> {
    let goods = Goods { line, lot, spot };
    rounded(goods.convert(quantity, to)?, spot)
}

/// Returns what a lot's tally makes by the order line's rule; `None` where there is no tally.
///
/// # Errors
/// A tally larger than any real one.
pub fn tally(line: &OrderLine, lot: &ReceiptLine) -> Result<Option<Measured>, Problem> {
    let goods = Goods {
        line,
        lot: Some(lot),
        spot: &lot.spot,
    };
    lot.tally
        .as_ref()
        .map(|tally| goods.tally(tally))
        .transpose()
}

/// Says an amount of a line as a person would: part of a pack by what it holds, `13 each` for 0.26 boxes of 50.
pub fn said(line: &OrderLine, amount: Decimal) -> Quantity {
    let unit = line.quantity.unit;
    let whole = Quantity::new(amount, unit);
    let is_pack = units::dimension(unit) == Dimension::Pack;
    match line.pack.filter(|_| is_pack && !amount.is_integer()) {
        Some(pack) => amount
            .checked_mul(pack.amount)
            .filter(Decimal::is_integer)
            .map_or(whole, |content| Quantity::new(content, pack.unit)),
        None => whole,
    }
}

fn spot_of(lot: &ReceiptLine) -> &Spot {
    lot.quantity
        .as_ref()
        .map_or(&lot.spot, |quantity| &quantity.spot)
}

fn rounded(amount: Ratio, spot: &Spot) -> Result<Decimal, Problem> {
    // A million million of anything is a slip in a pack or a size, and its price would overflow.
    const MOST: Decimal = Decimal::from_parts(3_567_587_328, 232, 0, false, 0);
    amount
        .decimal()
        .filter(|amount| *amount <= MOST)
        .ok_or_else(|| too_large(spot))
}

fn too_large(spot: &Spot) -> Problem {
    Problem::new(
        spot,
        "found an amount larger than any real one, expected one that can be counted",
    )
    .hint("check the amount, the pack and the size")
}

/// The goods that an amount is of: what says how large one piece is and what one pack holds.
struct Goods<'a> {
    line: &'a OrderLine,
    lot: Option<&'a ReceiptLine>,
    spot: &'a Spot,
}

/// The three extents of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Extent {
    Across,
    Along,
    Thickness,
}

/// Returns whether an amount of a dimension already holds an extent: an area holds across and along, a length only along.
const fn holds(dimension: Dimension, extent: Extent) -> bool {
    match dimension {
        Dimension::Length => matches!(extent, Extent::Along),
        Dimension::Area => matches!(extent, Extent::Across | Extent::Along),
        Dimension::Volume => true,
        Dimension::Count | Dimension::Pack | Dimension::Mass | Dimension::Liquid => false,
    }
}

/// Returns whether an extent can lead to or from a dimension: no size says what a piece weighs.
const fn has_extents(dimension: Dimension) -> bool {
    match dimension {
        Dimension::Count | Dimension::Length | Dimension::Area | Dimension::Volume => true,
        Dimension::Pack | Dimension::Mass | Dimension::Liquid => false,
    }
}

const fn word(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Count => "a count",
        Dimension::Pack => "a number of packs",
        Dimension::Length => "a length",
        Dimension::Area => "an area",
        Dimension::Volume => "a volume",
        Dimension::Mass => "a mass",
        Dimension::Liquid => "a volume of liquid",
    }
}

impl Goods<'_> {
    fn convert(&self, quantity: Quantity, to: Unit) -> Result<Ratio, Problem> {
        let amount = Ratio::of(quantity.amount).ok_or_else(|| too_large(self.spot))?;
        let from = quantity.unit;
        // A factor of none is a pack or a set: its content must be stated, but two packs of one kind are counted as they are
        // unless both contents are stated.
        let opened = units::factor(from).is_none().then(|| self.found_in(from));
        let wanted = units::factor(to).is_none().then(|| self.ordered_in(to));
        if from == to && (opened.flatten().is_none() || wanted.flatten().is_none()) {
            return Ok(amount);
        }
        let mut amount = amount;
        let mut unit = from;
        if let Some(content) = opened {
            let content = content.ok_or_else(|| self.pack_missing(quantity, to, from))?;
            amount = self.checked(amount.times(self.ratio(content)?))?;
            unit = content.unit;
        }
        match wanted {
            None => self.plain(quantity, amount, unit, to, to),
            Some(content) => {
                let content = content.ok_or_else(|| self.pack_missing(quantity, to, to))?;
                let pieces = self.plain(quantity, amount, unit, content.unit, to)?;
                self.checked(pieces.over(self.ratio(content)?))
            }
        }
    }

    /// Converts between units that have a factor. `quantity` and `asked` are for the problem.
    fn plain(
        &self,
        quantity: Quantity,
        amount: Ratio,
        from: Unit,
        to: Unit,
        asked: Unit,
    ) -> Result<Ratio, Problem> {
        if from == to {
            return Ok(amount);
        }
        let (Some(from_factor), Some(to_factor)) = (factor(from), factor(to)) else {
            let packed = if factor(from).is_none() { from } else { to };
            return Err(self.pack_missing(quantity, asked, packed));
        };
        let (have, want) = (units::dimension(from), units::dimension(to));
        let mut amount = self.checked(amount.times(from_factor))?;
        if have != want {
            if !has_extents(have) || !has_extents(want) {
                let text = format!(
                    "found `{quantity}`, expected an amount in `{asked}`: one is {}, the other {}",
                    word(have),
                    word(want)
                );
                return Err(Problem::new(self.spot, text)
                    .hint(format!("count it in `{asked}`, or correct the unit")));
            }
            let board_feet = from == Unit::BoardFoot || to == Unit::BoardFoot;
            for extent in [Extent::Across, Extent::Along, Extent::Thickness] {
                let (has, needs) = (holds(have, extent), holds(want, extent));
                if has == needs {
                    continue;
                }
                let length = self.extent(extent, board_feet, quantity, asked)?;
                amount = self.checked(if needs {
                    amount.times(length)
                } else {
                    amount.over(length)
                })?;
            }
        }
        self.checked(amount.over(to_factor))
    }

    /// Returns what one pack of the lot's unit holds: as found, else as ordered.
    fn found_in(&self, unit: Unit) -> Option<Quantity> {
        self.lot_pack(unit).or_else(|| self.line_pack(unit))
    }

    /// Returns what one pack of the order's unit holds: as ordered, else as found.
    fn ordered_in(&self, unit: Unit) -> Option<Quantity> {
        self.line_pack(unit).or_else(|| self.lot_pack(unit))
    }

    fn line_pack(&self, unit: Unit) -> Option<Quantity> {
        self.line
            .pack
            .filter(|_| describes(self.line.quantity.unit, unit))
    }

    fn lot_pack(&self, unit: Unit) -> Option<Quantity> {
        let lot = self.lot?;
        let counted = lot.quantity.as_ref().map(|quantity| quantity.value.unit);
        lot.pack
            .filter(|_| counted.is_none_or(|counted| describes(counted, unit)))
    }

    /// Returns one extent of a piece in metres: of the lot as measured, else as ordered.
    fn extent(
        &self,
        extent: Extent,
        board_feet: bool,
        quantity: Quantity,
        to: Unit,
    ) -> Result<Ratio, Problem> {
        let of = |size: &Size| match extent {
            Extent::Across => Some(size.across.length),
            Extent::Along => Some(size.along.length),
            Extent::Thickness => size.thickness.as_ref().map(|thickness| thickness.length),
        };
        let measured = self.lot.and_then(|lot| lot.size.as_ref());
        let length = measured
            .and_then(of)
            .or_else(|| self.line.size.as_ref().and_then(of));
        let Some(length) = length else {
            let (what, hint) = match extent {
                Extent::Across | Extent::Along => (
                    "the size of one piece",
                    "state `size`, across the grain x along it, such as `size: 48 in x 96 in`",
                ),
                Extent::Thickness => (
                    "the thickness",
                    "state it in `size`, such as `size: 48 in x 96 in x 3/4 in`",
                ),
            };
            return Err(self.missing(quantity, to, what).hint(hint));
        };
        let counted = match extent {
            Extent::Thickness if board_feet => length.max(INCH),
            Extent::Across | Extent::Along | Extent::Thickness => length,
        };
        u128::try_from(counted.nm())
            .ok()
            .filter(|nm| *nm > 0)
            .and_then(|nm| Ratio::new(nm, 1_000_000_000))
            .ok_or_else(|| {
                Problem::new(
                    self.spot,
                    "found a size of nothing, expected one above zero",
                )
            })
    }

    /// Returns an amount of boards, tallied, in another unit.
    fn tallied(&self, tally: &Tally, measured: &Measured, to: Unit) -> Result<Ratio, Problem> {
        let quantity = match units::dimension(to) {
            Dimension::Count | Dimension::Pack => {
                Quantity::new(Decimal::from(measured.boards), Unit::Board)
            }
            Dimension::Length => {
                let feet = tally.boards.iter().try_fold(Decimal::ZERO, |sum, board| {
                    sum.checked_add(board.length.checked_mul(board.count.into())?)
                });
                Quantity::new(feet.ok_or_else(|| too_large(self.spot))?, Unit::Foot)
            }
            Dimension::Area => Quantity::new(Decimal::from(measured.surface), Unit::SquareFoot),
            Dimension::Volume | Dimension::Mass | Dimension::Liquid => {
                Quantity::new(measured.board_feet, Unit::BoardFoot)
            }
        };
        self.convert(quantity, to)
    }

    fn tally(&self, tally: &Tally) -> Result<Measured, Problem> {
        lumber::measured(tally, self.line.measure).ok_or_else(|| too_large(self.spot))
    }

    /// Holds what was counted against the tally: a count of boards, or a measure, must be the tally's own.
    fn agrees(&self, counted: Quantity, tally: &Tally, measured: &Measured) -> Result<(), Problem> {
        let makes = self.tallied(tally, measured, counted.unit)?;
        if Ratio::of(counted.amount) == Some(makes) {
            return Ok(());
        }
        let makes = Quantity::new(rounded(makes, self.spot)?, counted.unit);
        Err(Problem::new(
            self.spot,
            format!("found `{counted}`, expected `{makes}` as the tally makes"),
        )
        .hint("leave `quantity` out, and put what the slip says under `slip`"))
    }

    fn ratio(&self, content: Quantity) -> Result<Ratio, Problem> {
        self.checked(Ratio::of(content.amount).filter(|amount| *amount > Ratio::ZERO))
    }

    fn checked(&self, amount: Option<Ratio>) -> Result<Ratio, Problem> {
        amount.ok_or_else(|| too_large(self.spot))
    }

    fn pack_missing(&self, quantity: Quantity, to: Unit, pack: Unit) -> Problem {
        self.missing(quantity, to, &format!("what one {pack} holds"))
            .hint("state `pack` in pieces, such as `pack: 50 each`")
    }

    fn missing(&self, quantity: Quantity, to: Unit, what: &str) -> Problem {
        let text =
            format!("found `{quantity}`, expected an amount in `{to}`: {what} is not stated");
        Problem::new(self.spot, text)
    }
}

fn factor(unit: Unit) -> Option<Ratio> {
    units::factor(unit).and_then(Ratio::of)
}

/// Returns whether the `pack` of a line that is counted in one unit says what one of another unit holds: of its own packs, or
/// of any where the line itself is not counted in packs.
fn describes(counted: Unit, unit: Unit) -> bool {
    counted == unit || units::factor(counted).is_some()
}
