//! Grade: is it as good as ordered? The scales and their sources stand in `trade/grades.yaml`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::measure;
use crate::check::pair::{Pair, PairedLot};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::order::GradeWanted;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::trade::grades::{self, Scale};
use rust_decimal::Decimal;
use std::cmp::Ordering;

/// Finds lots of a lower, a higher or an incomparable grade, and lots whose grade was not recorded.
///
/// A higher grade than ordered is still different, unless the order says "& better" (UCC 2-601, "in any respect").
///
/// # Errors
/// None; grades that a scale does not have are found by `validate`.
pub fn look(case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let Some(wanted) = &pair.line.grade else {
        return Ok(Vec::new());
    };
    let scale = pair.line.scale.as_deref().and_then(grades::scale);
    // One finding for each grade that came, in the order it first came.
    let mut groups: Vec<(Judged, String, Vec<Touch>)> = Vec::new();
    for (place, lot) in pair.lots.iter().enumerate() {
        if lot.amount.is_zero() {
            continue;
        }
        for (grade, amount) in by_grade(pair, lot) {
            let came = grade.as_deref().map(|grade| case.our_grade(grade));
            let Some(judged) = judge(wanted, scale, came) else {
                continue;
            };
            let name = came.unwrap_or("").to_owned();
            let touch = Touch { lot: place, amount };
            match groups
                .iter_mut()
                .find(|(known, grade, _)| *known == judged && *grade == name)
            {
                Some((_, _, touches)) => touches.push(touch),
                None => groups.push((judged, name, vec![touch])),
            }
        }
    }
    Ok(groups
        .into_iter()
        .map(|(judged, came, touches)| {
            let finding = sentence(pair, wanted, judged, &came, &touches);
            Found { finding, touches }
        })
        .collect())
}

/// Returns how much of a lot bears which grade, in the order line's unit: the lot's grade, or for lumber the grades of its
/// boards, where they bear their own.
fn by_grade(pair: &Pair<'_>, lot: &PairedLot<'_>) -> Vec<(Option<String>, Decimal)> {
    let whole = lot.line.grade.as_ref().map(|grade| grade.value.clone());
    // A tally that cannot be measured was a problem when the lot was paired.
    let tallied = measure::tally(pair.line, lot.line).ok().flatten();
    let Some(tallied) =
        tallied.filter(|tallied| tallied.grades.iter().any(|sum| sum.grade.is_some()))
    else {
        return vec![(whole, lot.amount)];
    };
    tallied
        .grades
        .iter()
        .map(|sum| {
            // The grades add up to the whole tally; in another unit each has its share of the lot.
            let share = (lot.amount * sum.board_feet)
                .checked_div(tallied.board_feet)
                .unwrap_or_default();
            (sum.grade.clone().or_else(|| whole.clone()), share)
        })
        .collect()
}

/// What a grade that does not conform is against the grade wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Judged {
    Lower,
    Higher,
    NotComparable,
    NotRecorded,
}

/// Judges a grade that came; `None` where it conforms.
fn judge(wanted: &GradeWanted, scale: Option<&Scale>, came: Option<&str>) -> Option<Judged> {
    let Some(came) = came else {
        return Some(Judged::NotRecorded);
    };
    let Some(scale) = scale else {
        let same = wanted.grade.eq_ignore_ascii_case(came.trim());
        return (!same).then_some(Judged::NotComparable);
    };
    match scale.compare(came, &wanted.grade) {
        Some(Ordering::Equal) => None,
        Some(Ordering::Greater) if wanted.and_better => None,
        Some(Ordering::Greater) => Some(Judged::Higher),
        Some(Ordering::Less) => Some(Judged::Lower),
        None => Some(Judged::NotComparable),
    }
}

fn sentence(
    pair: &Pair<'_>,
    wanted: &GradeWanted,
    judged: Judged,
    came: &str,
    touches: &[Touch],
) -> Finding {
    let unit = pair.line.quantity.unit;
    let amount: Decimal = touches.iter().map(|touch| touch.amount).sum();
    let said = Quantity::new(amount, unit);
    let grade = grade_text(wanted);
    let (kind, text) = match judged {
        Judged::Lower => (
            Kind::GradeLower,
            format!("{said} of grade {came}, lower than {grade} as ordered"),
        ),
        Judged::Higher => (
            Kind::GradeHigher,
            format!("{said} of grade {came}, higher than {grade} as ordered"),
        ),
        Judged::NotComparable => (
            Kind::GradeNotComparable,
            format!("{said} of grade {came}, which does not compare with {grade} as ordered"),
        ),
        Judged::NotRecorded => (
            Kind::GradeNotRecorded,
            format!("grade of {said} not recorded; {grade} was ordered"),
        ),
    };
    let mut finding = Finding::new(kind, amount, unit, text);
    finding.wanted = Some(grade);
    finding.found = (!came.is_empty()).then(|| came.to_owned());
    finding.about = pair.line.scale.clone();
    finding.receipts = pair.receipts_of(touches);
    if judged == Judged::Higher {
        finding.advice = Some(
            "may be used at the order price if it still matches the rest; the owner says so"
                .to_owned(),
        );
    }
    finding
}

/// Returns the grade as the order says it: `A`, `A & better`.
pub fn grade_text(wanted: &GradeWanted) -> String {
    if wanted.and_better {
        format!("{} & better", wanted.grade)
    } else {
        wanted.grade.clone()
    }
}
