//! The cheapest choice of sets along the line of numbers: fewest missing leaves, then fewest pieces. Exact among the sets
//! offered. Does not know flitches or windows.

use std::collections::HashMap;

use crate::check::sequence::complete::offers::{Line, Offer};

/// What a way takes: missing cells, cells used in all, and how many of each size are left to be sent whole.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Step {
    pub(super) bought: Vec<usize>,
    pub(super) taken: Vec<usize>,
    pub(super) left: Vec<usize>,
}

/// Leaves count this many times as much as pieces.
const LEAF: u64 = 1 << 20;
/// The most different ways that are gathered before they are put in order.
const GATHERED: usize = 32;
/// The most states from which ways are gathered.
const VISITS: usize = 100_000;

/// A cell, what is left, and whether the cell before was bought.
type Place = (usize, usize, bool);

/// Missing cells, and what is left to be sent whole.
type Way = (Vec<usize>, usize);

pub(super) struct Plan<'a> {
    line: &'a Line,
    sizes: Vec<u32>,
    counts: Vec<usize>,
    units: Vec<usize>,
    states: usize,
    /// The least cost from a cell on, by what is left and whether the cell before was bought.
    cost: Vec<u64>,
}

/// Puts sizes in rising order with how many there are of each.
pub(super) fn classes(sizes: &[u32]) -> (Vec<u32>, Vec<usize>) {
    let mut sorted = sizes.to_vec();
    sorted.sort_unstable();
    let mut classes: Vec<u32> = Vec::new();
    let mut counts: Vec<usize> = Vec::new();
    for size in sorted {
        match (classes.last(), counts.last_mut()) {
            (Some(last), Some(count)) if *last == size => *count += 1,
            _ => {
                classes.push(size);
                counts.push(1);
            }
        }
    }
    (classes, counts)
}

impl<'a> Plan<'a> {
    /// Works out the costs; `None` where there would be more than `most` states.
    pub(super) fn new(
        line: &'a Line,
        sizes: &[u32],
        counts: &[usize],
        most: usize,
    ) -> Option<Plan<'a>> {
        let mut units = Vec::with_capacity(counts.len());
        let mut states: usize = 1;
        for count in counts {
            units.push(states);
            states = states.checked_mul(count + 1)?;
        }
        let cells = line.cells.len();
        if states.checked_mul(cells + 1)?.checked_mul(2)? > most {
            return None;
        }
        let mut plan = Plan {
            line,
            sizes: sizes.to_vec(),
            counts: counts.to_vec(),
            units,
            states,
            cost: vec![0; states * (cells + 1) * 2],
        };
        for state in 0..states {
            let whole: u64 = (0..sizes.len())
                .map(|class| plan.left(state, class) as u64 * (u64::from(sizes[class]) * LEAF + 1))
                .sum();
            for bought in [false, true] {
                let place = plan.place(cells, state, bought);
                plan.cost[place] = whole;
            }
        }
        for cell in (0..cells).rev() {
            for state in 0..states {
                for bought in [false, true] {
                    let mut best = plan.cost[plan.place(cell + 1, state, false)];
                    for offer in &line.offers[cell] {
                        if let Some(cost) = plan.with(offer, state, bought) {
                            best = best.min(cost);
                        }
                    }
                    let place = plan.place(cell, state, bought);
                    plan.cost[place] = best;
                }
            }
        }
        Some(plan)
    }

    fn place(&self, cell: usize, state: usize, bought: bool) -> usize {
        (cell * self.states + state) * 2 + usize::from(bought)
    }

    fn left(&self, state: usize, class: usize) -> usize {
        state / self.units[class] % (self.counts[class] + 1)
    }

    /// The least cost once the offer is taken; `None` where no set of its size is left.
    fn with(&self, offer: &Offer, state: usize, bought: bool) -> Option<u64> {
        if self.left(state, offer.class) == 0 {
            return None;
        }
        let leaves = offer.bought.len() as u64;
        let start = offer.cells[0];
        let joined = u64::from(bought && offer.starts_bought && self.line.follows(start));
        let rest = self.cost[self.place(
            offer.stop,
            state - self.units[offer.class],
            offer.ends_bought,
        )];
        Some(rest + leaves * LEAF + u64::from(offer.pieces) - joined)
    }

    /// The fewest leaves, and the fewest pieces they can be in.
    pub(super) fn cost(&self) -> (u64, u64) {
        let cost = self.cost[self.place(0, self.states - 1, false)];
        (cost / LEAF, cost % LEAF)
    }

    /// One cheapest way, cutting as early as can be.
    pub(super) fn first(&self) -> Step {
        let (mut cell, mut state, mut bought) = (0, self.states - 1, false);
        let mut step = Step::default();
        while cell < self.line.cells.len() {
            let cost = self.cost[self.place(cell, state, bought)];
            match self.line.offers[cell]
                .iter()
                .find(|offer| self.with(offer, state, bought) == Some(cost))
            {
                Some(offer) => {
                    step.bought.extend(&offer.bought);
                    step.taken.extend(&offer.cells);
                    state -= self.units[offer.class];
                    bought = offer.ends_bought;
                    cell = offer.stop;
                }
                None => {
                    bought = false;
                    cell += 1;
                }
            }
        }
        step.left = (0..self.sizes.len())
            .map(|class| self.left(state, class))
            .collect();
        step
    }

    /// The different cheapest ways, and whether there may be more.
    pub(super) fn ways(&self) -> (Vec<Step>, bool) {
        let Some(reached) = self.reached() else {
            return (vec![self.first()], true);
        };
        let mut short = false;
        let mut known: HashMap<Place, Vec<Way>> = HashMap::new();
        for (cell, places) in reached.iter().enumerate().rev() {
            for (state, bought) in places {
                let mut found: Vec<Way> = Vec::new();
                if cell == self.line.cells.len() {
                    found.push((Vec::new(), *state));
                }
                for (offer, next) in self.cheapest(cell, *state, *bought) {
                    for (rest, left) in known.get(&next).into_iter().flatten() {
                        let missing = offer.map_or(&[][..], |offer| &offer.bought);
                        let way = (missing.iter().chain(rest).copied().collect(), *left);
                        if !found.contains(&way) {
                            found.push(way);
                        }
                    }
                }
                if found.len() > GATHERED {
                    short = true;
                    // The later cells are the higher numbers.
                    found.sort_by(|one, other| other.0.iter().rev().cmp(one.0.iter().rev()));
                    found.truncate(GATHERED);
                }
                known.insert((cell, *state, *bought), found);
            }
        }
        let found = known
            .remove(&(0, self.states - 1, false))
            .unwrap_or_default();
        let steps = found.into_iter().map(|(mut bought, state)| {
            bought.sort_unstable();
            let left = (0..self.sizes.len())
                .map(|class| self.left(state, class))
                .collect();
            Step {
                bought,
                taken: Vec::new(),
                left,
            }
        });
        (steps.collect(), short)
    }

    /// What can be done at a cell on a cheapest way, and where each leads.
    fn cheapest(&self, cell: usize, state: usize, bought: bool) -> Vec<(Option<&'a Offer>, Place)> {
        if cell == self.line.cells.len() {
            return Vec::new();
        }
        let cost = self.cost[self.place(cell, state, bought)];
        let line = self.line;
        let offers = line.offers[cell]
            .iter()
            .filter(|offer| self.with(offer, state, bought) == Some(cost))
            .map(|offer| {
                (
                    Some(offer),
                    (
                        offer.stop,
                        state - self.units[offer.class],
                        offer.ends_bought,
                    ),
                )
            });
        let pass = (self.cost[self.place(cell + 1, state, false)] == cost)
            .then_some((None, (cell + 1, state, false)));
        offers.chain(pass).collect()
    }

    /// By cell, the states that are on a cheapest way; `None` where there are too many.
    fn reached(&self) -> Option<Vec<Vec<(usize, bool)>>> {
        let cells = self.line.cells.len();
        let mut reached: Vec<Vec<(usize, bool)>> = vec![Vec::new(); cells + 1];
        reached[0].push((self.states - 1, false));
        let mut visits = 0;
        for cell in 0..=cells {
            reached[cell].sort_unstable();
            reached[cell].dedup();
            visits += reached[cell].len();
            if visits > VISITS {
                return None;
            }
            for (state, bought) in reached[cell].clone() {
                for (_, (stop, state, bought)) in self.cheapest(cell, state, bought) {
                    reached[stop].push((state, bought));
                }
            }
        }
        Some(reached)
    }
}
