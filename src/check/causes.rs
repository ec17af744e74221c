//! Patterns over several findings that explain them. Changes no finding.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};

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

/// Returns every likely cause. What one quantity pattern explains whole, no later one explains again: an exchange of two
/// grades of one item is told once.
pub fn all(case: &Case<'_>, paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut causes: Vec<Cause> = Vec::new();
    for pattern in PATTERNS {
        for cause in pattern(case, paired, lines) {
            let told = causes.iter().any(|earlier| {
                about_quantity(earlier.kind)
                    && about_quantity(cause.kind)
                    && cause.lines.iter().all(|line| earlier.lines.contains(line))
            });
            if !told {
                causes.push(cause);
            }
        }
    }
    causes
}

const fn about_quantity(kind: CauseKind) -> bool {
    match kind {
        CauseKind::Exchanged
        | CauseKind::GradedDown
        | CauseKind::PackMixUp
        | CauseKind::SentTwice => true,
        CauseKind::MixedFlitches | CauseKind::WrongFinish => false,
    }
}

/// Sorts line numbers as numbers where they are numbers.
fn place_of(line: &str) -> (u64, String) {
    (line.parse().unwrap_or(u64::MAX), line.to_owned())
}
