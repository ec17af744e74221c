//! Statistics of the review, one file each, and what they share: a share, an interval, a level, exact tails.
//!
//! Plain numbers in, plain numbers out. Knows no supplier, month, claim or currency, and draws nothing.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use statrs::function::beta::beta_reg;
use statrs::function::gamma::gamma_lr;

pub mod cchart;
pub mod exact;
pub mod funnel;
pub mod on_time;
pub mod pareto;
pub mod pchart;
pub mod ppm;
pub mod summary;
pub mod survival;
pub mod wilson;
pub mod zero;

/// Fewer than this many lines give counts only: no per cent, no rank, no call-out.
pub const FEW: u64 = 20;

/// Some of a whole, counted one by one: `27 of 30`. The part is never more than the whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Share {
    part: u64,
    whole: u64,
}

impl Share {
    /// Makes a share; `None` where the part is more than the whole.
    pub const fn new(part: u64, whole: u64) -> Option<Share> {
        if part > whole {
            None
        } else {
            Some(Share { part, whole })
        }
    }

    /// Counts how many of `all` are true.
    pub fn count(all: impl IntoIterator<Item = bool>) -> Share {
        all.into_iter()
            .map(|yes| Share {
                part: u64::from(yes),
                whole: 1,
            })
            .sum()
    }

    /// Returns the part.
    pub const fn part(self) -> u64 {
        self.part
    }

    /// Returns the whole, the n of the figure.
    pub const fn whole(self) -> u64 {
        self.whole
    }

    /// Returns what is left of the whole without the part.
    pub const fn rest(self) -> Share {
        Share {
            part: self.whole - self.part,
            whole: self.whole,
        }
    }

    /// Returns part / whole between 0 and 1; `None` for a whole of nothing.
    pub fn rate(self) -> Option<f64> {
        (self.whole > 0).then(|| self.part as f64 / self.whole as f64)
    }

    /// Tells whether the whole is below [`FEW`].
    pub const fn is_few(self) -> bool {
        self.whole < FEW
    }

    /// Returns the share in words: `27 of 30 (90.0 %)`, and below [`FEW`] the counts only, `3 of 4`.
    pub fn words(self) -> String {
        match self.rate() {
            Some(rate) if !self.is_few() => format!("{self} ({})", per_cent(rate)),
            Some(_) | None => self.to_string(),
        }
    }
}

impl fmt::Display for Share {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} of {}", thousands(self.part), thousands(self.whole))
    }
}

impl Add for Share {
    type Output = Share;

    fn add(self, other: Share) -> Share {
        Share {
            part: self.part.saturating_add(other.part),
            whole: self.whole.saturating_add(other.whole),
        }
    }
}

impl Sum for Share {
    fn sum<I: Iterator<Item = Share>>(shares: I) -> Share {
        shares.fold(Share::default(), Add::add)
    }
}

/// How sure: the share of cases that the limits or the interval hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// 95 in 100; 2.5 % in each tail.
    P95,
    /// 998 in 1,000; 0.1 % in each tail.
    P998,
}

impl Level {
    /// Returns the chance of one tail: 0.025 or 0.001.
    pub const fn tail(self) -> f64 {
        match self {
            Level::P95 => 0.025,
            Level::P998 => 0.001,
        }
    }

    /// Returns the normal quantile that leaves that tail (scipy `norm.isf`).
    pub const fn z(self) -> f64 {
        match self {
            Level::P95 => 1.959_963_984_540_054,
            Level::P998 => 3.090_232_306_167_813,
        }
    }

    /// Returns the level as it is printed.
    pub const fn words(self) -> &'static str {
        match self {
            Level::P95 => "95 %",
            Level::P998 => "99.8 %",
        }
    }
}

/// From low to high, both ends in the interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Interval {
    /// Tells whether the interval holds the value.
    pub fn holds(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Returns an interval of rates in words: `74.4 to 96.5 %`.
    pub fn words(self) -> String {
        format!("{:.1} to {}", self.low * 100.0, per_cent(self.high))
    }
}

/// Returns a rate between 0 and 1 as a per cent with one decimal: `12.9 %`.
pub fn per_cent(rate: f64) -> String {
    format!("{:.1} %", rate * 100.0)
}

/// Returns a whole number with commas every three digits: `4,800`.
pub fn thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// Returns the chance of `x` or more in `n` trials of chance `p` each (binomial).
///
/// Between whole numbers it runs on smoothly, as the incomplete beta function I(p; x, n - x + 1) does
/// (NIST DLMF 8.17.5 gives the identity at whole numbers), so that limits can be drawn as a line.
pub(crate) fn at_least(n: u64, p: f64, x: f64) -> f64 {
    let n = n as f64;
    if x <= 0.0 {
        1.0
    } else if x >= n + 1.0 || p <= 0.0 {
        0.0
    } else if p >= 1.0 {
        1.0
    } else {
        beta_reg(x, n - x + 1.0, p)
    }
}

/// Returns the chance of `x` or fewer in `n` trials of chance `p` each, smooth between whole numbers.
pub(crate) fn at_most(n: u64, p: f64, x: f64) -> f64 {
    let n_real = n as f64;
    if x >= n_real {
        1.0
    } else {
        at_least(n, 1.0 - p, n_real - x)
    }
}

/// Returns the chance of a gamma variate of this shape and scale 1 at or below `x`.
pub(crate) fn gamma_at_most(shape: f64, x: f64) -> f64 {
    if x <= 0.0 || shape <= 0.0 {
        0.0
    } else {
        gamma_lr(shape, x)
    }
}

/// Returns where a function that rises between `low` and `high` reaches `wanted`, by halving until the ends meet.
pub(crate) fn where_rising(
    mut low: f64,
    mut high: f64,
    wanted: f64,
    rising: impl Fn(f64) -> f64,
) -> f64 {
    // 200 halvings exhaust the digits of any f64 interval this program meets; most end near 50.
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if rising(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + (high - low) / 2.0
}
