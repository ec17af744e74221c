//! Days to settle, with open claims counted as not yet settled (Kaplan-Meier). Reads no calendar: ages are given.

use super::thousands;

/// One claim: how many days from opening to settlement, or to today if it is still open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Age {
    /// Whole days.
    pub days: u32,
    /// Whether it was settled on that day; otherwise it was still open then.
    pub settled: bool,
}

/// One step of the curve: after this day, this share is not yet settled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Days since opening.
    pub days: u32,
    /// Claims that were still open just before.
    pub at_risk: u64,
    /// Claims settled on this day.
    pub settled: u64,
    /// The estimated share not settled by the end of this day.
    pub open: f64,
}

/// The Kaplan-Meier estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct Settling {
    /// One step for each day on which a claim was settled, in order.
    pub steps: Vec<Step>,
    /// Claims settled.
    pub settled: u64,
    /// Claims still open.
    pub open: u64,
    /// The first day by which half are settled; `None` while fewer than half are.
    pub median: Option<u32>,
}

/// Returns the Kaplan-Meier estimate: the product over days of (1 - settled / at risk).
///
/// A claim still open at d days counts as at risk up to and on day d. The median is the first day on which the
/// share not settled is one half or less. Source: Kaplan and Meier 1958, J. Am. Stat. Assoc. 53.
pub fn kaplan_meier(ages: &[Age]) -> Settling {
    let mut sorted = ages.to_vec();
    sorted.sort_by_key(|age| age.days);
    let mut steps = Vec::new();
    let mut open = 1.0;
    let mut at_risk = sorted.len() as u64;
    for day in sorted.chunk_by(|a, b| a.days == b.days) {
        let settled = day.iter().filter(|age| age.settled).count() as u64;
        if settled > 0 {
            open *= (at_risk - settled) as f64 / at_risk as f64;
            steps.push(Step {
                days: day[0].days,
                at_risk,
                settled,
                open,
            });
        }
        at_risk -= day.len() as u64;
    }
    let settled = ages.iter().filter(|age| age.settled).count() as u64;
    // The product carries rounding; half of an even number must still read as half.
    let median = steps
        .iter()
        .find(|step| step.open <= 0.5 + 1e-12)
        .map(|step| step.days);
    Settling {
        steps,
        settled,
        open: ages.len() as u64 - settled,
        median,
    }
}

impl Settling {
    /// Returns the result in plain words, with how many claims it rests on.
    ///
    /// With claims still open the median is an estimate, and is said to be one: half of the claims at hand need not
    /// have been settled yet.
    pub fn words(&self) -> String {
        let (settled, open) = (thousands(self.settled), thousands(self.open));
        match (self.median, self.open) {
            _ if self.settled + self.open == 0 => "no claims".to_owned(),
            (Some(median), 0) => {
                format!(
                    "half of the claims were settled within {} ({settled} settled, none open)",
                    days(median)
                )
            }
            (Some(median), _) => format!(
                "half of the claims are settled within about {} (an estimate: {settled} settled, {open} still open \
                 and counted at their age)",
                days(median)
            ),
            (None, _) => {
                format!("fewer than half are settled so far ({settled} settled, {open} still open)")
            }
        }
    }
}

fn days(days: u32) -> String {
    if days == 1 {
        "1 day".to_owned()
    } else {
        format!("{days} days")
    }
}
