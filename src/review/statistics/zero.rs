//! What none of n tells. Does not handle one or more of n; see `exact`.

use super::{per_cent, thousands};

/// Returns the rate that 0 of n still allows, 95 % sure on one side: about 3/n, never above 1.
///
/// The rule of three: Hanley and Lippman-Hand 1983, JAMA 249, 1743-1745. `None` for n of 0.
pub fn rule_of_three(n: u64) -> Option<f64> {
    (n > 0).then(|| (3.0 / n as f64).min(1.0))
}

/// Returns the same without the approximation: the p at which (1 - p)^n is 5 %.
pub fn exact_bound(n: u64) -> Option<f64> {
    (n > 0).then(|| 1.0 - 0.05_f64.powf(1.0 / n as f64))
}

/// Returns it in words: `none of 60, which still allows up to about 5.0 %`.
pub fn words(n: u64) -> String {
    match rule_of_three(n) {
        Some(rate) => format!(
            "none of {}, which still allows up to about {}",
            thousands(n),
            per_cent(rate)
        ),
        None => "nothing received".to_owned(),
    }
}
