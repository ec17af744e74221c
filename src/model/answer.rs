//! The answer to "is this delivery as ordered?". Holds no claim; that is `claim/`.

use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::rect::Rect;
use crate::model::unit::Unit;
use rust_decimal::Decimal;

/// The answer for one order over all its receipts.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The order's number.
    pub order: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// The receipts compared, by date and number.
    pub receipts: Vec<String>,
    /// Whether every line is as ordered and nothing came that was not ordered.
    pub as_ordered: bool,
    /// One answer an order line, in the order of the order.
    pub lines: Vec<LineAnswer>,
    /// What no line asked for.
    pub not_ordered: Vec<Stray>,
    /// Patterns that explain several findings.
    pub causes: Vec<Cause>,
    /// What the invoices say against the order and the receipts, where there are invoices.
    pub billing: Option<Billing>,
    /// What a person should know besides, such as one packing slip on two receipts.
    pub notes: Vec<String>,
    /// What could not be told, and why.
    pub left_out: Vec<String>,
}

/// The answer for one order line.
#[derive(Debug, Clone)]
pub struct LineAnswer {
    /// The line's number.
    pub line: String,
    /// The item's code, where the order gives one.
    pub item: Option<String>,
    /// In words, where the order says.
    pub description: Option<String>,
    /// Whether the line is as ordered.
    pub as_ordered: bool,
    /// Amount ordered, in `unit`.
    pub ordered: Decimal,
    /// Amount that arrived, in `unit`. Always conforming + rejected.
    pub arrived: Decimal,
    /// Amount that meets the line in every respect, in `unit`.
    pub conforming: Decimal,
    /// Amount that may be used today, in `unit`: conforming, not over, not held for its sequence.
    pub usable: Decimal,
    /// Amount that the slip says will follow and that has not arrived, in `unit`.
    pub open: Decimal,
    /// The order line's unit.
    pub unit: Unit,
    /// What differs.
    pub findings: Vec<Finding>,
    /// What the leaves make, where the line asks for sets.
    pub sequence: Option<SequenceAnswer>,
    /// The lots that were put to this line.
    pub lots: Vec<Lot>,
}

impl LineAnswer {
    /// Returns the amount that arrived and does not conform, or was not recorded well enough to say.
    pub fn rejected(&self) -> Decimal {
        self.arrived - self.conforming
    }
}

/// One receipt line put to an order line.
#[derive(Debug, Clone)]
pub struct Lot {
    /// The receipt's number.
    pub receipt: String,
    /// Which line of the receipt, from 1.
    pub index: usize,
    /// How much, in the order line's unit.
    pub amount: Decimal,
    /// How much of it does not conform, in the order line's unit.
    pub rejected: Decimal,
    /// Where it stands, where recorded.
    pub place: Option<String>,
    /// How the order line was found, where the clerk did not name it.
    pub paired_by: Option<String>,
    /// How its boards were measured, where it was tallied.
    pub measured: Option<String>,
    /// Why it is held, plain words; empty where nothing of it is.
    pub held_for: Vec<String>,
    /// What to do with it until it is settled, plain words: for its tag.
    pub advice: Vec<String>,
}

/// Goods that no order line asked for.
#[derive(Debug, Clone)]
pub struct Stray {
    /// The receipt's number.
    pub receipt: String,
    /// Which line of the receipt, from 1.
    pub index: usize,
    /// The code on the label, where there is one.
    pub item: Option<String>,
    /// In words, where recorded.
    pub description: Option<String>,
    /// How much.
    pub amount: Decimal,
    /// In what.
    pub unit: Unit,
    /// What differs: always one `not-ordered`.
    pub findings: Vec<Finding>,
}

/// What the leaves of a line make.
#[derive(Debug, Clone, Default)]
pub struct SequenceAnswer {
    /// The sizes of the sets wanted, in the order's order.
    pub wanted: Vec<usize>,
    /// The faces they are for, where named; as long as `wanted`.
    pub faces: Vec<Option<String>>,
    /// Sets that can be made.
    pub filled: Vec<FilledSet>,
    /// Good leaves that no set uses, as runs.
    pub spare: Vec<LeafRun>,
    /// Leaves that cannot serve, with the reason.
    pub unfit: Vec<(LeafRun, String)>,
    /// Choices of missing leaves that would complete the rest. Runs with the same `option` belong together.
    pub would_complete: Vec<Completion>,
    /// The other choice: sets to be sent whole, each from one flitch, largest first.
    pub new_sets: Vec<usize>,
    /// Whether fewer leaves might do: the search for completing leaves was cut short.
    pub completion_bounded: bool,
    /// Sizes of the sets that cannot be made.
    pub missing: Vec<usize>,
    /// The clear piece every leaf must yield, in words, where the order asks for one.
    pub clear: Option<String>,
    /// How leaf counts were worked out from widths, a sentence each.
    pub worked_out: Vec<String>,
    /// Every leaf that came, for the strip: by flitch and number.
    pub leaves: Vec<LeafShown>,
    /// How unmarked leaves were put in order, where there were any.
    pub unmarked: Option<Unmarked>,
    /// Whether the three aims (most sets, fewest flitches, longest spare run) are proven best.
    pub proven: bool,
    /// Whether it is proven that no other cut fills more sets.
    pub most_proven: bool,
}

/// A set that can be made.
#[derive(Debug, Clone)]
pub struct FilledSet {
    /// Which wanted set it is, counting from 0.
    pub wanted: usize,
    /// How many leaves.
    pub size: usize,
    /// The flitch.
    pub flitch: String,
    /// The leaves in order.
    pub leaves: Vec<String>,
    /// The clear window that all its leaves share, where the order asks for one.
    pub window: Option<Rect>,
    /// The window in words.
    pub window_text: Option<String>,
    /// Some of its leaves came in a lot that must be looked at again, or whose papers are not here: it is not laid up
    /// before that.
    pub again: bool,
}

/// Leaves of one flitch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeafRun {
    /// The flitch.
    pub flitch: String,
    /// The leaves in order.
    pub leaves: Vec<String>,
}

/// Missing leaves of one flitch that would complete sets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Completion {
    /// Which choice it belongs to, from 1.
    pub option: usize,
    /// The leaves to ask for.
    pub run: LeafRun,
    /// Sizes of the sets that the choice needs besides, sent whole.
    pub with_sets: Vec<usize>,
}

/// One leaf as a picture needs it.
#[derive(Debug, Clone)]
pub struct LeafShown {
    /// The flitch.
    pub flitch: String,
    /// Number or mark.
    pub name: String,
    /// The number, where it is marked.
    pub number: Option<u32>,
    /// Its place in the strip: the number, or the place that its figure gives it. Places that do not follow on are no
    /// run; `None` where nothing tells it.
    pub place: Option<u32>,
    /// Extent across and along the grain, where known.
    pub size: Option<Rect>,
    /// Defects: what and where.
    pub defects: Vec<(String, Rect)>,
    /// Which filled set uses it, as an index into `filled`.
    pub set: Option<usize>,
    /// Why it cannot serve, where it cannot.
    pub unfit: Option<String>,
}

/// How unmarked leaves were put in order.
#[derive(Debug, Clone)]
pub struct Unmarked {
    /// The marks in the order found; up to reversal. Breaks separate the runs.
    pub runs: Vec<Vec<String>>,
    /// How sure that is, in plain words.
    pub sure: String,
}

/// A pattern over several findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CauseKind {
    /// The quantities of lines are swapped.
    Exchanged,
    /// What is short on one line is over, or of a lower grade, on another of the same item.
    GradedDown,
    /// A box was counted as each.
    PackMixUp,
    /// The same goods were sent twice.
    SentTwice,
    /// Leaves of more flitches than ordered.
    MixedFlitches,
    /// The wrong finish was sent for the right one.
    WrongFinish,
}

impl CauseKind {
    /// Returns the name used in the JSON answer.
    pub const fn name(self) -> &'static str {
        match self {
            CauseKind::Exchanged => "exchanged",
            CauseKind::GradedDown => "graded-down",
            CauseKind::PackMixUp => "pack-mix-up",
            CauseKind::SentTwice => "sent-twice",
            CauseKind::MixedFlitches => "mixed-flitches",
            CauseKind::WrongFinish => "wrong-finish",
        }
    }

    /// Returns the pattern in a word or two, to stand behind a number.
    pub const fn in_words(self) -> &'static str {
        match self {
            CauseKind::Exchanged => "exchanged",
            CauseKind::GradedDown => "a lower grade sent instead",
            CauseKind::PackMixUp => "boxes and pieces mixed up",
            CauseKind::SentTwice => "sent twice",
            CauseKind::MixedFlitches => "flitches mixed",
            CauseKind::WrongFinish => "the wrong finish sent",
        }
    }

    /// Returns whether a finding of a kind, on a line of the cause, is what the pattern explains.
    pub fn explains(self, kind: Kind) -> bool {
        let kinds: &[Kind] = match self {
            CauseKind::Exchanged => &[Kind::Short, Kind::Over, Kind::SetsMissing],
            CauseKind::GradedDown => &[Kind::Short, Kind::Over, Kind::GradeLower],
            CauseKind::PackMixUp => &[Kind::Short, Kind::Over],
            CauseKind::SentTwice => &[Kind::Over, Kind::NotOrdered],
            CauseKind::MixedFlitches => &[Kind::SetsMissing],
            CauseKind::WrongFinish => &[
                Kind::FinishDiffers,
                Kind::Short,
                Kind::Over,
                Kind::WrongItem,
            ],
        };
        kinds.contains(&kind)
    }
}

/// A likely cause: explains findings, changes none of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// Which pattern.
    pub kind: CauseKind,
    /// The lines it explains.
    pub lines: Vec<String>,
    /// The sentence, fit for the supplier too.
    pub text: String,
    /// What to do before anything else: for the shop, never for the supplier.
    pub advice: Option<&'static str>,
}

/// What the invoices say against the order and the receipts.
#[derive(Debug, Clone, Default)]
pub struct Billing {
    /// The invoices compared.
    pub invoices: Vec<String>,
    /// What to pay now, two decimals.
    pub pay_now: Decimal,
    /// What to withhold, two decimals.
    pub withhold: Decimal,
    /// The invoices of which something is withheld.
    pub withheld_of: Vec<String>,
    /// The arithmetic, a line each.
    pub arithmetic: Vec<String>,
    /// Amount billed per order line, in the line's unit: line number and amount. What is billed twice counts once.
    pub billed: Vec<(String, Decimal)>,
}

/// The claim in one line, for the answer. Made by `claim/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClaimSummary {
    /// The last day to tell the supplier (or the carrier, where that is earlier); `None` where their terms and the
    /// shop's holidays are not known.
    pub notify_by: Option<chrono::NaiveDate>,
    /// Where that day comes from, in words.
    pub notify_why: Option<String>,
    /// What is claimed in money; `None` where no price is known.
    pub value: Option<crate::model::money::Money>,
    /// ISO 4217 code.
    pub currency: String,
}
