//! The shapes that stand for what is said. Chooses no verdict.

use crate::review::compare::Verdict;

use super::svg::{Anchor, Svg, width};

/// A mark: a shape and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Worse,
    Better,
    Watch,
    AsOthers,
    TooFew,
    Run,
}

impl Mark {
    /// Returns the mark of a verdict.
    pub(super) fn of(verdict: Verdict, watch: bool) -> Mark {
        match verdict {
            Verdict::Worse => Mark::Worse,
            Verdict::Better => Mark::Better,
            Verdict::AsOthers if watch => Mark::Watch,
            Verdict::AsOthers => Mark::AsOthers,
            Verdict::TooFew => Mark::TooFew,
        }
    }

    fn class(self) -> &'static str {
        match self {
            Mark::Worse => "mark worse",
            Mark::Better => "mark better",
            Mark::Run => "mark full",
            Mark::Watch | Mark::AsOthers | Mark::TooFew => "mark",
        }
    }

    fn path(self, x: f64, y: f64) -> String {
        match self {
            Mark::Worse => format!("M{:.1} {:.1}l7 12h-14z", x, y - 7.0),
            Mark::Better => format!("M{:.1} {:.1}l7 -12h-14z", x, y + 7.0),
            Mark::Watch => format!("M{:.1} {:.1}l6 6l-6 6l-6 -6z", x, y - 6.0),
            Mark::AsOthers => format!(
                "M{:.1} {:.1}a4.5 4.5 0 1 1 9 0a4.5 4.5 0 1 1 -9 0z",
                x - 4.5,
                y
            ),
            Mark::TooFew => format!("M{:.1} {:.1}l9 9m0 -9l-9 9", x - 4.5, y - 4.5),
            Mark::Run => format!("M{:.1} {:.1}h8v8h-8z", x - 4.0, y - 4.0),
        }
    }

    /// Draws the mark centred at a place.
    pub(super) fn draw(self, svg: &mut Svg, at: (f64, f64), tip: &str) {
        svg.shape(self.class(), &self.path(at.0, at.1), tip);
    }
}

/// Draws a row of marks with their words from `x` on.
pub(super) fn legend(svg: &mut Svg, x: f64, y: f64, entries: &[(Mark, &str)]) {
    let mut x = x;
    for (mark, words) in entries {
        mark.draw(svg, (x + 7.0, y - 4.0), words);
        svg.text((x + 19.0, y), Anchor::Start, "small", words);
        x += 19.0 + width(words) + 18.0;
    }
}
