//! Guesses the slip of the pen behind text that is not YAML: a parser notices it late, far from where it was made.

/// Returns what to do about text that is not YAML, as the parser noticed at a line.
pub fn hint(text: &str, noticed: usize) -> String {
    if let Some(line) = line_of(text, |line| line.trim_start_matches(' ').starts_with('\t')) {
        return format!("line {line} is indented with a tab; use spaces");
    }
    if let Some(line) = line_of(text, open_quote).filter(|line| *line <= noticed) {
        return format!("line {line} opens a quote that it does not close");
    }
    let at = text
        .lines()
        .nth(noticed.saturating_sub(1))
        .unwrap_or_default();
    if value_with_colon(at) {
        return format!("line {noticed} has text with a colon; put it in quotes");
    }
    "look at the quotes, colons and indentation here and on the line above".to_owned()
}

/// Returns the number of the first line that is like this, from 1.
fn line_of(text: &str, is: impl Fn(&str) -> bool) -> Option<usize> {
    text.lines().position(is).map(|place| place + 1)
}

/// A double quote that stands alone on its line, after a colon, a dash, a bracket or a comma, opens text that goes on.
fn open_quote(line: &str) -> bool {
    let mut open: Option<char> = None;
    let mut before = ' ';
    for c in line.chars() {
        match open {
            Some(quote) if c == quote && before != '\\' => open = None,
            Some(_) => {}
            None if c == '#' && before == ' ' => break,
            None if matches!(c, '"' | '\'') && matches!(before, ' ' | ':' | '[' | '{' | ',') => {
                open = Some(c)
            }
            None => {}
        }
        before = c;
    }
    open.is_some()
}

/// `note: crushed: corners`: a second colon with a space behind it, outside quotes and brackets.
fn value_with_colon(line: &str) -> bool {
    let plain = !line.contains(['"', '\'', '{', '[']);
    plain && line.matches(": ").count() > 1
}

#[cfg(test)]
mod tests {
    use super::hint;

    fn check(text: &str, noticed: usize, expected: &str) {
        assert_eq!(hint(text, noticed), expected);
    }

    #[test]
    fn the_slip_is_named_where_it_was_made() {
        check(
            "a: 1\n\tb: 2\n",
            1,
            "line 2 is indented with a tab; use spaces",
        );
        check(
            "a: \"x\nb: 2\nc: 3\n",
            3,
            "line 1 opens a quote that it does not close",
        );
        check(
            "note: crushed: corners\n",
            1,
            "line 1 has text with a colon; put it in quotes",
        );
        check(
            "size: 48\" x 96\"\n]",
            2,
            "look at the quotes, colons and indentation here and on the line above",
        );
    }
}
