//! Words of messages and letters: names in backticks, lists, leaf ranges, months; text cut to fit; the name that was
//! probably meant.

/// The months in English.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

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

/// Returns the words of a text with one space between them.
pub fn evenly_spaced(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out
}

/// Returns whether a text has more characters than that. No text has more characters than bytes.
pub fn longer(text: &str, most: usize) -> bool {
    text.len() > most && text.chars().count() > most
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

/// Returns `1 and 2`, `1, 2 and 3`.
pub fn listed(names: &[String]) -> String {
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}

/// Returns leaf names as the trade writes them: `14-17, 21`.
pub fn ranges(leaves: &[String]) -> String {
    let mut parts: Vec<(&str, &str)> = Vec::new();
    for leaf in leaves {
        let follows = parts.last().is_some_and(|(_, last)| {
            let next = last
                .parse::<u32>()
                .ok()
                .and_then(|last| last.checked_add(1));
            next.is_some() && next == leaf.parse::<u32>().ok()
        });
        match parts.last_mut() {
            Some((_, last)) if follows => *last = leaf,
            Some(_) | None => parts.push((leaf, leaf)),
        }
    }
    parts
        .into_iter()
        .map(|(first, last)| {
            if first == last {
                first.to_owned()
            } else {
                format!("{first}-{last}")
            }
        })
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn leaves_that_follow_on_are_written_as_a_range() {
        let leaves: Vec<String> = ["14", "15", "16", "21", "P1"].map(String::from).to_vec();
        assert_eq!(ranges(&leaves), "14-16, 21, P1");
    }
}
