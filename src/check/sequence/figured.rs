//! Gives unmarked leaves a place by their figure, and says in plain words how sure that is. The order itself is found by
//! `unmarked`. It is evidence, not proof.

use crate::check::sequence::unmarked::{Drift, FiguredLeaf, Order, Reason, order};
use crate::model::answer::Unmarked;
use crate::model::leaf::Leaf;
use crate::model::length::Length;
use crate::model::order::SequenceWanted;
use std::collections::HashSet;

/// How finely a landmark is read with a tape: 1/16 in (common practice).
const READING: Length = Length::from_nm(1_587_500);

/// The most leaves of one flitch that are put in order by their figure; the work grows faster than their square.
const MOST: usize = 300;

/// Where the leaves of one flitch stand.
#[derive(Debug, Default)]
pub struct Placed {
    /// The place of each leaf, as given: its number, or what its figure gives; `None` where nothing tells.
    pub places: Vec<Option<u32>>,
    /// What must be looked at again: which leaves, and why.
    pub look_again: Vec<(Vec<usize>, String)>,
    /// The order found and how sure it is, where unmarked leaves were placed.
    pub told: Option<Unmarked>,
}

/// Places the leaves of one flitch. Marked leaves keep their numbers; a mark that the figure contradicts is told.
pub fn place(leaves: &[&Leaf], wanted: &SequenceWanted) -> Placed {
    let mut placed = Placed {
        places: leaves.iter().map(|leaf| leaf.number).collect(),
        ..Placed::default()
    };
    let any_unmarked = leaves.iter().any(|leaf| leaf.number.is_none());
    let figured = leaves.iter().filter(|leaf| !leaf.figure.is_empty()).count();
    if figured == 0 {
        let bare: Vec<usize> = (0..leaves.len())
            .filter(|leaf| leaves[*leaf].number.is_none())
            .collect();
        if !bare.is_empty() {
            placed
                .look_again
                .push((bare.clone(), no_place(&bare, leaves)));
        }
        return placed;
    }
    if figured > MOST {
        let all: Vec<usize> = (0..leaves.len())
            .filter(|leaf| leaves[*leaf].number.is_none())
            .collect();
        let text = format!(
            "more than {MOST} leaves to put in order by their figure: record them by bundle, as flitches"
        );
        placed.look_again.push((all, text));
        return placed;
    }
    let found = order(
        &leaves
            .iter()
            .map(|leaf| FiguredLeaf {
                number: leaf.number,
                figure: leaf
                    .figure
                    .iter()
                    .map(|landmark| (landmark.name.clone(), landmark.butt))
                    .collect(),
            })
            .collect::<Vec<_>>(),
        Drift {
            tolerance: wanted.drift.as_ref().map(|drift| drift.length),
            reading: READING,
        },
    );
    if any_unmarked {
        number(leaves, &found, wanted.skip, &mut placed.places);
        placed.told = Some(told(leaves, &found));
    }
    let bare: Vec<usize> = (0..leaves.len())
        .filter(|leaf| placed.places[*leaf].is_none())
        .collect();
    if !bare.is_empty() {
        placed
            .look_again
            .push((bare.clone(), no_place(&bare, leaves)));
    }
    if !found.contradicted.is_empty() {
        let names = names(&found.contradicted, leaves);
        placed.look_again.push((
            found.contradicted.clone(),
            format!("the figure contradicts the mark of leaf {names}: look at both"),
        ));
    }
    placed
}

/// Numbers unmarked leaves. A run that holds a marked leaf counts from it; a run without one gets places of its own, far
/// enough from every other that no set goes across.
fn number(leaves: &[&Leaf], found: &Order, skip: u32, places: &mut [Option<u32>]) {
    let mut taken: HashSet<u32> = places.iter().flatten().copied().collect();
    let apart = skip.saturating_add(2);
    let mut next = taken
        .iter()
        .max()
        .map_or(1, |last| last.saturating_add(apart));
    for run in found.runs() {
        // A marked leaf whose mark the figure contradicts is no ground to count from.
        let anchor = run
            .iter()
            .position(|leaf| leaves[*leaf].number.is_some() && !found.contradicted.contains(leaf));
        for (at, leaf) in run.iter().enumerate() {
            if leaves[*leaf].number.is_some() {
                continue;
            }
            let place = match anchor {
                Some(anchor) => counted_from(leaves[run[anchor]].number, anchor, at)
                    .filter(|place| !taken.contains(place)),
                None => {
                    let place = next;
                    next = next.saturating_add(1);
                    Some(place)
                }
            };
            if let Some(place) = place {
                taken.insert(place);
                places[*leaf] = Some(place);
            }
        }
        if anchor.is_none() {
            next = next.saturating_add(apart);
        }
    }
}

fn counted_from(number: Option<u32>, anchor: usize, at: usize) -> Option<u32> {
    let place = i64::from(number?) + at as i64 - anchor as i64;
    u32::try_from(place).ok().filter(|place| *place >= 1)
}

fn no_place(bare: &[usize], leaves: &[&Leaf]) -> String {
    let word = if bare.len() == 1 { "leaf" } else { "leaves" };
    format!(
        "{word} {} cannot be placed: neither a number nor a figure that tells it",
        names(bare, leaves)
    )
}

fn names(places: &[usize], leaves: &[&Leaf]) -> String {
    places
        .iter()
        .map(|leaf| leaves[*leaf].name())
        .collect::<Vec<_>>()
        .join(", ")
}

/// Says the order and how sure it is.
fn told(leaves: &[&Leaf], found: &Order) -> Unmarked {
    let runs: Vec<Vec<String>> = found
        .runs()
        .iter()
        .map(|run| run.iter().map(|leaf| leaves[*leaf].name()).collect())
        .collect();
    let order = runs
        .iter()
        .map(|run| run.join(" "))
        .collect::<Vec<_>>()
        .join(" | ");
    let turned = if found.direction_known {
        ""
    } else {
        ", or the other way round"
    };
    let reasons: Vec<String> = found.reasons.iter().map(reason).collect();
    let because = if reasons.is_empty() {
        String::new()
    } else {
        format!(" ({})", reasons.join("; "))
    };
    let breaks = if runs.len() > 1 {
        "; | marks a break, where the figure jumps"
    } else {
        ""
    };
    Unmarked {
        sure: format!(
            "by their figure the leaves follow as {order}{turned}{breaks}. How sure: {}{because}. This is evidence, not proof.",
            found.confidence.word()
        ),
        runs,
    }
}

fn reason(reason: &Reason) -> String {
    match reason {
        Reason::FewLeaves => "fewer than three leaves can be placed".to_owned(),
        Reason::NothingInCommon(pairs) => format!("{pairs} neighbours show no landmark in common"),
        Reason::OneInCommon(pairs) => {
            format!("{pairs} neighbours show only one landmark in common")
        }
        Reason::ComesBack(landmark, times) => {
            format!(
                "{landmark} ends and comes back {times} times: leaves may be missing, shuffled or of another flitch"
            )
        }
        Reason::TurnsBack(landmark, times, steps) => {
            format!("{landmark} turns back {times} times in {steps} steps")
        }
        Reason::Alike(leaves) => format!("{leaves} leaves cannot be told from a neighbour"),
        Reason::NotMeasured(missing, all) => {
            format!("{missing} of {all} distances were not measured")
        }
        Reason::NotEveryOrder => "too many leaves to try every order".to_owned(),
        Reason::MarksDiffer(leaves) => format!("{leaves} marked leaves do not fit in this order"),
    }
}
