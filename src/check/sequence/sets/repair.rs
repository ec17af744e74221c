//! Packs quickly and mends what is left over. Never proves that something cannot be packed.

use crate::check::sequence::sets::part::{Items, Kind, Memory, Part};
use crate::check::sequence::sets::search::Chosen;

/// A fixed sequence of numbers without pattern, so that the same leaves always get the same answer.
pub(super) struct Dice(u64);

impl Dice {
    pub(super) fn new() -> Dice {
        Dice(0x2545_f491_4f6c_dd1d)
    }

    pub(super) fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 11) % (sides.max(1) as u64)).unwrap_or(0)
    }
}

/// What a packing leans to.
pub(super) struct Leaning<'a> {
    /// The flitches in the order in which they are to be preferred.
    pub(super) ranking: &'a [usize],
    /// How hard each size is to place.
    pub(super) weights: &'a [i64],
    /// By how many leaves a mending may be worse at first.
    pub(super) heat: i64,
}

/// How many of each size, by flitch, by part.
type Packed = Vec<Vec<Vec<u16>>>;

/// A packing in the making.
struct Draft<'a> {
    flitches: &'a [Vec<&'a Part>],
    items: &'a Items,
    /// What a piece of each size is worth: what is left over is to be worth as little as can be.
    worth: Vec<i64>,
    memory: &'a mut [Vec<Memory>],
    packed: Packed,
    rest: Vec<u16>,
}

/// Tries some plain orders and then mends the best of them for at most `tries` steps, leaning one way.
pub(super) fn quick(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    leaning: &Leaning,
    memory: &mut [Vec<Memory>],
    tries: usize,
) -> Option<Vec<Chosen>> {
    let empty: Packed = flitches
        .iter()
        .map(|flitch| vec![vec![0; items.sizes.len()]; flitch.len()])
        .collect();
    let mut draft = Draft {
        flitches,
        items,
        worth: worth(items, leaning.weights),
        memory,
        packed: empty.clone(),
        rest: items.counts.clone(),
    };
    let mut best: Option<(i64, Packed, Vec<u16>, Vec<usize>)> = None;
    let choices: Vec<Vec<usize>> = if limit == 1 {
        leaning.ranking.iter().map(|flitch| vec![*flitch]).collect()
    } else {
        vec![leaning.ranking.iter().copied().take(limit).collect()]
    };
    for active in choices {
        let mut parts: Vec<(usize, usize)> = active
            .iter()
            .flat_map(|flitch| (0..flitches[*flitch].len()).map(|part| (*flitch, part)))
            .collect();
        for attempt in 0..4 {
            draft.packed.clone_from(&empty);
            draft.rest.clone_from(&items.counts);
            if attempt == 1 {
                parts.sort_by_key(|(flitch, part)| flitches[*flitch][*part].len);
            } else if attempt == 2 {
                parts.reverse();
            }
            let tilt: Vec<i64> = items
                .sizes
                .iter()
                .map(|size| if attempt == 3 { 0 } else { lean(*size) })
                .collect();
            for (flitch, part) in &parts {
                draft.fill(*flitch, *part, &tilt);
            }
            let left = draft.left();
            if left == 0 {
                return Some(draft.chosen());
            }
            if best.as_ref().is_none_or(|(old, ..)| left < *old) {
                best = Some((
                    left,
                    draft.packed.clone(),
                    draft.rest.clone(),
                    active.clone(),
                ));
            }
        }
    }
    let (left, packed, rest, active) = best?;
    draft.packed = packed;
    draft.rest = rest;
    draft
        .mend(left, active, tries, leaning.heat)
        .then(|| draft.chosen())
}

/// Brings the weights to about a leaf's size in units of 65,536, so that a tilt can only decide between near equals.
fn worth(items: &Items, weights: &[i64]) -> Vec<i64> {
    let heaviest = weights.iter().copied().max().unwrap_or(1).max(1);
    let largest = items.sizes.iter().copied().max().unwrap_or(1) as i64;
    let scaled = |weight: i64| {
        i64::try_from(i128::from(weight) * i128::from(largest << 16) / i128::from(heaviest))
    };
    weights
        .iter()
        .zip(&items.sizes)
        .map(|(weight, size)| scaled(*weight).unwrap_or(0) + *size as i64)
        .collect()
}

/// Larger sizes first: the small ones fill the ends better.
fn lean(size: usize) -> i64 {
    i64::try_from(size * size).unwrap_or(0).min(1 << 12)
}

impl Draft<'_> {
    fn left(&self) -> i64 {
        self.rest
            .iter()
            .zip(&self.worth)
            .map(|(count, worth)| i64::from(*count) * worth)
            .sum()
    }

    fn chosen(&self) -> Vec<Chosen> {
        let mut chosen = Vec::new();
        for (flitch, parts) in self.packed.iter().enumerate() {
            for (part, counts) in parts.iter().enumerate() {
                if counts.iter().any(|count| *count > 0) {
                    chosen.push(Chosen {
                        flitch,
                        part,
                        counts: counts.clone(),
                    });
                }
            }
        }
        chosen
    }

    /// Cuts as many leaves' worth of the rest as it can from an empty part; `tilt` decides between equals.
    fn fill(&mut self, flitch: usize, part: usize, tilt: &[i64]) {
        let here = self.flitches[flitch][part];
        let counts = match &here.kind {
            Kind::Plain | Kind::Windowed { .. } => {
                labelled(here, self.items, &self.rest, &self.worth, tilt)
            }
            Kind::Stepped { .. } | Kind::Woven(_) => {
                one_by_one(here, self.items, &self.rest, &mut self.memory[flitch][part])
            }
        };
        for (rest, count) in self.rest.iter_mut().zip(&counts) {
            *rest -= count;
        }
        self.packed[flitch][part] = counts;
    }

    fn empty(&mut self, flitch: usize, part: usize) {
        for (rest, count) in self.rest.iter_mut().zip(&mut self.packed[flitch][part]) {
            *rest += *count;
            *count = 0;
        }
    }

    /// Empties a few parts at a time and fills them again, keeping what is no worse, or at first worse by less than
    /// `heat` leaves.
    fn mend(&mut self, mut left: i64, mut active: Vec<usize>, tries: usize, heat: i64) -> bool {
        let mut dice = Dice::new();
        let smallest = self.items.sizes.iter().copied().min().unwrap_or(1);
        for step in 0..tries {
            let slack = heat * (i64::try_from(tries - step).unwrap_or(0) << 16)
                / i64::try_from(tries).unwrap_or(1);
            let mut touched: Vec<(usize, usize)> = Vec::new();
            let mut swapped = None;
            if active.len() < self.flitches.len() && dice.roll(6) == 0 {
                let out = dice.roll(active.len());
                let outside: Vec<usize> = (0..self.flitches.len())
                    .filter(|flitch| !active.contains(flitch))
                    .collect();
                let into = outside[dice.roll(outside.len())];
                swapped = Some((out, into, active[out]));
                touched
                    .extend((0..self.flitches[active[out]].len()).map(|part| (active[out], part)));
                touched.extend((0..self.flitches[into].len()).map(|part| (into, part)));
            } else {
                for _ in 0..2 + dice.roll(3) {
                    let flitch = active[dice.roll(active.len())];
                    if self.flitches[flitch].is_empty() {
                        continue;
                    }
                    let part = dice.roll(self.flitches[flitch].len());
                    if self.flitches[flitch][part].len >= smallest
                        && !touched.contains(&(flitch, part))
                    {
                        touched.push((flitch, part));
                    }
                }
            }
            let before: Vec<Vec<u16>> = touched
                .iter()
                .map(|(flitch, part)| self.packed[*flitch][*part].clone())
                .collect();
            let rest = self.rest.clone();
            for (flitch, part) in &touched {
                self.empty(*flitch, *part);
            }
            let tilt: Vec<i64> = self
                .items
                .sizes
                .iter()
                .map(|_| i64::try_from(dice.roll(1 << 12)).unwrap_or(0))
                .collect();
            let barred = swapped.map(|(_, _, out)| out);
            for (flitch, part) in &touched {
                if barred != Some(*flitch) {
                    self.fill(*flitch, *part, &tilt);
                }
            }
            let now = self.left();
            if now <= left + slack {
                left = now;
                if let Some((out, into, _)) = swapped {
                    active[out] = into;
                }
                if left == 0 {
                    return true;
                }
            } else {
                self.rest = rest;
                for ((flitch, part), counts) in touched.iter().zip(before) {
                    self.packed[*flitch][*part] = counts;
                }
            }
        }
        false
    }
}

/// The best cutting of a part from the rest, keeping for each end one best way (so not always the very best).
fn labelled(part: &Part, items: &Items, rest: &[u16], worth: &[i64], tilt: &[i64]) -> Vec<u16> {
    let classes = items.sizes.len();
    let mut value = vec![0_i64; part.len + 1];
    let mut used = vec![0_u16; (part.len + 1) * classes];
    for end in 1..=part.len {
        let mut best = (value[end - 1], None);
        for class in (0..classes).rev() {
            let size = items.sizes[class];
            if size > end || rest[class] == 0 || used[(end - size) * classes + class] >= rest[class]
            {
                continue;
            }
            let here = value[end - size] + worth[class] + tilt[class];
            if here > best.0 && part.starts(items, class, end - size) {
                best = (here, Some(class));
            }
        }
        value[end] = best.0;
        let from = best.1.map_or(end - 1, |class| end - items.sizes[class]);
        used.copy_within(from * classes..(from + 1) * classes, end * classes);
        if let Some(class) = best.1 {
            used[end * classes + class] += 1;
        }
    }
    used[part.len * classes..].to_vec()
}

/// Adds pieces while they fit, the largest first.
fn one_by_one(part: &Part, items: &Items, rest: &[u16], memory: &mut Memory) -> Vec<u16> {
    let mut counts = vec![0; items.sizes.len()];
    for class in (0..items.sizes.len()).rev() {
        while counts[class] < rest[class] {
            counts[class] += 1;
            if part.fits(items, &counts, memory) != Some(true) {
                counts[class] -= 1;
                break;
            }
        }
    }
    counts
}
