//! Words of messages: names in backticks, text cut to fit, the name that was probably meant.

/// Returns the nearest of the names, where one is near enough to be meant.
pub fn near<'n>(text: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    // A key of several kilobytes is near to nothing, and the distance would cost its square.
    if text.len() > 64 {
        return None;
    }
    let lower = text.to_lowercase();
    names
        .map(|name| {
            (
                strsim::damerau_levenshtein(&lower, &name.to_lowercase()),
                name,
            )
        })
        .filter(|(distance, name)| *distance <= 1 + name.len() / 4)
        .min()
        .map(|(_, name)| name)
}

/// Returns the text cut to what fits in a message, control characters made visible.
pub fn shortened(text: &str) -> String {
    let visible: String = text
        .chars()
        .take(60)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().nth(60).is_some() {
        format!("{visible}…")
    } else {
        visible
    }
}

/// Returns the words in backticks, separated by commas.
pub fn ticked<'n>(words: impl Iterator<Item = &'n str>) -> String {
    words
        .map(|word| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(", ")
}
