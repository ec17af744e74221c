//! Upper bounds on what parts can hold. Give every size a weight: no part can hold more weight than its best cutting, so
//! what weighs more than the best cuttings together cannot be packed. Weights are whole numbers, so a bound is exact
//! however the weights were found. Does not pack.

use crate::check::sequence::sets::master::Master;
use crate::check::sequence::sets::part::{Items, Kind, Part};

/// Weights are found as fractions and made whole by this factor.
const SCALE: f64 = 268_435_456.0;

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

/// The cutting of a part that weighs most, whatever is left of each size.
pub(super) fn cutting(part: &Part, items: &Items, weights: &[i64]) -> Vec<u16> {
    let mut counts = vec![0; weights.len()];
    count(
        &best_cuttings(part, items, weights),
        part.len,
        items,
        &mut counts,
    );
    counts
        .into_iter()
        .map(|count| u16::try_from(count).unwrap_or(u16::MAX))
        .collect()
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

    /// By how much the items weigh more than `limit` flitches can hold.
    fn shortage(&self, items: &Items, limit: usize) -> i64 {
        self.need(&items.counts) - self.most(limit)
    }

    /// Says whether the items weigh more than `limit` flitches can hold.
    pub(super) fn excludes(&self, items: &Items, limit: usize) -> bool {
        self.shortage(items, limit) > 0
    }

    /// The flitches, those that hold most first.
    fn order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.flitches.len()).collect();
        order.sort_by(|one, other| self.flitches[*other].cmp(&self.flitches[*one]));
        order
    }

    fn taken_by(&self, limit: usize) -> Vec<i64> {
        let mut counts = vec![0; self.weights.len()];
        for flitch in self.order().into_iter().take(limit) {
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

/// The sharpest bound found, and what nearly fits: cuttings of everything by share, each as the bound that it is best for
/// and the flitches that it uses.
pub(super) struct Sharp {
    pub(super) bound: Bound,
    pub(super) mixture: Vec<(f64, Bound, Vec<usize>)>,
}

/// Looks for weights that exclude the items, and returns the best found. The best cuttings at some weights are one more
/// mixture for the linear program whose prices are the next weights; weights are sought between the best so far and
/// those prices, as the prices alone leap about.
pub(super) fn sharpest(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    steps: usize,
) -> Sharp {
    let largest = items.sizes.iter().copied().max().unwrap_or(1) as f64;
    let mut weights: Vec<f64> = items
        .sizes
        .iter()
        .map(|size| *size as f64 / largest)
        .collect();
    let mut tried = vec![bound(flitches, items, &whole(&weights))];
    let mut best = 0;
    let mut master = Master::new(&items.counts, &tried[0].taken_by(limit));
    let mut pull = 0.5;
    for _ in 0..steps {
        if tried[best].excludes(items, limit) {
            break;
        }
        let (wanting, prices) = master.solve();
        if wanting < 1e-6 {
            break;
        }
        let sought: Vec<f64> = weights
            .iter()
            .zip(&prices)
            .map(|(best, price)| (best + pull * (price - best)).clamp(0.0, 1.0))
            .collect();
        let here = bound(flitches, items, &whole(&sought));
        master.add(&here.taken_by(limit));
        if here.shortage(items, limit) > tried[best].shortage(items, limit) {
            best = tried.len();
            weights = sought;
        } else if pull < 1.0 {
            pull = (pull + 0.1_f64).min(1.0);
        }
        tried.push(here);
    }
    let mixture = master.shares().into_iter().map(|(place, share)| {
        let bound = tried[place].clone();
        let used = bound.order().into_iter().take(limit).collect();
        (share, bound, used)
    });
    Sharp {
        mixture: mixture.collect(),
        bound: tried.swap_remove(best),
    }
}

fn whole(weights: &[f64]) -> Vec<i64> {
    weights
        .iter()
        .map(|weight| (weight * SCALE).round() as i64)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{by_size, sharpest};
    use crate::check::sequence::sets::part::{Items, Kind, Part};

    #[test]
    fn what_leaves_alone_do_not_refuse_weights_refuse() {
        let parts = [39, 39].map(|len| Part {
            first: 0,
            len,
            kind: Kind::Plain,
        });
        let flitches: Vec<Vec<&Part>> = parts.iter().map(|part| vec![part]).collect();
        let sharp = |counts: [u16; 2]| {
            let items = Items::new(vec![10, 13], counts.to_vec(), false);
            assert!(!by_size(&flitches, &items).excludes(&items, 2));
            let sharp = sharpest(&flitches, &items, 2, 150);
            sharp.bound.excludes(&items, 2)
        };
        // A run of 39 holds three sets and never a fourth, though seven take 73 leaves of 78.
        assert!(sharp([6, 1]));
        assert!(!sharp([4, 2]));
    }

    #[test]
    fn the_shares_add_up_to_all_that_is_wanted() {
        let parts = [9, 10, 13, 17].map(|len| Part {
            first: 0,
            len,
            kind: Kind::Plain,
        });
        let flitches: Vec<Vec<&Part>> = parts.iter().map(|part| vec![part]).collect();
        let items = Items::new(vec![4, 5, 6], vec![4, 3, 2], false);
        let sharp = sharpest(&flitches, &items, 4, 150);
        let whole: f64 = sharp.mixture.iter().map(|(share, ..)| share).sum();
        assert!((whole - 1.0).abs() < 1e-6);
        for class in 0..3 {
            let taken: f64 = sharp
                .mixture
                .iter()
                .map(|(share, bound, _)| share * bound.taken_by(4)[class] as f64)
                .sum();
            assert!(taken + 1e-6 >= f64::from(items.counts[class]));
        }
    }
}
