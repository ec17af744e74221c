//! Makes text from outside harmless before it is put into a letter. Escapes no HTML; the renderer does that.

use crate::model::visible::is_hidden;
use serde_json::Value;

/// The most characters one value of a letter may have; a longer one is cut and says so.
pub const MOST: usize = 1_000;

/// Returns a text on one line: no control characters, no marks that turn the direction of writing or hide, runs of
/// white space made one space, at most `MOST` characters.
pub fn line(text: &str) -> String {
    let mut out = String::new();
    let mut count = 0;
    let mut space = false;
    for c in text.chars() {
        if c.is_whitespace() && c != '\u{a0}' || c.is_control() {
            space = !out.is_empty();
            continue;
        }
        if is_hidden(c) {
            continue;
        }
        if count >= MOST {
            out.push_str(" … (cut)");
            return out;
        }
        if space {
            out.push(' ');
            count += 1;
            space = false;
        }
        out.push(c);
        count += 1;
    }
    out
}

/// Makes every text of a value harmless, whatever its place.
pub fn value(value: &mut Value) {
    match value {
        Value::String(text) => *text = line(text),
        Value::Array(items) => items.iter_mut().for_each(self::value),
        Value::Object(map) => map.values_mut().for_each(self::value),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST, line};

    #[test]
    fn line_ends_and_controls_become_one_space_or_nothing() {
        assert_eq!(line("a\r\nBcc: x@y\u{0}\u{7}\tb "), "a Bcc: x@y b");
    }

    #[test]
    fn marks_that_turn_or_hide_text_are_dropped() {
        assert_eq!(line("\u{202e}gpj.exe\u{2069}\u{200b}\u{feff}"), "gpj.exe");
    }

    #[test]
    fn a_megabyte_is_cut_and_says_so() {
        let cut = line(&"x".repeat(1_000_000));
        assert_eq!(cut.chars().count(), MOST + " … (cut)".chars().count());
        assert!(cut.ends_with("(cut)"));
    }
}
