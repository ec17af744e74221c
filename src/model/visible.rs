//! Makes marks visible that would move, turn or hide the text of a message, as they may stand in the name of a file. Cuts
//! nothing.

/// Returns whether a character turns or hides text: bidirectional controls, zero-width characters, line and paragraph
/// separators, tags, and what is no character (Unicode 15, general category Cf and neighbours).
pub const fn is_hidden(c: char) -> bool {
    matches!(
        c,
        '\u{ad}'
            | '\u{61c}'
            | '\u{115f}'
            | '\u{1160}'
            | '\u{180e}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{fffe}'..='\u{ffff}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// Returns a text on one line, each control character and each hidden one shown as `U+FFFD`.
pub fn on_one_line(text: &str) -> String {
    text.chars()
        .map(|c| if harmful(c) { '\u{fffd}' } else { c })
        .collect()
}

/// Returns a text with its line ends, every other control character and each hidden one shown as `U+FFFD`.
pub fn visible(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c != '\n' && harmful(c) {
                '\u{fffd}'
            } else {
                c
            }
        })
        .collect()
}

fn harmful(c: char) -> bool {
    c.is_control() || is_hidden(c)
}

#[cfg(test)]
mod tests {
    use super::{on_one_line, visible};

    #[test]
    fn marks_that_move_turn_or_hide_text_are_shown() {
        let text = "a\u{1b}[2J\n\u{202e}lmay.\u{2069}\u{200b}é";
        assert_eq!(
            on_one_line(text),
            "a\u{fffd}[2J\u{fffd}\u{fffd}lmay.\u{fffd}\u{fffd}é"
        );
        assert_eq!(
            visible(text),
            "a\u{fffd}[2J\n\u{fffd}lmay.\u{fffd}\u{fffd}é"
        );
    }
}
