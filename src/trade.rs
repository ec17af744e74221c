//! Data of the trade, embedded: grade scales, units, finishes, tolerances, notice periods, lumber. Each row names its
//! source. A table is read the first time it is asked for. Applies no rule to a delivery; that is `check`.

pub mod finishes;
pub mod grades;
pub mod leaf_count;
pub mod lumber;
pub mod notices;
pub mod tolerances;
pub mod units;

/// The longest distance at which a misspelt name is still offered: one slip in a short name, two in a long one.
fn slips_allowed(text: &str) -> usize {
    match text.chars().count() {
        0..=2 => 0,
        3..=5 => 1,
        _ => 2,
    }
}

/// Returns the candidate nearest to `text`, where one is near enough to be meant.
fn nearest<'a>(text: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let text = text.trim().to_lowercase();
    let allowed = slips_allowed(&text);
    candidates
        .filter(|candidate| candidate.chars().count() > 2)
        .map(|candidate| {
            (
                strsim::osa_distance(&text, &candidate.to_lowercase()),
                candidate,
            )
        })
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}
