//! On time, in full, and both together. Decides no date and no quantity: each line says what it was.

use super::Share;

/// One order line that was due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// Whether it came by the promised day; `None` where no day was promised.
    pub on_time: Option<bool>,
    /// Whether all of it came.
    pub in_full: bool,
}

/// The three shares, each with its own n.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct OnTime {
    /// On time, of the lines with a promised day.
    pub on_time: Share,
    /// In full, of all lines.
    pub in_full: Share,
    /// On time and in full, of the lines with a promised day.
    pub both: Share,
}

/// Counts line by line. Both together is counted too: a line late and short is one failure, so the product of
/// the two shares would be another number.
pub fn on_time(lines: &[Line]) -> OnTime {
    let dated = || {
        lines
            .iter()
            .filter_map(|line| line.on_time.map(|on_time| (on_time, line.in_full)))
    };
    OnTime {
        on_time: Share::count(dated().map(|(on_time, _)| on_time)),
        in_full: Share::count(lines.iter().map(|line| line.in_full)),
        both: Share::count(dated().map(|(on_time, in_full)| on_time && in_full)),
    }
}
