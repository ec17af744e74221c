//! Sequence: do the leaves make the sets that were ordered? The solving is in the files below; this one turns records
//! into their questions and their answers into findings.

pub mod complete;
pub mod extent;
pub mod figured;
pub mod leaves;
pub mod sets;
pub mod stock;
pub mod unmarked;
pub mod window;

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::Pair;
use crate::check::quantity;
use crate::check::sequence::complete::{Completions, complete};
use crate::check::sequence::extent::{clear_extent, position_text};
use crate::check::sequence::sets::{Cut, Wanted, cut};
use crate::check::sequence::stock::Stock;
use crate::model;
use crate::model::answer::{FilledSet, LeafRun, LeafShown, SequenceAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::length::Length;
use crate::model::order::{Match, SequenceWanted, SetWanted};
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::rect::Rect;
use crate::model::unit::Unit;
use crate::model::words::ranges;
use rust_decimal::Decimal;

/// Looks at the leaves of a line. `found` is what the other aspects found: leaves they rejected serve in no set.
///
/// # Errors
/// More leaves than were counted.
pub fn look(
    _case: &Case<'_>,
    pair: &Pair<'_>,
    found: &[Found],
) -> Result<(Option<SequenceAnswer>, Vec<Found>), Vec<Problem>> {
    let Some(wanted) = &pair.line.sequence else {
        return Ok((None, Vec::new()));
    };
    let stock = Stock::of(pair, wanted, found)?;
    let question = Wanted {
        sets: wanted
            .sets
            .iter()
            .map(|set| u32::try_from(set.leaves).unwrap_or(u32::MAX))
            .collect(),
        skip: wanted.skip,
        one_flitch: wanted.one_flitch,
        clear: clear_extent(pair.line),
    };
    let made = cut(&stock.flitches, &question);
    let ways = complete(&stock.flitches, &stock.arrived(), &question, &made);
    let answer = SequenceAnswer {
        would_complete: completions(&stock, &ways),
        new_sets: ways.new_sets.iter().map(|size| *size as usize).collect(),
        completion_bounded: ways.bounded,
        ..answer(pair, wanted, &stock, &made)
    };
    let mut more = Vec::new();
    more.extend(stock.not_recorded);
    if !made.unfilled.is_empty() && more.is_empty() && !to_follow(pair, &answer)? {
        more.push(sets_missing(
            pair,
            wanted,
            &stock.flitches,
            &question,
            &made,
            &answer,
        ));
    }
    Ok((Some(answer), more))
}

/// Returns whether what the slip says will follow is enough to complete the sets: then the line stays open.
fn to_follow(pair: &Pair<'_>, answer: &SequenceAnswer) -> Result<bool, Vec<Problem>> {
    let open = quantity::open(pair)?;
    let needed: usize = if answer.would_complete.is_empty() {
        answer.missing.iter().sum()
    } else {
        let first = answer
            .would_complete
            .iter()
            .filter(|completion| completion.option == 1);
        // The sets sent whole are told with each run of a choice; they count once.
        let whole: usize = first
            .clone()
            .take(1)
            .flat_map(|completion| &completion.with_sets)
            .sum();
        first
            .map(|completion| completion.run.leaves.len())
            .sum::<usize>()
            + whole
    };
    Ok(!open.is_zero() && Decimal::from(needed) <= open)
}

/// Puts the ways of completing into the answer's words. A leaf can be asked for by number only where the flitch is marked.
fn completions(stock: &Stock, ways: &Completions) -> Vec<model::answer::Completion> {
    ways.ways
        .iter()
        .filter(|way| way.leaves.iter().all(|(flitch, _)| stock.is_marked(flitch)))
        .enumerate()
        .flat_map(|(place, way)| {
            way.leaves
                .iter()
                .map(move |(flitch, numbers)| model::answer::Completion {
                    option: place + 1,
                    run: LeafRun {
                        flitch: flitch.clone(),
                        leaves: numbers.iter().map(ToString::to_string).collect(),
                    },
                    with_sets: way.whole_sets.iter().map(|size| *size as usize).collect(),
                })
        })
        .collect()
}

fn answer(pair: &Pair<'_>, wanted: &SequenceWanted, stock: &Stock, made: &Cut) -> SequenceAnswer {
    let clear = pair.line.clear.as_ref();
    let extent = clear_extent(pair.line);
    let filled: Vec<FilledSet> = made
        .filled
        .iter()
        .map(|set| {
            let window = set
                .window
                .zip(extent)
                .map(|(window, (across, along))| Rect {
                    left: window.left,
                    butt: window.butt,
                    across,
                    along,
                });
            FilledSet {
                again: false,
                wanted: set.wanted,
                size: set.leaves.len(),
                flitch: set.flitch.clone(),
                leaves: stock.names(&set.flitch, &set.leaves),
                window,
                window_text: window
                    .zip(clear)
                    .map(|(window, clear)| format!("{clear} at {}", position_text(&window, clear))),
            }
        })
        .collect();
    SequenceAnswer {
        wanted: wanted.sets.iter().map(|set| set.leaves).collect(),
        faces: wanted.sets.iter().map(|set| set.face.clone()).collect(),
        spare: made
            .spare
            .iter()
            .map(|run| LeafRun {
                flitch: run.flitch.clone(),
                leaves: stock.names(&run.flitch, &run.leaves),
            })
            .collect(),
        unfit: stock.unfit_runs(&made.not_clear),
        would_complete: Vec::new(),
        new_sets: Vec::new(),
        completion_bounded: false,
        missing: made
            .unfilled
            .iter()
            .map(|place| wanted.sets[*place].leaves)
            .collect(),
        clear: clear.map(ToString::to_string),
        worked_out: wanted.sets.iter().filter_map(worked_out).collect(),
        leaves: shown(stock, made),
        unmarked: stock.unmarked.clone(),
        proven: made.proven,
        most_proven: made.most_proven,
        filled,
    }
}

/// Says how a leaf count was worked out from a width.
fn worked_out(set: &SetWanted) -> Option<String> {
    let (width, usable) = set.from_width.as_ref()?;
    let name = set.face.as_deref().unwrap_or("a face");
    let even = if set.matching == Some(Match::Centre) {
        ", made even for a centre match"
    } else {
        ""
    };
    Some(format!(
        "{name}: {width} over {usable} usable is {} leaves{even}",
        set.leaves
    ))
}

fn shown(stock: &Stock, made: &Cut) -> Vec<LeafShown> {
    let mut leaves: Vec<LeafShown> = stock.shown.clone();
    for leaf in &mut leaves {
        leaf.set = made.filled.iter().position(|set| {
            set.flitch == leaf.flitch && leaf.place.is_some_and(|place| set.leaves.contains(&place))
        });
        let not_clear = leaf
            .place
            .is_some_and(|place| made.not_clear.contains(&(leaf.flitch.clone(), place)));
        if not_clear && leaf.unfit.is_none() {
            leaf.unfit = Some("no clear piece".to_owned());
        }
    }
    leaves
}

fn sets_missing(
    pair: &Pair<'_>,
    wanted: &SequenceWanted,
    flitches: &[leaves::Flitch],
    question: &Wanted,
    made: &Cut,
    answer: &SequenceAnswer,
) -> Found {
    let missing = made.unfilled.len();
    let all = wanted.sets.len();
    let names: Vec<String> = made
        .unfilled
        .iter()
        .map(|place| match &wanted.sets[*place].face {
            Some(face) => format!("{face} ({} leaves)", wanted.sets[*place].leaves),
            None => format!("set {} ({} leaves)", place + 1, wanted.sets[*place].leaves),
        })
        .take(6)
        .collect();
    let more = if missing > 6 { " and others" } else { "" };
    let verb = if missing == 1 { "needs" } else { "need" };
    let text = format!(
        "{missing} of {all} {} cannot be made: {}{more} {verb} {}; {}",
        if all == 1 { "set" } else { "sets" },
        names.join(", "),
        if wanted.one_flitch {
            "leaves that follow on, all sets from one flitch"
        } else {
            "leaves of one flitch that follow on"
        },
        why_missing(flitches, question, made, answer),
    );
    let mut finding = Finding::new(Kind::SetsMissing, Decimal::from(missing), Unit::Set, text)
        .compared(
            format!("sets of {}", sizes(&answer.wanted)),
            if made.filled.is_empty() {
                "none".to_owned()
            } else {
                let filled: Vec<usize> = answer.filled.iter().map(|set| set.size).collect();
                format!("sets of {}", sizes(&filled))
            },
        );
    finding.leaves = made
        .spare
        .iter()
        .flat_map(|run| {
            run.leaves
                .iter()
                .map(move |leaf| format!("{}/{leaf}", run.flitch))
        })
        .collect();
    // The leaves that no set uses are held with the set they were meant for.
    let touches: Vec<Touch> = pair
        .lots
        .iter()
        .enumerate()
        .filter_map(|(lot, paired)| {
            let held = paired
                .line
                .leaves
                .iter()
                .filter(|leaf| {
                    answer.spare.iter().any(|run| {
                        leaf.flitch
                            .as_ref()
                            .is_none_or(|flitch| *flitch == run.flitch)
                            && run.leaves.contains(&leaf.name())
                    })
                })
                .count();
            (held > 0).then(|| Touch {
                lot,
                amount: Decimal::from(held),
            })
        })
        .collect();
    finding.receipts = if touches.is_empty() {
        pair.receipts_of(&every_lot(pair))
    } else {
        pair.receipts_of(&touches)
    };
    Found { finding, touches }
}

fn every_lot(pair: &Pair<'_>) -> Vec<Touch> {
    (0..pair.lots.len())
        .map(|lot| Touch {
            lot,
            amount: Decimal::ZERO,
        })
        .collect()
}

/// Says why: no run is long enough, or the leaves of a run are each clear but not at one position.
fn why_missing(
    flitches: &[leaves::Flitch],
    question: &Wanted,
    made: &Cut,
    answer: &SequenceAnswer,
) -> String {
    if question.clear.is_some() {
        let without = Wanted {
            clear: None,
            ..question.clone()
        };
        let clear_only: Vec<leaves::Flitch> = flitches
            .iter()
            .map(|flitch| leaves::Flitch {
                name: flitch.name.clone(),
                leaves: flitch
                    .leaves
                    .iter()
                    .filter(|leaf| !made.not_clear.contains(&(flitch.name.clone(), leaf.number)))
                    .cloned()
                    .collect(),
            })
            .collect();
        if cut(&clear_only, &without).filled.len() > made.filled.len() {
            return "enough leaves follow on and each has a clear piece, but not at one position in all of them"
                .to_owned();
        }
    }
    let longest = answer.spare.iter().max_by(|one, other| {
        (one.leaves.len(), &other.flitch, &other.leaves).cmp(&(
            other.leaves.len(),
            &one.flitch,
            &one.leaves,
        ))
    });
    match longest {
        None => "no good leaf is left".to_owned(),
        Some(run) => format!(
            "the longest run left is {}, flitch {}: {}",
            run.leaves.len(),
            run.flitch,
            ranges(&run.leaves)
        ),
    }
}

fn sizes(sets: &[usize]) -> String {
    if sets.len() > 12 {
        return format!(
            "{} (…)",
            sets[..12]
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(", ")
        );
    }
    sets.iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Returns the amount of leaves as a sentence says it.
fn said(amount: usize, unit: Unit) -> Quantity {
    Quantity::new(Decimal::from(amount), unit)
}

/// Returns a rectangle from the corner, for a leaf's own extent.
fn whole_leaf(size: (Length, Length)) -> Rect {
    Rect {
        left: Length::ZERO,
        butt: Length::ZERO,
        across: size.0,
        along: size.1,
    }
}
