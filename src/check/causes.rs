//! Patterns over several findings that explain them. Changes no finding.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, LineAnswer};

pub mod exchanged;
pub mod graded_down;
pub mod mixed_flitches;
pub mod pack_mix_up;
pub mod sent_twice;
pub mod wrong_finish;

/// One pattern.
type Pattern = fn(&Case<'_>, &Paired<'_>, &[LineAnswer]) -> Vec<Cause>;

/// The patterns, in the order in which they are told.
const PATTERNS: &[Pattern] = &[
    exchanged::look,
    graded_down::look,
    pack_mix_up::look,
    sent_twice::look,
    mixed_flitches::look,
    wrong_finish::look,
];

/// Returns every likely cause.
pub fn all(case: &Case<'_>, paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    PATTERNS
        .iter()
        .flat_map(|pattern| pattern(case, paired, lines))
        .collect()
}
