//! A part: leaves of one flitch from which sets can be cut without regard to any other leaf. Does not choose among parts.

use std::collections::HashMap;

use crate::check::sequence::sets::key::KeyHash;
use crate::check::sequence::sets::woven::Woven;

/// What is to be packed: sizes in rising order with how many of each. Where `spare` is true the last size is not a set
/// but a run of consecutive leaves to be left unused.
#[derive(Debug, Clone)]
pub(super) struct Items {
    pub(super) sizes: Vec<usize>,
    pub(super) counts: Vec<u16>,
    pub(super) spare: bool,
    /// What one piece of each size adds to the number that stands for a whole collection of pieces.
    pub(super) radix: Vec<u128>,
    /// Whether that number is exact; where it is not, nothing may be remembered by it.
    pub(super) exact: bool,
}

impl Items {
    pub(super) fn new(sizes: Vec<usize>, counts: Vec<u16>, spare: bool) -> Self {
        let mut radix = Vec::with_capacity(sizes.len());
        let mut unit: Option<u128> = Some(1);
        for count in &counts {
            radix.push(unit.unwrap_or(0));
            unit = unit.and_then(|unit| unit.checked_mul(u128::from(*count) + 1));
        }
        Items {
            sizes,
            counts,
            spare,
            radix,
            exact: unit.is_some(),
        }
    }

    /// The index of the spare run among the sizes.
    pub(super) fn spare_class(&self) -> Option<usize> {
        self.spare.then(|| self.sizes.len() - 1)
    }

    pub(super) fn key(&self, counts: &[u16]) -> u128 {
        counts
            .iter()
            .zip(&self.radix)
            .map(|(count, unit)| u128::from(*count) * unit)
            .sum()
    }

    pub(super) fn total(&self, counts: &[u16]) -> usize {
        counts
            .iter()
            .zip(&self.sizes)
            .map(|(count, size)| usize::from(*count) * size)
            .sum()
    }
}

/// Leaves `first .. first + len` of a flitch's good leaves.
#[derive(Debug)]
pub(super) struct Part {
    pub(super) first: usize,
    pub(super) len: usize,
    pub(super) kind: Kind,
}

#[derive(Debug)]
pub(super) enum Kind {
    /// Consecutive numbers, no window asked: any sets that add up to no more than the leaves.
    Plain,
    /// Consecutive numbers; a set from leaf `i` must end by `reach[i]`.
    Windowed { reach: Vec<usize> },
    /// Numbers with gaps that a set may step over, no window asked.
    Stepped { numbers: Vec<u32>, skip: u32 },
    /// Numbers with gaps that a set may step over, and a window to share.
    Woven(Box<Woven>),
}

/// One piece cut from a part: which size, which leaves of the part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placed {
    pub(super) class: usize,
    pub(super) leaves: Vec<usize>,
}

/// What has been worked out of one part for one lot of items.
#[derive(Debug, Default)]
pub(super) struct Memory {
    ends: HashMap<u128, u32, KeyHash>,
    woven: HashMap<u128, Option<bool>, KeyHash>,
}

const NEVER: u32 = u32::MAX;

impl Part {
    /// Says whether a piece of the class may start at the leaf; only where every piece is a stretch of neighbours.
    pub(super) fn starts(&self, items: &Items, class: usize, at: usize) -> bool {
        let end = at + items.sizes[class];
        match &self.kind {
            Kind::Plain => end <= self.len,
            Kind::Windowed { reach } => {
                end <= if items.spare_class() == Some(class) {
                    self.len
                } else {
                    reach.get(at).copied().unwrap_or(0)
                }
            }
            Kind::Stepped { .. } | Kind::Woven(_) => end <= self.len,
        }
    }

    /// Says whether all the pieces can be cut from the part; `None` where that was too much work to tell.
    pub(super) fn fits(&self, items: &Items, counts: &[u16], memory: &mut Memory) -> Option<bool> {
        let total = items.total(counts);
        if total > self.len {
            return Some(false);
        }
        match &self.kind {
            Kind::Plain => Some(true),
            Kind::Windowed { .. } => {
                Some(self.end(items, &mut counts.to_vec(), items.key(counts), memory) != NEVER)
            }
            Kind::Stepped { numbers, skip } => {
                Some(stepped(numbers, *skip, items, counts).is_some())
            }
            Kind::Woven(woven) => {
                if !items.exact {
                    return woven.fits(items, counts);
                }
                let key = items.key(counts);
                if let Some(known) = memory.woven.get(&key) {
                    return *known;
                }
                let answer = woven.fits(items, counts);
                memory.woven.insert(key, answer);
                answer
            }
        }
    }

    /// Cuts the pieces; `None` where they were not found to fit.
    pub(super) fn place(&self, items: &Items, counts: &[u16]) -> Option<Vec<Placed>> {
        match &self.kind {
            Kind::Plain => {
                (items.total(counts) <= self.len).then(|| in_a_row(items, counts, 0..self.len))
            }
            Kind::Windowed { .. } => self.place_windowed(items, counts),
            Kind::Stepped { numbers, skip } => stepped(numbers, *skip, items, counts),
            Kind::Woven(woven) => woven.place(items, counts).0,
        }
    }

    /// The smallest end of the pieces, cut from the left. A later start never ends earlier, so the best end of all the
    /// pieces but the last is always the best place for the last to start from.
    fn end(&self, items: &Items, counts: &mut [u16], key: u128, memory: &mut Memory) -> u32 {
        if counts.iter().all(|count| *count == 0) {
            return 0;
        }
        if items.exact
            && let Some(known) = memory.ends.get(&key)
        {
            return *known;
        }
        let mut best = NEVER;
        for class in 0..counts.len() {
            if counts[class] == 0 {
                continue;
            }
            counts[class] -= 1;
            let before = self.end(items, counts, key - items.radix[class], memory);
            counts[class] += 1;
            best = best.min(self.next(items, class, before));
        }
        if items.exact {
            memory.ends.insert(key, best);
        }
        best
    }

    /// The end of the first piece of the class that starts at `from` or later.
    fn next(&self, items: &Items, class: usize, from: u32) -> u32 {
        if from == NEVER {
            return NEVER;
        }
        (from as usize..self.len)
            .find(|at| self.starts(items, class, *at))
            .and_then(|at| u32::try_from(at + items.sizes[class]).ok())
            .unwrap_or(NEVER)
    }

    fn place_windowed(&self, items: &Items, counts: &[u16]) -> Option<Vec<Placed>> {
        let mut memory = Memory::default();
        let mut left = counts.to_vec();
        let mut end = self.end(items, &mut left, items.key(counts), &mut memory);
        let mut placed = Vec::new();
        while left.iter().any(|count| *count > 0) {
            if end == NEVER {
                return None;
            }
            let step = (0..left.len()).find_map(|class| {
                if left[class] == 0 {
                    return None;
                }
                left[class] -= 1;
                let key = items.key(&left);
                let before = self.end(items, &mut left, key, &mut memory);
                if self.next(items, class, before) == end {
                    return Some((class, before));
                }
                left[class] += 1;
                None
            });
            let (class, before) = step?;
            let stop = end as usize;
            placed.push(Placed {
                class,
                leaves: (stop - items.sizes[class]..stop).collect(),
            });
            end = before;
        }
        placed.reverse();
        Some(placed)
    }
}

/// Cuts the pieces side by side from the leaves given, the largest first and the spare run last.
fn in_a_row(items: &Items, counts: &[u16], leaves: impl IntoIterator<Item = usize>) -> Vec<Placed> {
    let mut leaves = leaves.into_iter();
    let spare = items.spare_class();
    let sets = (0..counts.len())
        .rev()
        .filter(|class| Some(*class) != spare);
    let mut placed = Vec::new();
    for class in sets.chain(spare) {
        for _ in 0..counts[class] {
            placed.push(Placed {
                class,
                leaves: leaves.by_ref().take(items.sizes[class]).collect(),
            });
        }
    }
    placed
}

/// Cuts the pieces from leaves whose gaps may be stepped over. The spare run must have consecutive numbers; once it is
/// set aside, what is left is one chain, or two where the step over it would be too long, and in a chain pieces can
/// always be cut side by side.
fn stepped(numbers: &[u32], skip: u32, items: &Items, counts: &[u16]) -> Option<Vec<Placed>> {
    let count = numbers.len();
    if items.total(counts) > count {
        return None;
    }
    let spare = items.spare_class().filter(|class| counts[*class] > 0);
    let Some(class) = spare else {
        return Some(in_a_row(items, counts, 0..count));
    };
    let length = items.sizes[class];
    let mut sets = counts.to_vec();
    sets[class] = 0;
    let total = items.total(&sets);
    for start in 0..=count - length {
        let stop = start + length;
        if numbers[stop - 1] - numbers[start] != u32::try_from(length - 1).unwrap_or(u32::MAX) {
            continue;
        }
        let joined = start > 0 && stop < count && numbers[stop] - numbers[start - 1] - 1 <= skip;
        let (low, high) = if joined {
            (sets.clone(), vec![0; sets.len()])
        } else {
            match split(items, &sets, start, total.saturating_sub(count - stop)) {
                Some(low) => {
                    let high = sets.iter().zip(&low).map(|(all, low)| all - low).collect();
                    (low, high)
                }
                None => continue,
            }
        };
        let mut placed = if joined {
            in_a_row(items, &low, (0..start).chain(stop..count))
        } else {
            in_a_row(items, &low, 0..start)
        };
        placed.extend(in_a_row(items, &high, stop..count));
        placed.push(Placed {
            class,
            leaves: (start..stop).collect(),
        });
        return Some(placed);
    }
    None
}

/// Chooses pieces that add up to at most `most` and at least `least`: the most that can be reached.
fn split(items: &Items, counts: &[u16], most: usize, least: usize) -> Option<Vec<u16>> {
    // reached[sum] holds the pieces of the first way found to that sum.
    let mut reached: Vec<Option<Vec<u16>>> = vec![None; most + 1];
    reached[0] = Some(vec![0; counts.len()]);
    for (class, count) in counts.iter().enumerate() {
        for _ in 0..*count {
            for sum in (items.sizes[class]..=most).rev() {
                if reached[sum].is_none()
                    && let Some(before) = &reached[sum - items.sizes[class]]
                {
                    let mut with = before.clone();
                    with[class] += 1;
                    reached[sum] = Some(with);
                }
            }
        }
    }
    (least..=most)
        .rev()
        .find_map(|sum| reached.get(sum).cloned().flatten())
}
