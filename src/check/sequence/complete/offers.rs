//! The numbers of the flitches side by side, arrived or missing, and the sets that could be cut from them with at least
//! one leaf that arrived. Does not choose among them.

use std::collections::BTreeSet;

use crate::check::sequence::leaves::{Flitch, Leaf};
use crate::check::sequence::sets::Wanted;
use crate::check::sequence::window::{common_window, reach};
use crate::model::length::Length;

/// What a number of a flitch can do for a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    /// Here and acceptable: the leaf's place in the flitch.
    Here(usize),
    /// It did not arrive, and could be sent.
    Missing,
    /// It arrived and cannot be used, or is already in a set.
    Barred,
}

#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub(super) flitch: usize,
    pub(super) number: u32,
    pub(super) standing: Standing,
}

/// A set that could be cut: its leaves' cells from `stop` back, those of them that are missing.
#[derive(Debug, Clone)]
pub(super) struct Offer {
    pub(super) class: usize,
    pub(super) stop: usize,
    pub(super) cells: Vec<usize>,
    pub(super) bought: Vec<usize>,
    /// Unbroken pieces of missing numbers.
    pub(super) pieces: u32,
    pub(super) starts_bought: bool,
    pub(super) ends_bought: bool,
}

#[derive(Debug)]
pub(super) struct Line {
    pub(super) cells: Vec<Cell>,
    /// By first cell.
    pub(super) offers: Vec<Vec<Offer>>,
    /// Whether some sets that could be cut are not offered.
    pub(super) cut_short: bool,
}

/// The most looks at ways to step over leaves from one first leaf.
const LOOKS: usize = 3_000;

/// Lists the cells of a flitch: every number that is at most `reach` from a usable leaf.
pub(super) fn line(
    index: usize,
    flitch: &Flitch,
    came: &BTreeSet<u32>,
    usable: impl Fn(u32) -> bool,
    used: &BTreeSet<(usize, u32)>,
    reach: u32,
) -> Vec<Cell> {
    let mut cells: Vec<Cell> = Vec::new();
    for leaf in flitch.leaves.iter().filter(|leaf| usable(leaf.number)) {
        let low = leaf.number.saturating_sub(reach).max(1);
        let from = cells
            .last()
            .map_or(low, |last| low.max(last.number.saturating_add(1)));
        for number in from..=leaf.number.saturating_add(reach) {
            let here = flitch
                .leaves
                .binary_search_by_key(&number, |leaf| leaf.number)
                .ok()
                .filter(|_| usable(number));
            let standing = match here {
                Some(place) => Standing::Here(place),
                None if came.contains(&number) || used.contains(&(index, number)) => {
                    Standing::Barred
                }
                None => Standing::Missing,
            };
            cells.push(Cell {
                flitch: index,
                number,
                standing,
            });
        }
    }
    cells
}

impl Line {
    /// Says whether the cell's number follows on the one before it.
    pub(super) fn follows(&self, cell: usize) -> bool {
        let [before, here] = [cell.wrapping_sub(1), cell].map(|at| self.cells.get(at));
        let (Some(before), Some(here)) = (before, here) else {
            return false;
        };
        before.flitch == here.flitch && before.number.checked_add(1) == Some(here.number)
    }

    pub(super) fn new(
        cells: Vec<Cell>,
        flitches: &[Flitch],
        wanted: &Wanted,
        sizes: &[u32],
    ) -> Line {
        let mut line = Line {
            offers: cells.iter().map(|_| Vec::new()).collect(),
            cells,
            cut_short: false,
        };
        if wanted.skip == 0 {
            line.side_by_side(flitches, wanted, sizes);
        } else {
            line.stepping(flitches, wanted, sizes);
        }
        line
    }

    fn offer(&self, class: usize, cells: Vec<usize>) -> Option<Offer> {
        let bought: Vec<usize> = cells
            .iter()
            .copied()
            .filter(|cell| self.cells[*cell].standing == Standing::Missing)
            .collect();
        if bought.len() == cells.len() {
            return None;
        }
        let breaks = bought
            .windows(2)
            .filter(|pair| pair[1] != pair[0] + 1)
            .count();
        let pieces = u32::try_from(breaks).unwrap_or(u32::MAX - 1) + u32::from(!bought.is_empty());
        Some(Offer {
            class,
            stop: cells.last()? + 1,
            pieces,
            starts_bought: bought.first() == cells.first(),
            ends_bought: bought.last() == cells.last(),
            cells,
            bought,
        })
    }

    /// Sets of consecutive numbers.
    fn side_by_side(&mut self, flitches: &[Flitch], wanted: &Wanted, sizes: &[u32]) {
        let unknown = Leaf {
            number: 0,
            size: (Length::from_nm(i64::MAX), Length::from_nm(i64::MAX)),
            defects: Vec::new(),
        };
        let longest = sizes.iter().max().copied().unwrap_or(1) as usize;
        let mut first = 0;
        while first < self.cells.len() {
            let mut stop = first;
            while stop < self.cells.len()
                && self.cells[stop].standing != Standing::Barred
                && (stop == first || self.follows(stop))
            {
                stop += 1;
            }
            let ends = match wanted.clear {
                None => vec![stop - first; stop - first],
                Some(clear) => {
                    let leaves: Vec<&Leaf> = self.cells[first..stop]
                        .iter()
                        .map(|cell| match cell.standing {
                            Standing::Here(place) => &flitches[cell.flitch].leaves[place],
                            Standing::Missing | Standing::Barred => &unknown,
                        })
                        .collect();
                    reach(clear, &leaves, longest)
                }
            };
            for (start, end) in ends.iter().enumerate() {
                for (class, size) in sizes.iter().enumerate() {
                    if start + *size as usize <= *end {
                        let cells = (first + start..first + start + *size as usize).collect();
                        let offer = self.offer(class, cells);
                        self.offers[first + start].extend(offer);
                    }
                }
            }
            first = stop.max(first + 1);
        }
    }

    /// Sets that may step over numbers. Two sets woven into each other are not offered; that only matters with a window.
    fn stepping(&mut self, flitches: &[Flitch], wanted: &Wanted, sizes: &[u32]) {
        self.cut_short |= wanted.clear.is_some();
        for start in 0..self.cells.len() {
            for (class, size) in sizes.iter().enumerate() {
                let mut walk = Walk {
                    line: self,
                    flitches,
                    wanted,
                    size: *size as usize,
                    looks: 0,
                    found: Vec::new(),
                };
                walk.on(&mut vec![start]);
                let (found, short) = (walk.found, walk.looks >= LOOKS);
                self.cut_short |= short;
                let offers: Vec<Offer> = found
                    .into_iter()
                    .filter_map(|cells| self.offer(class, cells))
                    .collect();
                self.offers[start].extend(best_of_each_span(offers));
            }
        }
    }
}

/// Of offers over the same cells with the same ends only those with the fewest leaves in the fewest pieces.
fn best_of_each_span(mut offers: Vec<Offer>) -> Vec<Offer> {
    let span = |offer: &Offer| (offer.stop, offer.starts_bought, offer.ends_bought);
    offers.sort_by_key(|offer| (span(offer), offer.bought.len(), offer.pieces));
    let mut kept: Vec<Offer> = Vec::new();
    for offer in offers {
        let worse = kept.iter().any(|other| {
            span(other) == span(&offer)
                && ((other.bought.len(), other.pieces) < (offer.bought.len(), offer.pieces)
                    || other.bought == offer.bought)
        });
        if !worse {
            kept.push(offer);
        }
    }
    kept
}

struct Walk<'a> {
    line: &'a Line,
    flitches: &'a [Flitch],
    wanted: &'a Wanted,
    size: usize,
    looks: usize,
    found: Vec<Vec<usize>>,
}

impl Walk<'_> {
    fn on(&mut self, cells: &mut Vec<usize>) {
        self.looks += 1;
        let last = cells[cells.len() - 1];
        if self.looks >= LOOKS
            || self.line.cells[last].standing == Standing::Barred
            || !self.share(cells)
        {
            return;
        }
        if cells.len() == self.size {
            self.found.push(cells.clone());
            return;
        }
        let mut next = last + 1;
        while next < self.line.cells.len()
            && self.line.follows(next)
            && next - last <= self.wanted.skip as usize + 1
        {
            cells.push(next);
            self.on(cells);
            cells.pop();
            next += 1;
        }
    }

    fn share(&self, cells: &[usize]) -> bool {
        let Some(clear) = self.wanted.clear else {
            return true;
        };
        let leaves: Vec<&Leaf> = cells
            .iter()
            .filter_map(|cell| match self.line.cells[*cell].standing {
                Standing::Here(place) => {
                    Some(&self.flitches[self.line.cells[*cell].flitch].leaves[place])
                }
                Standing::Missing | Standing::Barred => None,
            })
            .collect();
        common_window(clear, &leaves).is_some()
    }
}
