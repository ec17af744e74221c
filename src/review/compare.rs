//! Honest comparison: who is called out, who is as the others, and of whom too little is known to say.
//!
//! Reads counts only. Does not rank, and does not say why a supplier differs.

use crate::review::statistics::funnel::{Limits, limits};
use crate::review::statistics::wilson::wilson;
use crate::review::statistics::{
    FEW, Interval, Level, Share, at_least, at_most, per_cent, thousands,
};

/// One supplier's count of the period.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counted {
    /// The supplier.
    pub supplier: String,
    /// How many were bad, of how many.
    pub bad: Share,
}

/// The words for what is counted, as they stand in a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counting<'a> {
    /// What the whole counts: `lines`.
    pub what: &'a str,
    /// What the part of them is: `not as ordered`.
    pub bad: &'a str,
}

/// What is said about a supplier.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Called out: more bad than the 99.8 % limits allow.
    Worse,
    /// Called out: fewer bad than the 99.8 % limits allow.
    Better,
    /// Inside the 99.8 % limits.
    AsOthers,
    /// Fewer than 20 counted, or fewer than 20 of all the others to compare with.
    TooFew,
}

impl Verdict {
    /// Returns the verdict as it is printed.
    pub const fn words(self) -> &'static str {
        match self {
            Verdict::Worse => "worse than the others",
            Verdict::Better => "better than the others",
            Verdict::AsOthers => "as the others",
            Verdict::TooFew => "too few to say",
        }
    }

    /// Tells whether this is a call-out.
    pub const fn is_call_out(self) -> bool {
        match self {
            Verdict::Worse | Verdict::Better => true,
            Verdict::AsOthers | Verdict::TooFew => false,
        }
    }
}

/// One supplier judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The supplier.
    pub supplier: String,
    /// What was counted.
    pub bad: Share,
    /// The verdict.
    pub verdict: Verdict,
    /// Inside the 99.8 % limits but outside the 95 % ones, where one supplier in twenty is by chance alone.
    pub watch: bool,
    /// The Wilson 95 % interval of the rate; `None` where it is too few to say.
    pub interval: Option<Interval>,
    /// The sentence that says why, with the numbers in it.
    pub why: String,
}

/// All suppliers of a period.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The counts that make the average.
    pub average: Share,
    /// The suppliers left out of the average because they were called out.
    pub left_out: Vec<String>,
    /// In the order given.
    pub judged: Vec<Judged>,
}

/// Compares suppliers with the shop's own average.
///
/// A supplier is called out only outside the exact 99.8 % funnel limits (`statistics::funnel`); between those and the
/// 95 % limits it is worth watching and no more, because chance alone puts as many as one
/// supplier in twenty there. Then, so that one bad supplier does not make ordinary ones look good, the supplier furthest
/// outside is left out of the average and all are compared again, until none still in it is outside; two suppliers of
/// 20 or more always stay in. The verdicts are those around the last average. Leaving out adds no first false
/// call-out: it begins only after there is one.
///
/// What the limits promise where all suppliers are equal: each is called worse by chance in at most 1 review of
/// 1,000 and better in at most 1, so one of five in at most 1 of 100. A supplier is part of the average it is
/// compared with, which makes chance call-outs rarer still, and makes a supplier of most of the lines hard to tell
/// from it; then the sentence says so. The promise is for one review of one period: twelve monthly looks at a rolling
/// year are several chances. It supposes that lines go wrong one by one: where whole deliveries go wrong together,
/// count deliveries instead.
pub fn compare(all: &[Counted], counting: Counting<'_>) -> Comparison {
    let mut left_out: Vec<usize> = Vec::new();
    let mut average = average_without(all, &left_out);
    let comparable = all.iter().filter(|one| is_comparable(one, all)).count();
    while comparable > left_out.len() + 2 {
        let Some(furthest) = furthest_outside(all, &left_out, average) else {
            break;
        };
        left_out.push(furthest);
        average = average_without(all, &left_out);
    }
    let names: Vec<String> = left_out
        .iter()
        .map(|index| all[*index].supplier.clone())
        .collect();
    let judged = all
        .iter()
        .enumerate()
        .map(|(index, one)| {
            let against = Against {
                average,
                left_out: &names,
                is_in: !left_out.contains(&index),
            };
            judge(one, all, &against, counting)
        })
        .collect();
    Comparison {
        average,
        left_out: names,
        judged,
    }
}

fn is_comparable(one: &Counted, all: &[Counted]) -> bool {
    let others = all.iter().map(|other| other.bad.whole()).sum::<u64>() - one.bad.whole();
    !one.bad.is_few() && others >= FEW
}

fn average_without(all: &[Counted], left_out: &[usize]) -> Share {
    all.iter()
        .enumerate()
        .filter(|(index, _)| !left_out.contains(index))
        .map(|(_, one)| one.bad)
        .sum()
}

/// Returns the supplier, of those still in, whose count chance would give least often, if it is outside the limits.
fn furthest_outside(all: &[Counted], left_out: &[usize], average: Share) -> Option<usize> {
    let rate = average.rate()?;
    all.iter()
        .enumerate()
        .filter(|(index, one)| !left_out.contains(index) && is_comparable(one, all))
        .map(|(index, one)| (index, rarer_tail(one.bad, rate)))
        .filter(|(_, chance)| *chance <= Level::P998.tail())
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
        .map(|(index, _)| index)
}

/// Returns the chance of a count as far out as this on its own side.
fn rarer_tail(bad: Share, average: f64) -> f64 {
    let (n, x) = (bad.whole(), bad.part() as f64);
    at_least(n, average, x).min(at_most(n, average, x))
}

/// What one supplier is compared with.
struct Against<'a> {
    average: Share,
    left_out: &'a [String],
    is_in: bool,
}

fn judge(one: &Counted, all: &[Counted], against: &Against<'_>, counting: Counting<'_>) -> Judged {
    let average = against.average;
    let Counting {
        what,
        bad: bad_words,
    } = counting;
    let (n, x) = (one.bad.whole(), one.bad.part());
    let counts = format!("{} {what} {bad_words}", one.bad);
    let percent = || {
        one.bad
            .rate()
            .map_or_else(String::new, |rate| format!(" ({})", per_cent(rate)))
    };
    let judged = |verdict, watch, interval, why| Judged {
        supplier: one.supplier.clone(),
        bad: one.bad,
        verdict,
        watch,
        interval,
        why,
    };
    let (Some(rate), true) = (average.rate(), is_comparable(one, all)) else {
        let why = if one.bad.is_few() {
            format!("{counts}; below {FEW} {what} only the counts are given")
        } else {
            format!(
                "{counts}{}; the other suppliers together have fewer than {FEW} {what} to compare with",
                percent()
            )
        };
        return judged(Verdict::TooFew, false, None, why);
    };
    let outer = limits(n, rate, Level::P998);
    let inner = limits(n, rate, Level::P95);
    let verdict = if x > outer.most {
        Verdict::Worse
    } else if x < outer.fewest {
        Verdict::Better
    } else {
        Verdict::AsOthers
    };
    let watch = verdict == Verdict::AsOthers && !inner.hold(x);
    let without = match against.left_out {
        [] => String::new(),
        names => format!(" without {}", names.join(" and ")),
    };
    let at_average = format!(
        "at the shop's average{without}, {}, chance alone gives {}",
        per_cent(rate),
        range(&outer)
    );
    let mut why = format!(
        "{counts}{}; {at_average} ({} limits)",
        percent(),
        Level::P998.words()
    );
    if watch {
        why.push_str(&format!(
            "; worth watching, as it is outside the {} limits of {}, but as many as one supplier in twenty is there by chance",
            Level::P95.words(),
            range(&inner)
        ));
    }
    if verdict == Verdict::AsOthers && outer.fewest == 0 && x == 0 {
        why.push_str(&format!(
            "; with this few, not even none {bad_words} would show it to be better"
        ));
    }
    if against.is_in && n * 2 > average.whole() {
        why.push_str(&format!(
            "; it has {} of the {} {what} in the average, which is therefore mostly its own",
            thousands(n),
            thousands(average.whole())
        ));
    }
    judged(verdict, watch, wilson(one.bad, Level::P95), why)
}

fn range(limits: &Limits) -> String {
    format!(
        "{} to {} of {}",
        thousands(limits.fewest),
        thousands(limits.most),
        thousands(limits.n)
    )
}
