//! Pack mix-up: boxes counted or sent as pieces, or pieces as boxes. The findings are right already, because amounts are
//! converted before they are compared; this says why they are what they are.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use crate::model::unit::Dimension;
use crate::trade::units;

/// Finds lines where the number that came is the number ordered in another unit: as many boxes as pieces were ordered, as
/// many pieces as boxes, or boxes written down as pieces (4 each, where 200 each in boxes of 50 were ordered) or pieces
/// as boxes.
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
        let pack = pair.line.pack.or(lot.line.pack);
        if !differs
            || !(bare_number(ordered, came)
                || pack.is_some_and(|pack| counted_as_the_other(ordered, came, pack)))
        {
            continue;
        }
        let holds = pack
            .map(|pack| format!(" (one holds {pack})"))
            .unwrap_or_default();
        causes.push(Cause {
            kind: CauseKind::PackMixUp,
            advice: Some("count once more, box by box, before anything is claimed"),
            lines: vec![answer.line.clone()],
            text: format!(
                "boxes and pieces look mixed up on line {}: {came} for {ordered}{holds}",
                answer.line,
            ),
        });
    }
    causes
}

/// The bare number is right and the unit is not, one of the two a pack.
fn bare_number(ordered: Quantity, came: Quantity) -> bool {
    is_pack(ordered) != is_pack(came) && came.amount == ordered.amount
}

/// The unit is the one ordered, and the number would be right in the other.
fn counted_as_the_other(ordered: Quantity, came: Quantity, pack: Quantity) -> bool {
    let in_pieces = !is_pack(ordered) && pack.unit == ordered.unit;
    let (boxes, pieces) = if in_pieces {
        (came.amount, ordered.amount)
    } else {
        (ordered.amount, came.amount)
    };
    (in_pieces || is_pack(ordered))
        && came.unit == ordered.unit
        && boxes != pieces
        && boxes.checked_mul(pack.amount) == Some(pieces)
}

fn is_pack(quantity: Quantity) -> bool {
    units::dimension(quantity.unit) == Dimension::Pack
}
