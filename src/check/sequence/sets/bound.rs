//! Upper bounds on what parts can hold. Give every size a weight: no part can hold more weight than its best cutting, so
//! what weighs more than the best cuttings together cannot be packed. Weights are whole numbers, so a bound is exact
//! however the weights were found. Does not pack.

use crate::check::sequence::sets::part::{Items, Kind, Part};

/// Weights are found as fractions and made whole by this factor.
const SCALE: f64 = 1_048_576.0;

/// The most weight each part can hold, for one choice of weights.
#[derive(Debug, Clone)]
pub(super) struct Bound {
    pub(super) weights: Vec<i64>,
    /// By flitch, by part.
    pub(super) parts: Vec<Vec<i64>>,
    /// By flitch.
    pub(super) flitches: Vec<i64>,
    /// How many of each size the best cuttings of a flitch take.
    taken: Vec<Vec<i64>>,
}

/// Reckons the most weight of every part. Copies of a size are not counted, so it may be more than can be had.
pub(super) fn bound(flitches: &[Vec<&Part>], items: &Items, weights: &[i64]) -> Bound {
    let longest = flitches
        .iter()
        .flatten()
        .map(|part| part.len)
        .max()
        .unwrap_or(0);
    let free = Part {
        first: 0,
        len: longest,
        kind: Kind::Plain,
    };
    let shared = best_cuttings(&free, items, weights);
    let mut parts = Vec::with_capacity(flitches.len());
    let mut sums = Vec::with_capacity(flitches.len());
    let mut taken = Vec::with_capacity(flitches.len());
    for flitch in flitches {
        let mut values = Vec::with_capacity(flitch.len());
        let mut counts = vec![0; weights.len()];
        for part in flitch {
            match &part.kind {
                Kind::Windowed { .. } => {
                    let own = best_cuttings(part, items, weights);
                    values.push(own[part.len].0);
                    count(&own, part.len, items, &mut counts);
                }
                Kind::Plain | Kind::Stepped { .. } | Kind::Woven(_) => {
                    values.push(shared[part.len].0);
                    count(&shared, part.len, items, &mut counts);
                }
            }
        }
        sums.push(values.iter().sum());
        parts.push(values);
        taken.push(counts);
    }
    Bound {
        weights: weights.to_vec(),
        parts,
        flitches: sums,
        taken,
    }
}

/// For each length of the part from the left: the most weight, and the class that ends there.
fn best_cuttings(part: &Part, items: &Items, weights: &[i64]) -> Vec<(i64, Option<usize>)> {
    let mut best: Vec<(i64, Option<usize>)> = vec![(0, None); part.len + 1];
    for end in 1..=part.len {
        let mut here = (best[end - 1].0, None);
        for (class, size) in items.sizes.iter().enumerate() {
            if *size > end || items.counts[class] == 0 {
                continue;
            }
            let value = best[end - size].0 + weights[class];
            if value > here.0 && part.starts(items, class, end - size) {
                here = (value, Some(class));
            }
        }
        best[end] = here;
    }
    best
}

fn count(best: &[(i64, Option<usize>)], length: usize, items: &Items, counts: &mut [i64]) {
    let mut end = length;
    while end > 0 {
        match best[end].1 {
            Some(class) => {
                counts[class] += 1;
                end -= items.sizes[class];
            }
            None => end -= 1,
        }
    }
}

impl Bound {
    /// The most weight that `limit` flitches can hold.
    fn most(&self, limit: usize) -> i64 {
        let mut values = self.flitches.clone();
        values.sort_unstable_by(|one, other| other.cmp(one));
        values.iter().take(limit).sum()
    }

    pub(super) fn need(&self, counts: &[u16]) -> i64 {
        counts
            .iter()
            .zip(&self.weights)
            .map(|(count, weight)| i64::from(*count) * weight)
            .sum()
    }

    /// Says whether the items weigh more than `limit` flitches can hold.
    pub(super) fn excludes(&self, items: &Items, limit: usize) -> bool {
        self.need(&items.counts) > self.most(limit)
    }

    fn taken_by(&self, limit: usize) -> Vec<i64> {
        let mut order: Vec<usize> = (0..self.flitches.len()).collect();
        order.sort_by(|one, other| self.flitches[*other].cmp(&self.flitches[*one]));
        let mut counts = vec![0; self.weights.len()];
        for flitch in order.into_iter().take(limit) {
            for (sum, taken) in counts.iter_mut().zip(&self.taken[flitch]) {
                *sum += taken;
            }
        }
        counts
    }
}

/// Bounds with every leaf of a set weighing the same.
pub(super) fn by_size(flitches: &[Vec<&Part>], items: &Items) -> Bound {
    let weights: Vec<i64> = items
        .sizes
        .iter()
        .map(|size| i64::try_from(*size).unwrap_or(i64::MAX))
        .collect();
    bound(flitches, items, &weights)
}

/// Looks for weights that exclude the items, and returns the best found: sizes that the best cuttings take too rarely are
/// made heavier, step by step (the subgradient method on the linear relaxation's dual).
pub(super) fn sharpest(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    steps: usize,
) -> Bound {
    let largest = items.sizes.iter().copied().max().unwrap_or(1) as f64;
    let mut starts: Vec<Vec<f64>> = vec![
        items
            .sizes
            .iter()
            .map(|size| *size as f64 / largest)
            .collect(),
    ];
    for from in 0..items.sizes.len() {
        starts.push(
            (0..items.sizes.len())
                .map(|class| if class < from { 0.0 } else { 1.0 })
                .collect(),
        );
    }
    let mut weights = Vec::new();
    let mut nearest = f64::NEG_INFINITY;
    for start in starts {
        let here = bound(flitches, items, &whole(&start));
        let need = here.need(&items.counts);
        let most = here.most(limit);
        if need > most {
            return here;
        }
        let gap = (need - most) as f64 / need.max(1) as f64;
        if gap > nearest {
            nearest = gap;
            weights = start;
        }
    }
    let mut best: Option<(f64, Bound)> = None;
    let mut pace = 1.0;
    let mut stale = 0;
    for _ in 0..steps {
        let whole: Vec<i64> = weights
            .iter()
            .map(|weight| (weight * SCALE).round() as i64)
            .collect();
        let here = bound(flitches, items, &whole);
        let need = here.need(&items.counts);
        let most = here.most(limit);
        let gap = (need - most) as f64 / SCALE;
        let slope: Vec<f64> = items
            .counts
            .iter()
            .zip(here.taken_by(limit))
            .map(|(count, taken)| f64::from(*count) - taken as f64)
            .collect();
        let better = best
            .as_ref()
            .is_none_or(|(old, _)| gap / (need.max(1) as f64) > *old);
        if better {
            best = Some((gap / (need.max(1) as f64), here));
            stale = 0;
        } else {
            stale += 1;
            if stale % 5 == 0 {
                pace *= 0.6;
            }
        }
        let length: f64 = slope.iter().map(|part| part * part).sum();
        if need > most || length == 0.0 {
            break;
        }
        let aim = need as f64 / SCALE * 0.01 - gap;
        for (weight, part) in weights.iter_mut().zip(&slope) {
            *weight = (*weight + pace * aim * part / length).clamp(0.0, 4.0);
        }
    }
    best.map_or_else(|| by_size(flitches, items), |(_, bound)| bound)
}

fn whole(weights: &[f64]) -> Vec<i64> {
    weights
        .iter()
        .map(|weight| (weight * SCALE).round() as i64)
        .collect()
}
