//! Size: does it measure what was ordered, grain the right way, and does it fit its opening? Named tolerances stand in
//! `trade/tolerances.yaml`.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::{Pair, PairedLot};
use crate::check::sequence::extent::length_text;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::length::Length;
use crate::model::order::{OrderLine, SizeTolerance};
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::size::{Measure, Size};
use crate::model::words::ticked;
use crate::trade::{lumber, tolerances};

/// Finds lots that are too small, too large, turned, or not measured.
///
/// There is no tolerance unless the order states one (UCC 2-601).
///
/// # Errors
/// A tolerance standard that nobody knows.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let line = pair.line;
    let mut found: Vec<Found> = scant(pair);
    if line.size.is_none() && line.opening.is_none() {
        return Ok(found);
    }
    let slack = slack(line)?;
    for (place, lot) in pair
        .lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
    {
        for (kind, text, wanted) in differences(line, lot, slack) {
            add(&mut found, pair, place, kind, text, wanted);
        }
    }
    Ok(found)
}

/// Finds kiln-dried rough lumber thinner than its quarters and the scant allowance let it be (`trade/lumber.yaml`).
fn scant(pair: &Pair<'_>) -> Vec<Found> {
    let unit = pair.line.quantity.unit;
    pair.lots
        .iter()
        .enumerate()
        .filter(|(_, lot)| !lot.amount.is_zero())
        .filter_map(|(place, lot)| {
            let tally = lot.line.tally.as_ref()?;
            let measured = tally.measured?;
            let nominal = lumber::nominal(tally.quarters);
            let least = nominal - lumber::scant(nominal);
            if measured >= least {
                return None;
            }
            let written = Measure {
                length: nominal,
                text: format!("{}/4 in", tally.quarters),
            };
            let (came, least) = (
                length_text(measured, &written),
                length_text(least, &written),
            );
            let said = Quantity::new(lot.amount, unit);
            let mut finding = Finding::new(
                Kind::Undersize,
                lot.amount,
                unit,
                format!(
                    "{said} of {}/4 measured {came} thick; kiln-dried rough may be scant to {least}, not below",
                    tally.quarters
                ),
            )
            .compared(format!("{}/4, at least {least}", tally.quarters), came);
            let touch = Touch {
                lot: place,
                amount: lot.amount,
            };
            finding.receipts = pair.receipts_of(&[touch]);
            Some(Found {
                finding,
                touches: vec![touch],
            })
        })
        .collect()
}

/// What a size may differ: under and over for length and width, under and over for thickness.
#[derive(Debug, Clone, Copy)]
struct Slack {
    face: (Length, Length),
    thickness: (Length, Length),
}

fn slack(line: &OrderLine) -> Result<Slack, Vec<Problem>> {
    let none = (Length::ZERO, Length::ZERO);
    match &line.size_tolerance {
        None => Ok(Slack {
            face: none,
            thickness: none,
        }),
        Some(SizeTolerance::Given { under, over }) => Ok(Slack {
            face: (under.length, over.length),
            thickness: (under.length, over.length),
        }),
        Some(SizeTolerance::Standard(name)) => match tolerances::named(&name.value) {
            Some(standard) => Ok(Slack {
                face: (standard.sides.under, standard.sides.over),
                thickness: standard
                    .thickness
                    .as_ref()
                    .map_or(none, |thickness| (thickness.under, thickness.over)),
            }),
            None => {
                let problem = Problem::new(
                    &name.spot,
                    format!("unknown size tolerance `{}`", name.value),
                );
                Err(vec![match tolerances::near(&name.value) {
                    Some(near) => problem.hint(format!("did you mean `{near}`?")),
                    None => problem.hint(format!(
                        "there are {}; or give `{{under: 1/16 in, over: 0 in}}`",
                        ticked(
                            tolerances::standards()
                                .iter()
                                .map(|standard| standard.name.as_str())
                        )
                    )),
                }])
            }
        },
    }
}

fn differences(line: &OrderLine, lot: &PairedLot<'_>, slack: Slack) -> Vec<(Kind, String, String)> {
    let said = Quantity::new(lot.amount, line.quantity.unit);
    let Some(came) = &lot.line.size else {
        let wanted = line.size.as_ref().or(line.opening.as_ref());
        let wanted = wanted.map(ToString::to_string).unwrap_or_default();
        let text = match (&line.size, &line.opening) {
            (Some(size), _) => format!("size of {said} not recorded; {size} was ordered"),
            (None, _) => format!("size of {said} not recorded; it must fit an opening of {wanted}"),
        };
        return vec![(Kind::SizeNotRecorded, text, wanted)];
    };
    let mut out = Vec::new();
    if let Some(wanted) = &line.size {
        let written = wanted.to_string();
        if fits(came, wanted, slack) {
            // As ordered across and along; thickness is looked at below.
        } else if turned(came, wanted, slack) {
            out.push((
                Kind::GrainTurned,
                format!("{said} of {came}: the grain runs the wrong way for {wanted} (across x along the grain)"),
                written.clone(),
            ));
        } else {
            for (kind, below) in [(Kind::Undersize, true), (Kind::Oversize, false)] {
                if face_is_off(came, wanted, slack, below) {
                    let word = if below { "smaller" } else { "larger" };
                    out.push((
                        kind,
                        format!(
                            "{said} of {came}, {word} than {wanted} as ordered{}",
                            allowed(line)
                        ),
                        written.clone(),
                    ));
                }
            }
        }
        out.extend(thickness(line, came, wanted, said, slack));
    }
    if let Some(opening) = &line.opening
        && does_not_fit(came, opening)
    {
        out.push((
            Kind::Oversize,
            format!("{said} of {came} does not fit the opening of {opening}"),
            opening.to_string(),
        ));
    }
    out
}

fn thickness(
    line: &OrderLine,
    came: &Size,
    wanted: &Size,
    said: Quantity,
    slack: Slack,
) -> Option<(Kind, String, String)> {
    let wanted = wanted.thickness.as_ref()?;
    let Some(measured) = &came.thickness else {
        return Some((
            Kind::SizeNotRecorded,
            format!("thickness of {said} not recorded; {wanted} was ordered"),
            wanted.to_string(),
        ));
    };
    let (kind, word) = if measured.length < wanted.length - slack.thickness.0 {
        (Kind::Undersize, "thinner")
    } else if measured.length > wanted.length + slack.thickness.1 {
        (Kind::Oversize, "thicker")
    } else {
        return None;
    };
    Some((
        kind,
        format!(
            "{said} {measured} thick, {word} than {wanted} as ordered{}",
            allowed(line)
        ),
        wanted.to_string(),
    ))
}

fn allowed(line: &OrderLine) -> String {
    match &line.size_tolerance {
        None => String::new(),
        Some(SizeTolerance::Given { under, over }) => {
            format!(", beyond the {under} under and {over} over that it allows")
        }
        Some(SizeTolerance::Standard(name)) => format!(", beyond what {} allows", name.value),
    }
}

fn fits(came: &Size, wanted: &Size, slack: Slack) -> bool {
    within(came.across.length, wanted.across.length, slack.face)
        && within(came.along.length, wanted.along.length, slack.face)
}

fn turned(came: &Size, wanted: &Size, slack: Slack) -> bool {
    within(came.across.length, wanted.along.length, slack.face)
        && within(came.along.length, wanted.across.length, slack.face)
}

fn within(came: Length, wanted: Length, (under, over): (Length, Length)) -> bool {
    came >= wanted - under && came <= wanted + over
}

fn face_is_off(came: &Size, wanted: &Size, slack: Slack, below: bool) -> bool {
    [(&came.across, &wanted.across), (&came.along, &wanted.along)]
        .iter()
        .any(|(came, wanted)| {
            if below {
                came.length < wanted.length - slack.face.0
            } else {
                came.length > wanted.length + slack.face.1
            }
        })
}

/// An appliance must be no larger than its opening in every extent that both state.
fn does_not_fit(came: &Size, opening: &Size) -> bool {
    came.across.length > opening.across.length
        || came.along.length > opening.along.length
        || matches!(
            (&came.thickness, &opening.thickness),
            (Some(came), Some(opening)) if came.length > opening.length
        )
}

/// Adds a finding about one lot: each lot was measured by itself.
fn add(
    found: &mut Vec<Found>,
    pair: &Pair<'_>,
    place: usize,
    kind: Kind,
    text: String,
    wanted: String,
) {
    let lot = &pair.lots[place];
    let touch = Touch {
        lot: place,
        amount: lot.amount,
    };
    let mut finding = Finding::new(kind, lot.amount, pair.line.quantity.unit, text);
    finding.wanted = Some(wanted);
    finding.found = lot.line.size.as_ref().map(ToString::to_string);
    finding.receipts = pair.receipts_of(&[touch]);
    found.push(Found {
        finding,
        touches: vec![touch],
    });
}
