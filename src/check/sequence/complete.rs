//! Which missing leaves would complete the sets that cannot be filled. A missing leaf is a number of the flitch that did
//! not arrive at all; it is taken to be clear. Does not say what to ask of the supplier, or in which words.

mod offers;
mod plan;

use std::collections::{BTreeMap, BTreeSet};

use crate::check::sequence::complete::offers::{Cell, Line, line};
use crate::check::sequence::complete::plan::{Plan, Step, classes};
use crate::check::sequence::leaves::{Flitch, in_order};
use crate::check::sequence::sets::{Cut, Wanted};

/// One way to complete the sets.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Completion {
    /// The missing leaves, by flitch, in order of number.
    pub leaves: Vec<(String, Vec<u32>)>,
    /// The sizes of sets that no leaf here can help to fill: they must be sent whole, largest first.
    pub whole_sets: Vec<u32>,
}

/// What would complete the sets that cannot be filled.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Completions {
    /// The ways with the fewest leaves, and of those the ones in the fewest unbroken pieces, higher numbers first; at
    /// most [`MOST_WAYS`]. Empty where nothing is missing, or where only whole sets would do.
    pub ways: Vec<Completion>,
    /// The other choice: sets to be sent whole, each from one flitch, largest first.
    pub new_sets: Vec<u32>,
    /// Whether fewer leaves might do: the work was limited.
    pub bounded: bool,
    /// Whether there are, or may be, other ways as good as these.
    pub more: bool,
}

/// What was found, in no order.
#[derive(Default)]
struct Found {
    ways: Vec<Completion>,
    bounded: bool,
    more: bool,
}

/// The most ways that are told.
pub const MOST_WAYS: usize = 8;

/// The most states for which all ways are weighed against each other.
const STATES: usize = 4_000_000;
/// The most numbers that are laid side by side round single leaves.
const NUMBERS: u64 = 200_000;
/// The most states of one step where they are not.
const STEP_STATES: usize = 250_000;
/// The most such steps; what is left after them is to be sent whole.
const STEPS: usize = 12;

/// Finds the fewest missing leaves with which all the wanted sets could be filled. `flitches` holds the acceptable
/// leaves, `arrived` the numbers of all leaves that came, acceptable or not: a leaf that came and was turned down cannot
/// be had again. `cut` is the answer for the same leaves.
///
/// Leaves 14-17 and 21-22 of one flitch, for two sets of four, are completed by 23-24 or by 19-20.
pub fn complete(
    flitches: &[Flitch],
    arrived: &[(String, Vec<u32>)],
    wanted: &Wanted,
    cut: &Cut,
) -> Completions {
    if cut.unfilled.iter().all(|index| wanted.sets[*index] == 0) {
        return Completions::default();
    }
    let flitches = in_order(flitches);
    let mut came: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
    for (flitch, numbers) in arrived {
        came.entry(flitch).or_default().extend(numbers);
    }
    for flitch in &flitches {
        came.entry(&flitch.name)
            .or_default()
            .extend(flitch.leaves.iter().map(|leaf| leaf.number));
    }
    for (flitch, leaf) in &cut.not_clear {
        came.entry(flitch).or_default().insert(*leaf);
    }
    let mut unfilled: Vec<u32> = cut
        .unfilled
        .iter()
        .map(|index| wanted.sets[*index])
        .filter(|size| *size > 0)
        .collect();
    unfilled.sort_unstable_by(|one, other| other.cmp(one));
    let not_clear: BTreeSet<(&str, u32)> = cut
        .not_clear
        .iter()
        .map(|(flitch, leaf)| (flitch.as_str(), *leaf))
        .collect();
    let question = Question {
        flitches: &flitches,
        came: &came,
        not_clear: &not_clear,
        wanted,
    };
    let mut all: Vec<u32> = wanted
        .sets
        .iter()
        .copied()
        .filter(|size| *size > 0)
        .collect();
    all.sort_unstable_by(|one, other| other.cmp(one));
    let new_sets = if wanted.one_flitch {
        all.clone()
    } else {
        unfilled.clone()
    };
    let largest = all.first().map_or(0, |size| u64::from(*size));
    if largest
        .saturating_mul(u64::from(wanted.skip) + 1)
        .saturating_mul(flitches.len() as u64)
        > NUMBERS
    {
        return Completions {
            new_sets,
            bounded: true,
            ..Completions::default()
        };
    }
    let Found {
        ways,
        bounded,
        more,
    } = if wanted.one_flitch {
        question.one_flitch(&all)
    } else {
        question
            .any_flitch(&all)
            .unwrap_or_else(|| question.step_by_step(&unfilled, cut))
    };
    let mut ways: Vec<Completion> = ways
        .into_iter()
        .filter(|way| !way.leaves.is_empty())
        .collect();
    ways.sort_by(higher_first);
    ways.dedup();
    let more = more || ways.len() > MOST_WAYS;
    ways.truncate(MOST_WAYS);
    Completions {
        ways,
        new_sets,
        bounded,
        more,
    }
}

fn higher_first(one: &Completion, other: &Completion) -> std::cmp::Ordering {
    let by_flitch = one
        .leaves
        .iter()
        .zip(&other.leaves)
        .map(|(one, other)| {
            one.0
                .cmp(&other.0)
                .then_with(|| other.1.iter().rev().cmp(one.1.iter().rev()))
        })
        .find(|order| order.is_ne());
    by_flitch.unwrap_or_else(|| one.cmp(other))
}

struct Question<'a> {
    flitches: &'a [Flitch],
    came: &'a BTreeMap<&'a str, BTreeSet<u32>>,
    not_clear: &'a BTreeSet<(&'a str, u32)>,
    wanted: &'a Wanted,
}

impl Question<'_> {
    fn line(&self, only: Option<usize>, used: &BTreeSet<(usize, u32)>, sizes: &[u32]) -> Line {
        let mut cells: Vec<Cell> = Vec::new();
        let reach = (sizes.iter().max().copied().unwrap_or(1) - 1)
            .saturating_mul(self.wanted.skip.saturating_add(1));
        for (index, flitch) in self.flitches.iter().enumerate() {
            if only.is_none_or(|only| only == index) {
                let came = &self.came[flitch.name.as_str()];
                let usable = |number: u32| {
                    !used.contains(&(index, number))
                        && !self.not_clear.contains(&(flitch.name.as_str(), number))
                };
                cells.extend(line(index, flitch, came, usable, used, reach));
            }
        }
        Line::new(cells, self.flitches, self.wanted, sizes)
    }

    fn named(&self, line: &Line, step: &Step, sizes: &[u32]) -> Completion {
        let mut leaves: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
        for cell in &step.bought {
            let cell = &line.cells[*cell];
            leaves
                .entry(&self.flitches[cell.flitch].name)
                .or_default()
                .insert(cell.number);
        }
        let leaves = leaves
            .into_iter()
            .map(|(flitch, leaves)| (flitch.to_owned(), leaves.into_iter().collect()));
        let mut whole_sets: Vec<u32> = sizes
            .iter()
            .zip(&step.left)
            .flat_map(|(size, count)| std::iter::repeat_n(*size, *count))
            .collect();
        whole_sets.sort_unstable_by(|one, other| other.cmp(one));
        Completion {
            leaves: leaves.collect(),
            whole_sets,
        }
    }

    /// All the sets anew, from any flitch; `None` where that is too much work.
    fn any_flitch(&self, all: &[u32]) -> Option<Found> {
        let (sizes, counts) = classes(all);
        let line = self.line(None, &BTreeSet::new(), &sizes);
        let plan = Plan::new(&line, &sizes, &counts, STATES)?;
        let (steps, more) = plan.ways();
        let ways = steps
            .iter()
            .map(|step| self.named(&line, step, &sizes))
            .collect();
        Some(Found {
            ways,
            bounded: line.cut_short,
            more,
        })
    }

    /// All the sets anew from one flitch: the one that needs the fewest leaves. Where that is too much work for a
    /// flitch it is left out.
    fn one_flitch(&self, all: &[u32]) -> Found {
        let (sizes, counts) = classes(all);
        let (mut bounded, mut more) = (false, false);
        let mut best: Option<((u64, u64), Vec<Completion>)> = None;
        for index in 0..self.flitches.len() {
            let line = self.line(Some(index), &BTreeSet::new(), &sizes);
            let Some(plan) = Plan::new(&line, &sizes, &counts, STATES) else {
                bounded = true;
                continue;
            };
            let cost = plan.cost();
            if best.as_ref().is_some_and(|(least, _)| *least < cost) {
                continue;
            }
            let (steps, others) = plan.ways();
            more |= others;
            bounded |= line.cut_short;
            let ways = steps.iter().map(|step| self.named(&line, step, &sizes));
            match &mut best {
                Some((least, found)) if *least == cost => found.extend(ways),
                Some(_) | None => best = Some((cost, ways.collect())),
            }
        }
        Found {
            ways: best.map(|(_, ways)| ways).unwrap_or_default(),
            bounded,
            more,
        }
    }

    /// Keeps the sets that are filled and completes the others a few at a time, the smallest first: not always the
    /// fewest leaves.
    fn step_by_step(&self, unfilled: &[u32], cut: &Cut) -> Found {
        let mut used: BTreeSet<(usize, u32)> = BTreeSet::new();
        for set in &cut.filled {
            if let Ok(index) = self
                .flitches
                .binary_search_by(|flitch| flitch.name.cmp(&set.flitch))
            {
                used.extend(set.leaves.iter().map(|leaf| (index, *leaf)));
            }
        }
        let mut rest: Vec<u32> = unfilled.to_vec();
        let mut leaves: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
        let mut whole_sets = Vec::new();
        for _ in 0..STEPS {
            let mut take = rest.len().min(12);
            let plan = loop {
                if take == 0 {
                    break None;
                }
                let chunk = rest.split_off(rest.len() - take);
                let (sizes, counts) = classes(&chunk);
                let line = self.line(None, &used, &sizes);
                if let Some(plan) = Plan::new(&line, &sizes, &counts, STEP_STATES) {
                    break Some((plan.first(), line, sizes));
                }
                rest.extend(chunk);
                take /= 2;
            };
            let Some((step, line, sizes)) = plan else {
                break;
            };
            let way = self.named(&line, &step, &sizes);
            for (flitch, numbers) in way.leaves {
                leaves.entry(flitch).or_default().extend(numbers);
            }
            whole_sets.extend(way.whole_sets);
            used.extend(
                step.taken
                    .iter()
                    .map(|cell| (line.cells[*cell].flitch, line.cells[*cell].number)),
            );
        }
        whole_sets.extend(rest);
        whole_sets.sort_unstable_by(|one, other| other.cmp(one));
        let leaves = leaves
            .into_iter()
            .map(|(flitch, leaves)| (flitch, leaves.into_iter().collect()))
            .collect();
        Found {
            ways: vec![Completion { leaves, whole_sets }],
            bounded: true,
            more: true,
        }
    }
}
