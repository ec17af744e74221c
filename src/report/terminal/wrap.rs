//! Lines that fit the terminal. Knows widths, not goods.

use unicode_width::UnicodeWidthStr;

/// A page of text being written.
#[derive(Debug)]
pub struct Page {
    width: usize,
    out: String,
}

impl Page {
    /// Starts a page of so many columns.
    pub const fn new(width: usize) -> Self {
        Page {
            width,
            out: String::new(),
        }
    }

    /// Returns what was written.
    pub fn text(self) -> String {
        self.out
    }

    /// Returns the columns of the page.
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Writes an empty line, never two in a row.
    pub fn blank(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// Writes one line as it is.
    pub fn plain(&mut self, text: &str) {
        self.out.push_str(text.trim_end());
        self.out.push('\n');
    }

    /// Writes text wrapped at the page's width, all lines indented.
    pub fn wrapped(&mut self, indent: usize, text: &str) {
        self.wrapped_as(indent, text, str::to_owned);
    }

    /// Writes wrapped text, each line dressed after wrapping so that colour never counts as width.
    pub fn wrapped_as(&mut self, indent: usize, text: &str, dress: impl Fn(&str) -> String) {
        for line in wrap(text, self.width.saturating_sub(indent)) {
            self.plain(&format!("{:indent$}{}", "", dress(&line)));
        }
    }

    /// Writes a sentence with a mark before it, following lines under the first word.
    pub fn item(&mut self, mark: &str, text: &str) {
        for (index, line) in wrap(text, self.width.saturating_sub(5)).iter().enumerate() {
            if index == 0 {
                // Marks are one or two columns wide; colour codes around them are not seen.
                let gap = if anstream_width(mark) > 1 { " " } else { "  " };
                self.plain(&format!("  {mark}{gap}{line}"));
            } else {
                self.plain(&format!("     {line}"));
            }
        }
    }

    /// Writes text with a label in a column of its own.
    pub fn labelled(&mut self, label: &str, text: &str) {
        for (index, line) in wrap(text, self.width.saturating_sub(14)).iter().enumerate() {
            let label = if index == 0 { label } else { "" };
            self.plain(&format!("{label:<14}{line}"));
        }
    }
}

/// Returns the columns of text without its colour codes.
pub fn anstream_width(text: &str) -> usize {
    anstream::adapter::strip_str(text).to_string().width()
}

/// Breaks text into lines of at most so many columns, at spaces; a longer word is broken.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(10);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut columns = 0;
    for word in text.split(' ') {
        let wide = anstream_width(word);
        if columns > 0 && columns + 1 + wide > width {
            lines.push(std::mem::take(&mut line));
            columns = 0;
        }
        if columns > 0 || (word.is_empty() && !line.is_empty()) {
            line.push(' ');
            columns += 1;
        }
        if wide <= width {
            line.push_str(word);
            columns += wide;
            continue;
        }
        for c in word.chars() {
            if columns >= width {
                lines.push(std::mem::take(&mut line));
                columns = 0;
            }
            line.push(c);
            columns += unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
        }
    }
    lines.push(line);
    lines
}

/// Breaks the lines of a text that are wider than that; what follows stands under the text, behind the first column
/// where there is one. A command in backticks is not torn where it fits on a line.
pub fn fitted(text: &str, width: usize) -> String {
    let mut out = String::new();
    for line in text.lines() {
        if anstream_width(line) <= width {
            out.push_str(line);
            out.push('\n');
            continue;
        }
        let spaces = line.len() - line.trim_start_matches(' ').len();
        let body = &line[spaces..];
        // A first column is short and two spaces end it.
        let column = body.find("  ").filter(|at| *at <= 24).map_or(0, |at| {
            at + body[at..].len() - body[at..].trim_start_matches(' ').len()
        });
        let hang = spaces
            + if column > 0 {
                anstream_width(&body[..column])
            } else {
                2
            };
        let room = width.saturating_sub(hang);
        let glued = glued(&body[column..], room);
        for (place, part) in wrap(&glued, room).iter().enumerate() {
            let lead = if place > 0 {
                " ".repeat(hang)
            } else if column > 0 {
                line[..spaces + column].to_owned()
            } else {
                " ".repeat(spaces)
            };
            out.push_str(&format!("{lead}{}", part.replace('\u{a0}', " ")));
            out.push('\n');
        }
    }
    out
}

/// Returns the text with its commands in one piece: their spaces are none to break at.
fn glued(text: &str, room: usize) -> String {
    text.split('`')
        .enumerate()
        .map(|(place, part)| {
            if place % 2 == 1 && anstream_width(part) + 3 < room {
                part.replace(' ', "\u{a0}")
            } else {
                part.to_owned()
            }
        })
        .collect::<Vec<_>>()
        .join("`")
}

#[cfg(test)]
mod tests {
    use super::{fitted, wrap};

    #[test]
    fn lines_that_are_too_wide_go_on_under_their_text_and_commands_stay_whole() {
        let text = "short\n2026-03-20  goods of PO-1 promised by Sawdust Supply\n  next: `claim send PO-1` sends it\n";
        assert_eq!(
            fitted(text, 30),
            "short\n2026-03-20  goods of PO-1\n            promised by\n            Sawdust Supply\n  \
             next: `claim send PO-1`\n    sends it\n"
        );
    }

    #[test]
    fn a_line_never_exceeds_the_width_and_no_word_is_lost() {
        let text = "short by 2 sheets: 8 sheets ordered, 6 arrived averyveryverylongword";
        let lines = wrap(text, 12);
        assert!(
            lines.iter().all(|line| line.chars().count() <= 12),
            "{lines:?}"
        );
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
