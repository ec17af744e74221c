//! Kinds of findings in the words of a review. Counts nothing.

use crate::model::kind::{Effect, Kind};

/// Returns a kind's name in a figure's name: `quantity-short`.
pub fn slug(kind: Kind) -> String {
    format!("{}-{}", kind.aspect().name(), kind.name())
}

/// Returns a kind by its aspect and name as the book keeps them.
pub fn named(aspect: &str, name: &str) -> Option<Kind> {
    Kind::ALL
        .into_iter()
        .find(|kind| kind.aspect().name() == aspect && kind.name() == name)
}

/// Tells whether findings of a kind can be claimed.
pub fn is_claimed(kind: Kind) -> bool {
    kind.effect() == Effect::Claimed
}

/// Returns a kind in a chart: `grade, lower`.
pub fn short(kind: Kind) -> String {
    format!("{}, {}", kind.aspect().name(), kind.name())
}

/// Returns a kind in a sentence, as what was found.
pub const fn words(kind: Kind) -> &'static str {
    match kind {
        Kind::NotOrdered => "goods that were not ordered",
        Kind::WrongItem => "wrong items",
        Kind::Short => "less than ordered",
        Kind::Over => "more than ordered",
        Kind::BackOrdered => "goods that follow later",
        Kind::SlipDiffers => "packing slips that differ from the count",
        Kind::GradeLower => "a lower grade than ordered",
        Kind::GradeHigher => "a higher grade than ordered",
        Kind::GradeNotComparable => "another grade, which does not compare with the one ordered",
        Kind::GradeNotRecorded => "no grade recorded by us",
        Kind::Undersize => "smaller than ordered",
        Kind::Oversize => "larger than ordered",
        Kind::GrainTurned => "the grain the wrong way",
        Kind::SizeNotRecorded => "no size recorded by us",
        Kind::FinishDiffers => "another finish than ordered",
        Kind::FinishNotRecorded => "no finish recorded by us",
        Kind::SetsMissing => "matched sets that cannot be made",
        Kind::SequenceNotRecorded => "no leaves recorded by us",
        Kind::Damaged => "damage",
        Kind::NotClear => "leaves without a clear piece",
        Kind::PaperMissing => "papers missing",
        Kind::Late => "late",
        Kind::Early => "early",
        Kind::PriceAbove => "billed above the order",
        Kind::PriceBelow => "billed below the order",
    }
}
