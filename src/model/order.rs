//! What was ordered. Does not know what arrived.

use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::size::{Measure, Size};
use crate::model::spot::{At, Spot};
use crate::model::unit::Unit;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// Who bears the risk in transit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Freight {
    /// FOB destination: the seller bears it.
    Destination,
    /// FOB origin: the buyer bears it and usually claims on the carrier.
    Origin,
}

/// Which law values accepted goods that do not conform.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Law {
    /// Uniform Commercial Code, United States.
    Ucc,
    /// United Nations Convention on Contracts for the International Sale of Goods.
    Cisg,
}

/// A purchase order.
#[derive(Debug, Clone)]
pub struct Order {
    /// Its number, always text.
    pub number: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// The date of the order.
    pub date: NaiveDate,
    /// The date promised, where there is one.
    pub promised: Option<NaiveDate>,
    /// ISO 4217 code.
    pub currency: String,
    /// The job it is for.
    pub job: Option<String>,
    /// Who bears the risk in transit.
    pub freight: Freight,
    /// Which law values accepted goods, where the order says.
    pub law: Option<Law>,
    /// A trade's sales rules that the order says govern, such as `nhla`.
    pub rules: Option<String>,
    /// What was ordered.
    pub lines: Vec<OrderLine>,
    /// Where it was read.
    pub spot: Spot,
}

/// One line of an order.
#[derive(Debug, Clone)]
pub struct OrderLine {
    /// Its number, text.
    pub line: String,
    /// Our or the supplier's code.
    pub item: Option<String>,
    /// In words.
    pub description: Option<String>,
    /// How much.
    pub quantity: Quantity,
    /// The price of one `per`.
    pub unit_price: Option<Money>,
    /// What the price is for; defaults to the unit of `quantity`.
    pub per: Unit,
    /// The grade ordered.
    pub grade: Option<GradeWanted>,
    /// The grade scale it stands on.
    pub scale: Option<String>,
    /// The size ordered.
    pub size: Option<Size>,
    /// What may differ in size: given, or the name of a standard in `trade/`.
    pub size_tolerance: Option<SizeTolerance>,
    /// The opening it must fit, width x height (x depth), for an appliance or a panel.
    pub opening: Option<Size>,
    /// Named properties that must match exactly: species, cut, colour, hand, model.
    pub finish: Vec<(String, String)>,
    /// Sets of leaves that must match.
    pub sequence: Option<SequenceWanted>,
    /// The piece every leaf must yield, clear of defects.
    pub clear: Option<Size>,
    /// How far the quantity may differ.
    pub tolerance: Tolerance,
    /// What one pack holds.
    pub pack: Option<Quantity>,
    /// How lumber is measured.
    pub measure: MeasureRule,
    /// Moisture content range, per cent.
    pub moisture: Option<(Decimal, Decimal)>,
    /// Papers that must come with the goods.
    pub requires: Vec<String>,
    /// Where it was read.
    pub spot: Spot,
}

/// A grade on an order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GradeWanted {
    /// The grade.
    pub grade: String,
    /// Whether a higher grade conforms ("A & better").
    pub and_better: bool,
}

/// What may differ in quantity before it counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tolerance {
    /// Below.
    pub under: Slack,
    /// Above.
    pub over: Slack,
}

/// A tolerance: an amount in the line's unit, or a per cent of what was ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slack {
    /// In the line's unit.
    Amount(Decimal),
    /// Per cent of the amount ordered.
    PerCent(Decimal),
}

impl Default for Slack {
    fn default() -> Self {
        Slack::Amount(Decimal::ZERO)
    }
}

impl Slack {
    /// Returns the slack in the line's unit for an amount ordered.
    pub fn of(self, ordered: Decimal) -> Decimal {
        match self {
            Slack::Amount(amount) => amount,
            Slack::PerCent(per_cent) => ordered * per_cent / Decimal::ONE_HUNDRED,
        }
    }
}

/// What may differ in size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SizeTolerance {
    /// The same allowance for length and width.
    Given {
        /// How much smaller it may be.
        under: Measure,
        /// How much larger it may be.
        over: Measure,
    },
    /// By a standard in `trade/tolerances.yaml`.
    Standard(At<String>),
}

/// The sets that a line's leaves must make.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SequenceWanted {
    /// The sets, in the order given.
    pub sets: Vec<SetWanted>,
    /// How many numbers may be missing between neighbours of a set.
    pub skip: u32,
    /// Whether all sets must come from one flitch.
    pub one_flitch: bool,
    /// Drift of a landmark from leaf to leaf above which a run is broken, where given.
    pub drift: Option<Measure>,
}

/// How neighbouring leaves are matched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Match {
    /// Alternate leaves are turned.
    Book,
    /// No leaf is turned.
    Slip,
    /// Leaves as they come, the end leaf trimmed.
    Running,
    /// Leaves of equal width.
    Balance,
    /// An even number of leaves of equal width, a joint on the centre line.
    Centre,
}

/// One set: the leaves one matched face needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetWanted {
    /// The face it is for, where named.
    pub face: Option<String>,
    /// How many leaves.
    pub leaves: usize,
    /// How they are matched, where stated.
    pub matching: Option<Match>,
    /// The face width and usable leaf width the count was worked out from, where it was not given.
    pub from_width: Option<(Measure, Measure)>,
}

/// How lumber of a line is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct MeasureRule {
    /// Whether the order is for the measure after kiln drying.
    pub net: bool,
    /// Shrinkage in drying, per cent; stated where the order is for green measure but tallied net.
    pub shrinkage: Option<Decimal>,
    /// Whether widths count in whole inches (export practice).
    pub whole_inch: bool,
}
