//! Sets that may step over leaves and must share a window: two sets can then be woven into each other, so leaves are
//! dealt out one by one. Does not choose among parts.

use std::cell::Cell;
use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use crate::check::sequence::leaves::Leaf;
use crate::check::sequence::sets::key::KeyHash;
use crate::check::sequence::sets::part::{Items, Placed};
use crate::check::sequence::window::{Window, is_clear};
use crate::model::length::Length;

/// The most looks at one leaf in one position that are worth making to set a part up.
const LOOKS: usize = 20_000_000;
/// The most positions that are compared with each other.
const POSITIONS: usize = 6_000;
/// The most states of dealing that are looked at before giving up.
const STATES: usize = 60_000;

/// A chain of leaves, each with the positions of the window at which it is clear.
#[derive(Debug)]
pub(super) struct Woven {
    numbers: Vec<u32>,
    skip: u32,
    clear_at: Vec<Vec<u64>>,
    /// The states that may still be looked at, in all the parts together.
    allowed: Rc<Cell<usize>>,
}

/// A set that has been begun: how many leaves it still needs, its last leaf's number, the positions left to it.
type Open = (usize, u32, usize);

struct Dealing<'a> {
    woven: &'a Woven,
    items: &'a Items,
    positions: Vec<Vec<u64>>,
    known: HashMap<Vec<u64>, usize>,
    shared: HashMap<(usize, usize), Option<usize>, KeyHash>,
    failed: HashSet<(usize, Vec<u16>, Vec<Open>, usize)>,
    states: usize,
    /// For each leaf what it was given to: a piece in the order they were begun.
    dealt: Vec<Option<usize>>,
    pieces: Vec<usize>,
}

impl Woven {
    /// Sets the chain up; `None` where there are too many positions to look at.
    pub(super) fn new(
        clear: (Length, Length),
        leaves: &[&Leaf],
        skip: u32,
        allowed: &Rc<Cell<usize>>,
    ) -> Option<Woven> {
        let edges = |side: fn(&Leaf) -> Vec<Length>| {
            let mut found: Vec<Length> = leaves
                .iter()
                .flat_map(|leaf| side(leaf))
                .filter(|edge| *edge > Length::ZERO)
                .collect();
            found.push(Length::ZERO);
            found.sort_unstable();
            found.dedup();
            found
        };
        let across = edges(|leaf| {
            leaf.defects
                .iter()
                .map(|defect| defect.left + defect.across)
                .collect()
        });
        let along = edges(|leaf| {
            leaf.defects
                .iter()
                .map(|defect| defect.butt + defect.along)
                .collect()
        });
        if across
            .len()
            .saturating_mul(along.len())
            .saturating_mul(leaves.len())
            > LOOKS
        {
            return None;
        }
        let mut seen: HashSet<Vec<u64>> = HashSet::new();
        for butt in &along {
            for left in &across {
                let window = Window {
                    left: *left,
                    butt: *butt,
                };
                let mut clear_in = vec![0_u64; leaves.len().div_ceil(64)];
                for (index, leaf) in leaves.iter().enumerate() {
                    if is_clear(clear, window, leaf) {
                        clear_in[index / 64] |= 1 << (index % 64);
                    }
                }
                seen.insert(clear_in);
            }
            if seen.len() > POSITIONS {
                return None;
            }
        }
        // A position that is clear in no leaf more than another is never needed.
        let mut all: Vec<Vec<u64>> = seen.into_iter().collect();
        all.sort_by(|one, other| ones(other).cmp(&ones(one)).then_with(|| one.cmp(other)));
        let mut kept: Vec<Vec<u64>> = Vec::new();
        for position in all {
            let within = |larger: &Vec<u64>| {
                position
                    .iter()
                    .zip(larger)
                    .all(|(small, large)| small & !large == 0)
            };
            if !kept.iter().any(within) {
                kept.push(position);
            }
        }
        let clear_at = (0..leaves.len())
            .map(|leaf| {
                let mut mask = vec![0_u64; kept.len().div_ceil(64)];
                for (index, position) in kept.iter().enumerate() {
                    if position[leaf / 64] >> (leaf % 64) & 1 == 1 {
                        mask[index / 64] |= 1 << (index % 64);
                    }
                }
                mask
            })
            .collect();
        Some(Woven {
            numbers: leaves.iter().map(|leaf| leaf.number).collect(),
            skip,
            clear_at,
            allowed: Rc::clone(allowed),
        })
    }

    /// Says whether the pieces can be cut: `None` where that was too much work to tell.
    pub(super) fn fits(&self, items: &Items, counts: &[u16]) -> Option<bool> {
        let allowed = self.allowed.get();
        if allowed == 0 {
            return None;
        }
        let (found, states) = self.place(items, counts);
        self.allowed.set(allowed.saturating_sub(states));
        (found.is_some() || states <= STATES).then_some(found.is_some())
    }

    /// Cuts the pieces, and tells how many states were looked at: always the same way, so that what was found to fit can
    /// be cut.
    pub(super) fn place(&self, items: &Items, counts: &[u16]) -> (Option<Vec<Placed>>, usize) {
        let mut dealing = Dealing {
            woven: self,
            items,
            positions: Vec::new(),
            known: HashMap::new(),
            shared: HashMap::default(),
            failed: HashSet::new(),
            states: 0,
            dealt: Vec::new(),
            pieces: Vec::new(),
        };
        if dealing.deal(&mut counts.to_vec(), &mut Vec::new(), 0) {
            let pieces = dealing
                .pieces
                .iter()
                .enumerate()
                .map(|(piece, class)| Placed {
                    class: *class,
                    leaves: (0..dealing.dealt.len())
                        .filter(|leaf| dealing.dealt[*leaf] == Some(piece))
                        .collect(),
                });
            return (Some(pieces.collect()), dealing.states);
        }
        (None, dealing.states)
    }
}

fn ones(bits: &[u64]) -> u32 {
    bits.iter().map(|word| word.count_ones()).sum()
}

impl Dealing<'_> {
    /// Deals out the leaves from the next one on; true where every piece is complete. `open` holds the sets begun with
    /// the piece each belongs to; `reserved` is how many leaves the spare run still needs.
    fn deal(
        &mut self,
        rest: &mut Vec<u16>,
        open: &mut Vec<(Open, usize)>,
        reserved: usize,
    ) -> bool {
        let needed =
            self.items.total(rest) + open.iter().map(|(set, _)| set.0).sum::<usize>() + reserved;
        if needed == 0 {
            return true;
        }
        let at = self.dealt.len();
        if needed > self.woven.numbers.len() - at || self.states > STATES {
            return false;
        }
        let number = self.woven.numbers[at];
        if open
            .iter()
            .any(|(set, _)| number - set.1 - 1 > self.woven.skip)
        {
            return false;
        }
        let mut sets: Vec<Open> = open.iter().map(|(set, _)| *set).collect();
        sets.sort_unstable();
        let state = (at, rest.clone(), sets, reserved);
        if self.failed.contains(&state) {
            return false;
        }
        self.states += 1;
        if self.try_all(rest, open, reserved, number) {
            return true;
        }
        self.failed.insert(state);
        false
    }

    fn try_all(
        &mut self,
        rest: &mut Vec<u16>,
        open: &mut Vec<(Open, usize)>,
        reserved: usize,
        number: u32,
    ) -> bool {
        let at = self.dealt.len();
        if reserved > 0 {
            if number != self.woven.numbers[at - 1] + 1 {
                return false;
            }
            let piece = self.dealt[at - 1];
            return self.give(piece, rest, open, reserved - 1);
        }
        for index in 0..open.len() {
            let ((needs, last, positions), piece) = open[index];
            if open[..index]
                .iter()
                .any(|(set, _)| *set == (needs, last, positions))
            {
                continue;
            }
            let Some(shared) = self.share(positions, at) else {
                continue;
            };
            if needs == 1 {
                open.remove(index);
            } else {
                open[index].0 = (needs - 1, number, shared);
            }
            let done = self.give(Some(piece), rest, open, 0);
            if needs == 1 {
                open.insert(index, ((needs, last, positions), piece));
            } else {
                open[index].0 = (needs, last, positions);
            }
            if done {
                return true;
            }
        }
        for class in (0..rest.len()).rev() {
            if rest[class] == 0 {
                continue;
            }
            let size = self.items.sizes[class];
            let piece = self.pieces.len();
            self.pieces.push(class);
            rest[class] -= 1;
            let done = if self.items.spare_class() == Some(class) {
                self.give(Some(piece), rest, open, size - 1)
            } else {
                let positions = self.intern(self.woven.clear_at[at].clone());
                if size > 1 {
                    open.push(((size - 1, number, positions), piece));
                }
                let done = self.give(Some(piece), rest, open, 0);
                if size > 1 {
                    open.pop();
                }
                done
            };
            if done {
                return true;
            }
            rest[class] += 1;
            self.pieces.pop();
        }
        self.give(None, rest, open, 0)
    }

    fn give(
        &mut self,
        piece: Option<usize>,
        rest: &mut Vec<u16>,
        open: &mut Vec<(Open, usize)>,
        reserved: usize,
    ) -> bool {
        self.dealt.push(piece);
        if self.deal(rest, open, reserved) {
            return true;
        }
        self.dealt.pop();
        false
    }

    fn intern(&mut self, positions: Vec<u64>) -> usize {
        if let Some(id) = self.known.get(&positions) {
            return *id;
        }
        let id = self.positions.len();
        self.known.insert(positions.clone(), id);
        self.positions.push(positions);
        id
    }

    /// The positions left when the leaf joins a set; `None` where there are none.
    fn share(&mut self, positions: usize, leaf: usize) -> Option<usize> {
        if let Some(known) = self.shared.get(&(positions, leaf)) {
            return *known;
        }
        let left: Vec<u64> = self.positions[positions]
            .iter()
            .zip(&self.woven.clear_at[leaf])
            .map(|(one, other)| one & other)
            .collect();
        let answer = left
            .iter()
            .any(|word| *word != 0)
            .then(|| self.intern(left));
        self.shared.insert((positions, leaf), answer);
        answer
    }
}
