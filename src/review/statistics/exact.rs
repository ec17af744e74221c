//! Exact intervals: Clopper-Pearson for a rate, Garwood for a count. Does not compare rates.

use super::{Interval, Level, Share, at_least, at_most, gamma_at_most, where_rising};

/// Returns the exact (Clopper-Pearson) interval of a share; `None` for a whole of nothing.
///
/// Low is the p at which `part` or more has the chance of one tail, high the p at which `part` or fewer has it;
/// these are the beta quantiles B(tail; x, n-x+1) and B(1-tail; x+1, n-x). Source: Clopper and Pearson 1934,
/// method 5 in Newcombe 1998.
pub fn clopper_pearson(share: Share, level: Level) -> Option<Interval> {
    let (n, x) = (share.whole(), share.part() as f64);
    if n == 0 {
        return None;
    }
    let low = if share.part() == 0 {
        0.0
    } else {
        where_rising(0.0, 1.0, level.tail(), |p| at_least(n, p, x))
    };
    let high = if share.part() == n {
        1.0
    } else {
        where_rising(0.0, 1.0, 1.0 - level.tail(), |p| 1.0 - at_most(n, p, x))
    };
    Some(Interval { low, high })
}

/// Returns the exact interval of the mean of a Poisson count.
///
/// Half the chi-square quantiles χ²(tail; 2x) and χ²(1-tail; 2x+2), which are gamma quantiles of shape x and x+1.
/// Source: Garwood 1936, Biometrika 28.
pub fn poisson(count: u64, level: Level) -> Interval {
    let x = count as f64;
    // The mean is within 40 standard deviations and 40 of the count for any tail used here.
    let top = x + 40.0 * (x + 1.0).sqrt() + 40.0;
    let low = if count == 0 {
        0.0
    } else {
        where_rising(0.0, top, level.tail(), |mean| gamma_at_most(x, mean))
    };
    let high = where_rising(0.0, top, 1.0 - level.tail(), |mean| {
        gamma_at_most(x + 1.0, mean)
    });
    Interval { low, high }
}
