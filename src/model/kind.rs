//! The table of findings: every way in which a delivery can differ, and what that means. Writes no sentences.
//!
//! Adding a kind: one variant here; the compiler lists the rest (its remedy, its letter clause, its example).

/// What a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Aspect {
    /// What it is.
    Item,
    /// How much.
    Quantity,
    /// How good.
    Grade,
    /// How large.
    Size,
    /// Named properties.
    Finish,
    /// Leaves that follow each other.
    Sequence,
    /// Damage and defects.
    Condition,
    /// Labels and certificates.
    Papers,
    /// When.
    Timing,
    /// What it is billed at.
    Price,
}

impl Aspect {
    /// Returns the name used in files and in the JSON answer.
    pub const fn name(self) -> &'static str {
        match self {
            Aspect::Item => "item",
            Aspect::Quantity => "quantity",
            Aspect::Grade => "grade",
            Aspect::Size => "size",
            Aspect::Finish => "finish",
            Aspect::Sequence => "sequence",
            Aspect::Condition => "condition",
            Aspect::Papers => "papers",
            Aspect::Timing => "timing",
            Aspect::Price => "price",
        }
    }
}

/// What a finding of a kind does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// Differs from the order and can be claimed.
    Claimed,
    /// Not recorded well enough: holds the goods, is never claimed from a supplier.
    LookAgain,
    /// Informs; makes nothing "not as ordered" by itself.
    Informs,
    /// Differs and is logged; claimed only when the owner says so.
    Logged,
}

/// One way in which what arrived can differ from the order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Nothing on the order is like it.
    NotOrdered,
    /// Sent for a line, but another item.
    WrongItem,
    /// Less than ordered.
    Short,
    /// More than ordered.
    Over,
    /// Less than ordered, and the slip says the rest follows.
    BackOrdered,
    /// The slip says another amount than was counted.
    SlipDiffers,
    /// A lower grade.
    GradeLower,
    /// A higher grade.
    GradeHigher,
    /// A grade that does not compare with the one ordered.
    GradeNotComparable,
    /// No grade recorded.
    GradeNotRecorded,
    /// Smaller than the tolerance allows.
    Undersize,
    /// Larger than the tolerance allows.
    Oversize,
    /// The right size with the grain the wrong way.
    GrainTurned,
    /// No size recorded.
    SizeNotRecorded,
    /// A named property differs.
    FinishDiffers,
    /// A named property was not recorded.
    FinishNotRecorded,
    /// Sets cannot be made from the leaves that came.
    SetsMissing,
    /// Leaves were not recorded.
    SequenceNotRecorded,
    /// Damaged.
    Damaged,
    /// A leaf without a clear piece of the size needed.
    NotClear,
    /// A paper or label that must come with the goods did not.
    PaperMissing,
    /// After the date promised.
    Late,
    /// Well before the date promised.
    Early,
    /// Billed above the order.
    PriceAbove,
    /// Billed below the order.
    PriceBelow,
}

impl Kind {
    /// Every kind, in the order in which findings are told.
    pub const ALL: [Kind; 25] = [
        Kind::NotOrdered,
        Kind::WrongItem,
        Kind::Short,
        Kind::Over,
        Kind::BackOrdered,
        Kind::SlipDiffers,
        Kind::GradeLower,
        Kind::GradeHigher,
        Kind::GradeNotComparable,
        Kind::GradeNotRecorded,
        Kind::Undersize,
        Kind::Oversize,
        Kind::GrainTurned,
        Kind::SizeNotRecorded,
        Kind::FinishDiffers,
        Kind::FinishNotRecorded,
        Kind::SetsMissing,
        Kind::SequenceNotRecorded,
        Kind::Damaged,
        Kind::NotClear,
        Kind::PaperMissing,
        Kind::Late,
        Kind::Early,
        Kind::PriceAbove,
        Kind::PriceBelow,
    ];

    /// Returns what the kind is about.
    pub const fn aspect(self) -> Aspect {
        match self {
            Kind::NotOrdered | Kind::WrongItem => Aspect::Item,
            Kind::Short | Kind::Over | Kind::BackOrdered | Kind::SlipDiffers => Aspect::Quantity,
            Kind::GradeLower
            | Kind::GradeHigher
            | Kind::GradeNotComparable
            | Kind::GradeNotRecorded => Aspect::Grade,
            Kind::Undersize | Kind::Oversize | Kind::GrainTurned | Kind::SizeNotRecorded => {
                Aspect::Size
            }
            Kind::FinishDiffers | Kind::FinishNotRecorded => Aspect::Finish,
            Kind::SetsMissing | Kind::SequenceNotRecorded => Aspect::Sequence,
            Kind::Damaged | Kind::NotClear => Aspect::Condition,
            Kind::PaperMissing => Aspect::Papers,
            Kind::Late | Kind::Early => Aspect::Timing,
            Kind::PriceAbove | Kind::PriceBelow => Aspect::Price,
        }
    }

    /// Returns the name used in the JSON answer; unique within the aspect.
    pub const fn name(self) -> &'static str {
        match self {
            Kind::NotOrdered => "not-ordered",
            Kind::WrongItem => "wrong-item",
            Kind::Short => "short",
            Kind::Over => "over",
            Kind::BackOrdered => "back-ordered",
            Kind::SlipDiffers => "slip-differs",
            Kind::GradeLower => "lower",
            Kind::GradeHigher => "higher",
            Kind::GradeNotComparable => "not-comparable",
            Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SequenceNotRecorded => "not-recorded",
            Kind::Undersize => "undersize",
            Kind::Oversize => "oversize",
            Kind::GrainTurned => "grain-turned",
            Kind::FinishDiffers => "differs",
            Kind::SetsMissing => "sets-missing",
            Kind::Damaged => "damaged",
            Kind::NotClear => "not-clear",
            Kind::PaperMissing => "missing",
            Kind::Late => "late",
            Kind::Early => "early",
            Kind::PriceAbove => "above",
            Kind::PriceBelow => "below",
        }
    }

    /// Returns what a finding of this kind does.
    pub const fn effect(self) -> Effect {
        match self {
            Kind::BackOrdered | Kind::SlipDiffers => Effect::Informs,
            Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SequenceNotRecorded => Effect::LookAgain,
            Kind::Late | Kind::Early | Kind::PriceBelow => Effect::Logged,
            Kind::NotOrdered
            | Kind::WrongItem
            | Kind::Short
            | Kind::Over
            | Kind::GradeLower
            | Kind::GradeHigher
            | Kind::GradeNotComparable
            | Kind::Undersize
            | Kind::Oversize
            | Kind::GrainTurned
            | Kind::FinishDiffers
            | Kind::SetsMissing
            | Kind::Damaged
            | Kind::NotClear
            | Kind::PaperMissing
            | Kind::PriceAbove => Effect::Claimed,
        }
    }

    /// Returns whether the units it touches do not conform. The others touch the delivery, the sets or the bill; what
    /// was not recorded well enough is held, but nobody can say that it does not conform.
    pub const fn rejects_units(self) -> bool {
        match self {
            Kind::NotOrdered
            | Kind::WrongItem
            | Kind::GradeLower
            | Kind::GradeHigher
            | Kind::GradeNotComparable
            | Kind::Undersize
            | Kind::Oversize
            | Kind::GrainTurned
            | Kind::FinishDiffers
            | Kind::Damaged
            | Kind::NotClear => true,
            Kind::Short
            | Kind::Over
            | Kind::BackOrdered
            | Kind::SlipDiffers
            | Kind::PaperMissing
            | Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SetsMissing
            | Kind::SequenceNotRecorded
            | Kind::Late
            | Kind::Early
            | Kind::PriceAbove
            | Kind::PriceBelow => false,
        }
    }

    /// Returns whether the units it touches are held though they are not known not to conform: until somebody has looked
    /// again, or the papers are here.
    pub const fn only_holds_units(self) -> bool {
        matches!(self.effect(), Effect::LookAgain) || matches!(self, Kind::PaperMissing)
    }

    /// Returns in two or three words why goods are held for it.
    pub const fn held_because(self) -> &'static str {
        match self {
            Kind::NotOrdered => "not ordered",
            Kind::WrongItem => "wrong item",
            Kind::Short | Kind::BackOrdered => "short",
            Kind::Over => "more than ordered",
            Kind::SlipDiffers => "the slip differs",
            Kind::GradeLower => "lower grade",
            Kind::GradeHigher => "higher grade: may it be used?",
            Kind::GradeNotComparable => "another grade",
            Kind::Undersize => "undersize",
            Kind::Oversize => "oversize",
            Kind::GrainTurned => "grain the wrong way",
            Kind::FinishDiffers => "not as specified",
            Kind::SetsMissing => "sets cannot be made",
            Kind::Damaged => "damaged",
            Kind::NotClear => "defects in the way",
            Kind::PaperMissing => "papers missing",
            Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SequenceNotRecorded => "look again",
            Kind::Late => "late",
            Kind::Early => "early",
            Kind::PriceAbove | Kind::PriceBelow => "billed otherwise",
        }
    }

    /// Returns the code of UN/EDIFACT data element 4221 (discrepancy nature) nearest to the kind; `None` where
    /// the code list has no word for it and the sentence must say it.
    pub const fn edifact_discrepancy(self) -> Option<&'static str> {
        match self {
            Kind::Over => Some("AC"),
            Kind::NotOrdered => Some("AE"),
            Kind::Damaged => Some("AF"),
            Kind::Late => Some("AG"),
            Kind::BackOrdered => Some("BP"),
            Kind::Short => Some("CP"),
            Kind::WrongItem | Kind::GradeLower | Kind::GradeHigher | Kind::GradeNotComparable => {
                Some("CS")
            }
            Kind::SlipDiffers
            | Kind::GradeNotRecorded
            | Kind::Undersize
            | Kind::Oversize
            | Kind::GrainTurned
            | Kind::SizeNotRecorded
            | Kind::FinishDiffers
            | Kind::FinishNotRecorded
            | Kind::SetsMissing
            | Kind::SequenceNotRecorded
            | Kind::NotClear
            | Kind::PaperMissing
            | Kind::Early
            | Kind::PriceAbove
            | Kind::PriceBelow => None,
        }
    }

    /// Returns the UBL 2.1 RejectReasonCode (Peppol T128) of units rejected for it; `None` where nothing is
    /// rejected. 1 broken, 2 quality, 3 wrong items, 4 wrong version, 5 incorrectly labelled, 6 incorrect price,
    /// 99 other.
    pub const fn ubl_reason(self) -> Option<&'static str> {
        match self {
            Kind::Damaged => Some("1"),
            Kind::GradeLower
            | Kind::GradeNotComparable
            | Kind::Undersize
            | Kind::Oversize
            | Kind::GrainTurned
            | Kind::NotClear => Some("2"),
            Kind::NotOrdered | Kind::WrongItem | Kind::Over => Some("3"),
            Kind::GradeHigher | Kind::FinishDiffers => Some("4"),
            Kind::PaperMissing => Some("5"),
            Kind::PriceAbove | Kind::PriceBelow => Some("6"),
            Kind::SetsMissing
            | Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SequenceNotRecorded => Some("99"),
            Kind::Short | Kind::BackOrdered | Kind::SlipDiffers | Kind::Late | Kind::Early => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Kind;
    use std::collections::HashSet;

    #[test]
    fn aspect_and_name_together_are_unique() {
        let names: HashSet<_> = Kind::ALL
            .iter()
            .map(|kind| (kind.aspect(), kind.name()))
            .collect();
        assert_eq!(names.len(), Kind::ALL.len());
    }

    #[test]
    fn the_table_is_in_the_order_of_the_variants() {
        assert!(Kind::ALL.windows(2).all(|pair| pair[0] < pair[1]));
    }
}
