//! Quiet colour. The words say everything; colour only helps the eye.

use anstyle::{AnsiColor, Style};

/// Colour or none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// With colour.
    Colour,
    /// Without.
    Plain,
}

impl Ink {
    /// What is right.
    pub fn good(self, text: &str) -> String {
        self.paint(AnsiColor::Green.on_default().bold(), text)
    }

    /// What is wrong.
    pub fn bad(self, text: &str) -> String {
        self.paint(AnsiColor::Red.on_default().bold(), text)
    }

    /// What needs a look.
    pub fn look(self, text: &str) -> String {
        self.paint(AnsiColor::Yellow.on_default().bold(), text)
    }

    /// A heading.
    pub fn strong(self, text: &str) -> String {
        self.paint(Style::new().bold(), text)
    }

    /// What is said beside.
    pub fn quiet(self, text: &str) -> String {
        self.paint(Style::new().dimmed(), text)
    }

    fn paint(self, style: Style, text: &str) -> String {
        match self {
            Ink::Plain => text.to_owned(),
            Ink::Colour => format!("{style}{text}{style:#}"),
        }
    }
}
