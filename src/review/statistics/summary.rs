//! Mean, median and other quantiles of plain numbers. Knows nothing of open claims; see `survival` for those.

/// Returns the arithmetic mean; `None` for no values.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Returns the median: the middle value, or the mean of the middle two; `None` for no values.
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// Returns the value below which the share `q` of the values lies; `None` for no values or a `q` outside 0 to 1.
///
/// Between two values it runs straight at (n - 1) q: type 7 of Hyndman and Fan 1996, The American Statistician 50.
pub fn quantile(values: &[f64], q: f64) -> Option<f64> {
    if values.is_empty() || !(0.0..=1.0).contains(&q) {
        return None;
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = (sorted.len() - 1) as f64 * q;
    let below = place.floor() as usize;
    let above = place.ceil() as usize;
    Some(sorted[below] + (sorted[above] - sorted[below]) * (place - place.floor()))
}
