//! Cuts flitches into the sets that were ordered: as many sets as can be, from the fewest flitches, leaving the longest
//! spare run. Does not say what would complete the rest, and knows nothing of faces, orders or wording.

mod bound;
mod dive;
mod key;
mod master;
mod part;
mod repair;
mod search;
mod woven;

use std::cell::Cell;
use std::rc::Rc;

use crate::check::sequence::leaves::{Flitch, Leaf, in_order};
use crate::check::sequence::sets::part::{Items, Kind, Part};
use crate::check::sequence::sets::search::{Chosen, Verdict, pack};
use crate::check::sequence::sets::woven::Woven;
use crate::check::sequence::window::{Window, common_window, reach};
use crate::model::length::Length;

/// What was ordered of the leaves.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// How many leaves each set needs, in the order they were asked for. A set of none is never filled.
    pub sets: Vec<u32>,
    /// The most numbers that may be missing between neighbours in a set.
    pub skip: u32,
    /// Whether all the sets have to come from one flitch.
    pub one_flitch: bool,
    /// The rectangle that every leaf of a set must yield at one position: across the grain, along the grain.
    pub clear: Option<(Length, Length)>,
}

/// A set that can be laid up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filled {
    /// Which of the wanted sets, counted from 0.
    pub wanted: usize,
    /// The flitch its leaves are of.
    pub flitch: String,
    /// Its leaves, in order.
    pub leaves: Vec<u32>,
    /// Where the clear rectangle lies in all of them; `None` where none was asked for.
    pub window: Option<Window>,
}

/// Acceptable leaves with consecutive numbers that no set uses.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spare {
    /// The flitch they are of.
    pub flitch: String,
    /// The leaves, in order.
    pub leaves: Vec<u32>,
}

/// How the leaves are cut into sets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// The sets that are filled, in the order they were asked for.
    pub filled: Vec<Filled>,
    /// The wanted sets that are not, counted from 0.
    pub unfilled: Vec<usize>,
    /// What is left of the acceptable leaves, by flitch and number.
    pub spare: Vec<Spare>,
    /// Leaves that have no window of their own, by flitch and number. They are in no set and not spare.
    pub not_clear: Vec<(String, u32)>,
    /// Whether it is certain that no cut fills more sets.
    pub most_proven: bool,
    /// Whether it is certain that no cut is better at all; false only where the work allowed ran out first.
    pub proven: bool,
}

/// The most sets that are cut; no delivery comes near.
const MOST_SETS: usize = 60_000;
/// The most work for one question, in ways of cutting looked at: some seconds.
const WORK: i64 = 3_000_000;
/// The most times that a packing is mended before it is searched for in full.
const TRIES: usize = 5_000;

/// The most states of dealing out leaves one by one for one question: some seconds.
const STATES: usize = 8_000_000;

/// A flitch with its good leaves and the parts they fall into.
struct Stock {
    name: String,
    good: Vec<Leaf>,
    parts: Vec<Part>,
}

/// Which pieces are cut from which part.
struct Solution {
    items: Items,
    chosen: Vec<Chosen>,
}

struct Solver {
    stocks: Vec<Stock>,
    work: i64,
    most_proven: bool,
    proven: bool,
}

/// Cuts the leaves into the sets wanted. Prefers, in this order and exactly where `proven` is true: the most sets, each
/// counting alike (so the smallest are filled first); the fewest flitches; the longest spare run. What remains equal is
/// decided by name and number, never by the order of the input.
pub fn cut(flitches: &[Flitch], wanted: &Wanted) -> Cut {
    let mut order: Vec<(u32, usize)> = wanted
        .sets
        .iter()
        .enumerate()
        .filter(|(_, size)| **size > 0)
        .map(|(index, size)| (*size, index))
        .collect();
    order.sort_unstable();
    let sizes: Vec<usize> = order.iter().map(|(size, _)| *size as usize).collect();
    let mut not_clear = Vec::new();
    let longest = sizes.last().copied().unwrap_or(1);
    let mut exact = true;
    let states = Rc::new(Cell::new(STATES));
    let stocks = in_order(flitches)
        .into_iter()
        .map(|flitch| {
            let good: Vec<Leaf> = flitch
                .leaves
                .into_iter()
                .filter(|leaf| {
                    let good = wanted
                        .clear
                        .is_none_or(|clear| common_window(clear, &[leaf]).is_some());
                    if !good {
                        not_clear.push((flitch.name.clone(), leaf.number));
                    }
                    good
                })
                .collect();
            let parts = parts(&good, wanted, longest, &states, &mut exact);
            Stock {
                name: flitch.name,
                good,
                parts,
            }
        })
        .collect();
    let mut solver = Solver {
        stocks,
        work: WORK,
        most_proven: exact,
        proven: exact,
    };
    let solution = solver.best(&sizes, if wanted.one_flitch { 1 } else { usize::MAX });
    solver.lay_out(&solution, &order, wanted, not_clear)
}

/// Divides a flitch's good leaves where no set can reach across.
fn parts(
    good: &[Leaf],
    wanted: &Wanted,
    longest: usize,
    states: &Rc<Cell<usize>>,
    exact: &mut bool,
) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut first = 0;
    while first < good.len() {
        let mut end = first + 1;
        while end < good.len() && good[end].number - good[end - 1].number - 1 <= wanted.skip {
            end += 1;
        }
        let leaves: Vec<&Leaf> = good[first..end].iter().collect();
        let kind = match (wanted.clear, wanted.skip) {
            (None, 0) => Kind::Plain,
            (None, skip) => Kind::Stepped {
                numbers: leaves.iter().map(|leaf| leaf.number).collect(),
                skip,
            },
            (Some(clear), 0) => Kind::Windowed {
                reach: reach(clear, &leaves, longest),
            },
            (Some(clear), skip) => match Woven::new(clear, &leaves, skip, states) {
                Some(woven) => Kind::Woven(Box::new(woven)),
                None => {
                    *exact = false;
                    Kind::Windowed {
                        reach: reach(clear, &leaves, longest),
                    }
                }
            },
        };
        parts.push(Part {
            first,
            len: end - first,
            kind,
        });
        first = end;
    }
    parts
}

/// Gathers the smallest `count` sizes, with a spare run of `spare` leaves where it is not 0.
fn items(sizes: &[usize], count: usize, spare: usize) -> Items {
    let mut classes: Vec<usize> = Vec::new();
    let mut counts: Vec<u16> = Vec::new();
    for size in &sizes[..count] {
        match (classes.last(), counts.last_mut()) {
            (Some(last), Some(number)) if last == size => *number += 1,
            _ => {
                classes.push(*size);
                counts.push(1);
            }
        }
    }
    if spare > 0 {
        classes.push(spare);
        counts.push(1);
    }
    Items::new(classes, counts, spare > 0)
}

impl Solver {
    fn pack(&mut self, items: &Items, limit: usize, without: Option<usize>) -> Option<Vec<Chosen>> {
        let flitches: Vec<Vec<&Part>> = self
            .stocks
            .iter()
            .enumerate()
            .map(|(index, stock)| {
                if Some(index) == without {
                    Vec::new()
                } else {
                    stock.parts.iter().collect()
                }
            })
            .collect();
        let mut work = self.work;
        let verdict = pack(&flitches, items, limit, TRIES, &mut work);
        self.work = work;
        match verdict {
            Verdict::Packed(chosen) => Some(chosen),
            Verdict::Impossible => None,
            Verdict::Unknown => {
                self.proven = false;
                None
            }
        }
    }

    /// Finds the largest number in `low..=high` at which `try_at` succeeds, given that it does at `low` and that
    /// success never comes back once lost. A success may jump ahead.
    fn largest<T>(
        &mut self,
        low: usize,
        high: usize,
        mut try_at: impl FnMut(&mut Self, usize) -> Option<(usize, T)>,
    ) -> (usize, Option<T>) {
        let (mut low, mut high, mut best) = (low, high, None);
        let mut at = high;
        while low < high {
            match try_at(self, at) {
                Some((reached, found)) => {
                    low = reached.max(at);
                    best = Some(found);
                }
                None => high = at - 1,
            }
            at = low + (high.max(low) - low).div_ceil(2);
        }
        (low, best)
    }

    fn best(&mut self, sizes: &[usize], limit: usize) -> Solution {
        let good: usize = self.stocks.iter().map(|stock| stock.good.len()).sum();
        let mut most = 0;
        let mut sum = 0;
        while most < sizes.len().min(MOST_SETS) && sum + sizes[most] <= good {
            sum += sizes[most];
            most += 1;
        }
        self.proven &= most < MOST_SETS;
        let (count, found) = self.largest(0, most, |solver, count| {
            let all = items(sizes, count, 0);
            solver.pack(&all, limit, None).map(|chosen| (count, chosen))
        });
        self.most_proven = self.proven;
        let all = items(sizes, count, 0);
        let mut chosen = found.unwrap_or_default();
        let mut used = flitches_used(&chosen);
        let mut fewest = 1;
        while fewest < used {
            if let Some(found) = self.pack(&all, fewest, None) {
                used = flitches_used(&found);
                chosen = found;
            } else {
                fewest += 1;
            }
        }
        self.longest_spare(sizes, count, used, Solution { items: all, chosen })
    }

    /// Keeps sets and flitches as they are in number and looks for the longest spare run: in a flitch left whole, or in
    /// one that sets are cut from.
    fn longest_spare(
        &mut self,
        sizes: &[usize],
        count: usize,
        used: usize,
        mut solution: Solution,
    ) -> Solution {
        if count == 0 {
            return solution;
        }
        let mut best = self.spare_run(&solution);
        let mut by_run: Vec<(usize, usize)> = self
            .stocks
            .iter()
            .enumerate()
            .map(|(index, stock)| (longest_run(&stock.good, |_| true), index))
            .collect();
        by_run.sort_by_key(|(run, index)| (std::cmp::Reverse(*run), *index));
        let most = by_run.first().map_or(0, |(run, _)| *run);
        for (run, index) in by_run {
            if run <= best {
                break;
            }
            if let Some(chosen) = self.pack(&solution.items, used, Some(index)) {
                solution.chosen = chosen;
                best = self.spare_run(&solution);
                break;
            }
        }
        let (_, found) = self.largest(best, most, |solver, run| {
            let items = items(sizes, count, run);
            let chosen = solver.pack(&items, used, None)?;
            let found = Solution { items, chosen };
            Some((solver.spare_run(&found), found))
        });
        found.unwrap_or(solution)
    }

    /// Says for each flitch and good leaf which set it goes to, as the set's place in the list of all sets.
    fn sets_of(&self, solution: &Solution) -> Vec<(usize, usize, Vec<usize>)> {
        let mut sets = Vec::new();
        for Chosen {
            flitch,
            part,
            counts,
        } in &solution.chosen
        {
            let part = &self.stocks[*flitch].parts[*part];
            let placed = part
                .place(&solution.items, counts)
                .expect("what was found to fit can be cut");
            for piece in placed {
                if solution.items.spare_class() != Some(piece.class) {
                    let leaves = piece
                        .leaves
                        .into_iter()
                        .map(|leaf| part.first + leaf)
                        .collect();
                    sets.push((solution.items.sizes[piece.class], *flitch, leaves));
                }
            }
        }
        sets
    }

    fn taken(&self, sets: &[(usize, usize, Vec<usize>)]) -> Vec<Vec<bool>> {
        let mut taken: Vec<Vec<bool>> = self
            .stocks
            .iter()
            .map(|stock| vec![false; stock.good.len()])
            .collect();
        for (_, flitch, leaves) in sets {
            for leaf in leaves {
                taken[*flitch][*leaf] = true;
            }
        }
        taken
    }

    fn spare_run(&self, solution: &Solution) -> usize {
        let taken = self.taken(&self.sets_of(solution));
        let runs = self
            .stocks
            .iter()
            .zip(&taken)
            .map(|(stock, taken)| longest_run(&stock.good, |leaf| !taken[leaf]));
        runs.max().unwrap_or(0)
    }

    fn lay_out(
        &self,
        solution: &Solution,
        order: &[(u32, usize)],
        wanted: &Wanted,
        not_clear: Vec<(String, u32)>,
    ) -> Cut {
        let mut sets = self.sets_of(solution);
        let taken = self.taken(&sets);
        sets.sort();
        // Sets and wanted sets are both in order of size, and the smallest are filled.
        let mut filled: Vec<Filled> = sets
            .iter()
            .zip(order)
            .map(|((_, flitch, leaves), (_, index))| {
                let stock = &self.stocks[*flitch];
                let chosen: Vec<&Leaf> = leaves.iter().map(|leaf| &stock.good[*leaf]).collect();
                Filled {
                    wanted: *index,
                    flitch: stock.name.clone(),
                    leaves: chosen.iter().map(|leaf| leaf.number).collect(),
                    window: wanted.clear.and_then(|clear| common_window(clear, &chosen)),
                }
            })
            .collect();
        filled.sort_by_key(|set| set.wanted);
        let unfilled = (0..wanted.sets.len())
            .filter(|index| filled.iter().all(|set| set.wanted != *index))
            .collect();
        let mut spare: Vec<Spare> = Vec::new();
        for (stock, taken) in self.stocks.iter().zip(&taken) {
            let mut run: Option<Spare> = None;
            for (leaf, taken) in stock.good.iter().zip(taken) {
                if *taken {
                    spare.extend(run.take());
                    continue;
                }
                match &mut run {
                    Some(open) if open.leaves.last() == Some(&(leaf.number - 1)) => {
                        open.leaves.push(leaf.number)
                    }
                    Some(_) | None => {
                        let next = Spare {
                            flitch: stock.name.clone(),
                            leaves: vec![leaf.number],
                        };
                        spare.extend(run.replace(next));
                    }
                }
            }
            spare.extend(run);
        }
        Cut {
            filled,
            unfilled,
            spare,
            not_clear,
            most_proven: self.most_proven,
            proven: self.proven,
        }
    }
}

fn flitches_used(chosen: &[Chosen]) -> usize {
    let mut flitches: Vec<usize> = chosen.iter().map(|chosen| chosen.flitch).collect();
    flitches.sort_unstable();
    flitches.dedup();
    flitches.len()
}

/// The most leaves with consecutive numbers of which all are free.
fn longest_run(leaves: &[Leaf], free: impl Fn(usize) -> bool) -> usize {
    let (mut longest, mut run, mut last) = (0, 0, None);
    for (index, leaf) in leaves.iter().enumerate() {
        if !free(index) {
            run = 0;
        } else if last == leaf.number.checked_sub(1) && run > 0 {
            run += 1;
        } else {
            run = 1;
        }
        last = Some(leaf.number);
        longest = longest.max(run);
    }
    longest
}
