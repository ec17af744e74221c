//! Funnel limits: which counts chance allows for a supplier of n lines at the shop's average.
//! Does not decide what is said about a supplier.

use super::{Level, at_least, at_most, where_rising};

/// The limits at one n: the counts that lie inside, and where the boundary line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The n they hold for.
    pub n: u64,
    /// The fewest that is inside.
    pub fewest: u64,
    /// The most that is inside.
    pub most: u64,
    /// The rate at or below which a point is outside; `None` where not even 0 of n is few enough.
    pub low: Option<f64>,
    /// The rate at or above which a point is outside; `None` where not even n of n is many enough.
    pub high: Option<f64>,
}

impl Limits {
    /// Tells whether a count lies inside.
    pub const fn hold(&self, count: u64) -> bool {
        self.fewest <= count && count <= self.most
    }
}

/// Returns the exact binomial limits at `n` around the rate `average`.
///
/// A count x is too many when P(X ≥ x) ≤ tail, and too few when P(X ≤ x) ≤ tail, X binomial (n, average) and tail
/// 0.025 or 0.001. So each side is crossed by chance at most as often as its tail says, at every n, which the
/// normal approximation does not keep for small n or rates near 0. Funnel and the two levels: Spiegelhalter 2005,
/// Statistics in Medicine 24, 1185-1202 (exact limits, his appendix); but where he interpolates between counts, the
/// line here follows the incomplete beta function, so that a point is on or beyond the line exactly when it is outside.
pub fn limits(n: u64, average: f64, level: Level) -> Limits {
    let tail = level.tail();
    let size = n as f64;
    Limits {
        n,
        fewest: first(n, |x| at_most(n, average, x as f64) > tail),
        // The count before the first that is too many; at 0 the chance is 1, so there is one.
        most: first(n + 1, |x| at_least(n, average, x as f64) <= tail).saturating_sub(1),
        low: (n > 0 && at_most(n, average, 0.0) <= tail)
            .then(|| where_rising(0.0, size, tail, |x| at_most(n, average, x)) / size),
        high: (n > 0 && at_least(n, average, size) <= tail)
            .then(|| where_rising(0.0, size, 1.0 - tail, |x| 1.0 - at_least(n, average, x)) / size),
    }
}

/// Returns the first of 0..=end for which a test that stays true once true holds; `end` if none before it.
fn first(end: u64, test: impl Fn(u64) -> bool) -> u64 {
    let (mut low, mut high) = (0, end);
    while low < high {
        let middle = low + (high - low) / 2;
        if test(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}
