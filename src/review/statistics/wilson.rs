//! The Wilson score interval of a rate. Does not compare rates.

use super::{Interval, Level, Share};

/// Returns the Wilson score interval of a share; `None` for a whole of nothing.
///
/// (p + z²/2n ± z √(p(1-p)/n + z²/4n²)) / (1 + z²/n), without continuity correction. Source: Wilson 1927, as
/// method 3 in Newcombe 1998, Statistics in Medicine 17, 857-872.
pub fn wilson(share: Share, level: Level) -> Option<Interval> {
    let p = share.rate()?;
    let n = share.whole() as f64;
    let z = level.z();
    let middle = p + z * z / (2.0 * n);
    let reach = z * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    let scale = 1.0 + z * z / n;
    // At none and at all the end is exact; the formula leaves a rounding residue there.
    let low = if share.part() == 0 {
        0.0
    } else {
        (middle - reach) / scale
    };
    let high = if share.part() == share.whole() {
        1.0
    } else {
        (middle + reach) / scale
    };
    Some(Interval { low, high })
}
