//! Pack mix-up: boxes counted or sent as pieces, or pieces as boxes. The findings are right already, because amounts are
//! converted before they are compared; this says why they are what they are.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use crate::model::unit::Dimension;
use crate::trade::units;

/// Finds lines where the bare number that came is the bare number that was ordered, in another unit.
pub fn look(_case: &Case<'_>, paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut causes = Vec::new();
    for (pair, answer) in paired.pairs.iter().zip(lines) {
        let differs = answer
            .findings
            .iter()
            .any(|finding| matches!(finding.kind, Kind::Short | Kind::Over));
        let [lot] = pair.lots.as_slice() else {
            continue;
        };
        let Some(came) = lot.line.quantity.as_ref().map(|quantity| quantity.value) else {
            continue;
        };
        let ordered = pair.line.quantity;
        let one_is_a_pack = (units::dimension(ordered.unit) == Dimension::Pack)
            != (units::dimension(came.unit) == Dimension::Pack);
        if !differs || !one_is_a_pack || came.amount != ordered.amount {
            continue;
        }
        let pack = pair
            .line
            .pack
            .map(|pack| format!(" of {pack}"))
            .unwrap_or_default();
        causes.push(Cause {
            kind: CauseKind::PackMixUp,
            lines: vec![answer.line.clone()],
            text: format!(
                "boxes and pieces look mixed up on line {}: {} for {}{pack}; that is {}, count once more",
                answer.line,
                came,
                ordered,
                Quantity::new(answer.arrived, answer.unit),
            ),
        });
    }
    causes
}
