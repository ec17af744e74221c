//! The p-chart: a rate month by month, with limits for varying n and the rules that mark a change.
//! Does not say why it changed.

use super::{Interval, Share, at_least, at_most, per_cent, where_rising};

/// A normal tail beyond 3 sigma, on one side.
const TAIL: f64 = 0.001_349_898_031_630_094_6;
/// Points in a row on one side of the average that may mark a change (Nelson 1984, rule 2).
pub const RUN: usize = 9;
/// The most chance that a run may have: that of eight fair coins falling on the one side (Western Electric rule 4).
const RUN_CHANCE: f64 = 1.0 / 256.0;

/// A side of the average.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Above the average: for a rate of bad lines, worse.
    Above,
    /// Below the average.
    Below,
}

/// What marks a point as a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Outside the limits (Western Electric rule 1, Nelson rule 1).
    Outside(Side),
    /// In a run of so many points on one side (Nelson rule 2).
    Run(Side, usize),
}

/// One month.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// What was counted.
    pub share: Share,
    /// The textbook limits: average ± 3 √(average (1 - average) / n), between 0 and 1.
    pub three_sigma: Interval,
    /// The limits a point is judged by and that are drawn: on each side the wider of 3-sigma and exact.
    pub limits: Interval,
    /// The mark, if any.
    pub mark: Option<Mark>,
}

/// A p-chart.
#[derive(Debug, Clone, PartialEq)]
pub struct PChart {
    /// All of the parts over all of the wholes.
    pub average: f64,
    /// In the order given; `None` for a month with nothing counted.
    pub points: Vec<Option<Point>>,
}

/// Returns the p-chart of shares in time order; `None` where nothing was counted at all.
///
/// Limits: NIST/SEMATECH e-Handbook 6.3.3.2, each point with its own n. With few lines a month the 3-sigma line is
/// crossed by chance far more often than the 1.35 in 1,000 it stands for, so a point has to be outside the exact
/// binomial limits of that same chance as well. A change is marked by
/// - a point outside the limits (Western Electric 1956 rule 1; Nelson 1984 rule 1), or
/// - nine points in a row on one side of the average (Nelson 1984, Journal of Quality Technology 16, rule 2), and
///   only if chance gives such a run at most 1 time in 256, as the older rule of eight supposes (Western Electric
///   rule 4): where most months have no bad line at all, nine in a row below the average is the usual case and
///   tells nothing. A point on the average ends a run; a month with nothing counted is passed over.
pub fn pchart(shares: &[Share]) -> Option<PChart> {
    let average = shares.iter().copied().sum::<Share>().rate()?;
    let mut points: Vec<Option<Point>> =
        shares.iter().map(|share| point(*share, average)).collect();
    mark_runs(&mut points, average);
    for found in points.iter_mut().flatten() {
        // A point outside says more than the run it is in.
        if let Some(side) = outside(found) {
            found.mark = Some(Mark::Outside(side));
        }
    }
    Some(PChart { average, points })
}

fn point(share: Share, average: f64) -> Option<Point> {
    share.rate()?;
    let n = share.whole();
    let size = n as f64;
    let reach = 3.0 * (average * (1.0 - average) / size).sqrt();
    let three_sigma = Interval {
        low: (average - reach).max(0.0),
        high: (average + reach).min(1.0),
    };
    let low = if at_most(n, average, 0.0) > TAIL {
        0.0
    } else {
        where_rising(0.0, size, TAIL, |x| at_most(n, average, x)) / size
    };
    let high = if at_least(n, average, size) > TAIL {
        1.0
    } else {
        where_rising(0.0, size, 1.0 - TAIL, |x| 1.0 - at_least(n, average, x)) / size
    };
    let limits = Interval {
        low: three_sigma.low.min(low),
        high: three_sigma.high.max(high),
    };
    Some(Point {
        share,
        three_sigma,
        limits,
        mark: None,
    })
}

fn outside(point: &Point) -> Option<Side> {
    let rate = point.share.rate()?;
    if rate > point.limits.high {
        Some(Side::Above)
    } else if rate < point.limits.low {
        Some(Side::Below)
    } else {
        None
    }
}

/// Marks every point of each run that is long and rare enough.
fn mark_runs(points: &mut [Option<Point>], average: f64) {
    let mut run: Vec<usize> = Vec::new();
    let mut side = None;
    let mut runs = Vec::new();
    for (index, found) in points.iter().enumerate() {
        let Some(found) = found else { continue };
        let here = side_of(found.share, average);
        if here != side {
            runs.push((side, std::mem::take(&mut run)));
            side = here;
        }
        run.push(index);
    }
    runs.push((side, run));
    for (side, run) in runs {
        let Some(side) = side else { continue };
        let chance: f64 = run
            .iter()
            .filter_map(|index| points[*index])
            .map(|found| side_chance(found.share.whole(), average, side))
            .product();
        if run.len() >= RUN && chance <= RUN_CHANCE {
            for index in &run {
                if let Some(found) = &mut points[*index] {
                    found.mark = Some(Mark::Run(side, run.len()));
                }
            }
        }
    }
}

fn side_of(share: Share, average: f64) -> Option<Side> {
    let rate = share.rate()?;
    if rate > average {
        Some(Side::Above)
    } else if rate < average {
        Some(Side::Below)
    } else {
        None
    }
}

/// Returns the chance that a month of `n` lines falls on this side of the average.
fn side_chance(n: u64, average: f64, side: Side) -> f64 {
    let expected = n as f64 * average;
    match side {
        Side::Above => at_least(n, average, expected.floor() + 1.0),
        Side::Below => at_most(n, average, expected.ceil() - 1.0),
    }
}

/// Returns the mark in words, with the numbers in it; for a run, what holds for all of its points.
pub fn mark_words(point: &Point, average: f64) -> Option<String> {
    let side = |side| match side {
        Side::Above => "above",
        Side::Below => "below",
    };
    match point.mark? {
        Mark::Outside(which) => Some(format!(
            "{} is {} the limits of {} for this many",
            point.share.words(),
            side(which),
            point.limits.words()
        )),
        Mark::Run(which, length) => Some(format!(
            "{length} points in a row {} the average of {}",
            side(which),
            per_cent(average)
        )),
    }
}

/// Returns the name of the rule that set a mark.
pub const fn rule(mark: Mark) -> &'static str {
    match mark {
        Mark::Outside(_) => "outside the limits (Nelson rule 1)",
        Mark::Run(..) => "nine or more in a row on one side (Nelson rule 2)",
    }
}
