//! The leaves of a line as the solvers take them, and the way back from their numbers to the names people use.

use crate::check::found::{Found, Touch};
use crate::check::pair::{Pair, PairedLot};
use crate::check::sequence::extent::solver_leaf;
use crate::check::sequence::leaves::{Flitch, Leaf as SolverLeaf};
use crate::check::sequence::{said, whole_leaf};
use crate::model::answer::{LeafRun, LeafShown, Unmarked};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::leaf::Leaf;
use crate::model::order::SequenceWanted;
use crate::model::problem::Problem;
use crate::model::unit::{Dimension, Unit};
use crate::trade::units;
use rust_decimal::Decimal;
use std::collections::HashMap;

/// The leaves of a line.
#[derive(Debug, Default)]
pub struct Stock {
    /// What the solvers may use.
    pub flitches: Vec<Flitch>,
    /// Every leaf that came, in order of flitch and number.
    pub shown: Vec<LeafShown>,
    /// Leaves that were not recorded well enough.
    pub not_recorded: Vec<Found>,
    /// How unmarked leaves were put in order.
    pub unmarked: Option<Unmarked>,
    /// The number that an unmarked leaf was given, by flitch and mark.
    given: HashMap<(String, String), u32>,
    /// The mark behind a given number.
    marks: HashMap<(String, u32), String>,
}

impl Stock {
    /// Gathers the leaves.
    ///
    /// # Errors
    /// More leaves than were counted.
    pub fn of(
        pair: &Pair<'_>,
        _wanted: &SequenceWanted,
        found: &[Found],
    ) -> Result<Stock, Vec<Problem>> {
        let mut stock = Stock::default();
        let mut problems = Vec::new();
        for (place, lot) in pair.lots.iter().enumerate() {
            if let Err(problem) = stock.lot(pair, place, lot, found) {
                problems.push(problem);
            }
        }
        stock.shown.sort_by(|one, other| {
            (&one.flitch, one.number, &one.name).cmp(&(&other.flitch, other.number, &other.name))
        });
        // A leaf comes once; on a second receipt it is the same leaf.
        stock.shown.dedup_by(|one, other| {
            one.flitch == other.flitch && one.number.is_some() && one.number == other.number
        });
        if problems.is_empty() {
            Ok(stock)
        } else {
            Err(problems)
        }
    }

    fn lot(
        &mut self,
        pair: &Pair<'_>,
        place: usize,
        lot: &PairedLot<'_>,
        found: &[Found],
    ) -> Result<(), Problem> {
        let unit = pair.line.quantity.unit;
        let leaves = &lot.line.leaves;
        if counts_leaves(unit) {
            let recorded = Decimal::from(leaves.len());
            if recorded > lot.amount {
                return Err(Problem::new(
                    &lot.line.spot,
                    format!(
                        "{} recorded, but only {} counted",
                        said(leaves.len(), Unit::Leaf),
                        lot.amount.normalize()
                    ),
                )
                .hint("each leaf is one of the quantity; count again"));
            }
            let missing = lot.amount - recorded;
            if missing > Decimal::ZERO {
                let text = if leaves.is_empty() {
                    format!(
                        "leaves of {} not recorded: sets cannot be checked",
                        crate::model::quantity::Quantity::new(missing, unit)
                    )
                } else {
                    format!(
                        "leaf numbers of {} of {} not recorded",
                        missing.normalize(),
                        crate::model::quantity::Quantity::new(lot.amount, unit)
                    )
                };
                self.again(pair, place, missing, text);
            }
        }
        let unfit = unfit(pair, place, lot, found);
        if unfit.is_none() && some_damaged(place, lot, found) && !leaves.is_empty() {
            self.again(
                pair,
                place,
                lot.amount,
                "which leaf is damaged was not recorded: give it a receipt line of its own"
                    .to_owned(),
            );
        }
        for leaf in leaves {
            self.leaf(pair, place, lot, leaf, unfit.clone());
        }
        Ok(())
    }

    fn leaf(
        &mut self,
        pair: &Pair<'_>,
        place: usize,
        lot: &PairedLot<'_>,
        leaf: &Leaf,
        unfit: Option<String>,
    ) {
        let flitch = leaf.flitch.clone().unwrap_or_else(|| "unmarked".to_owned());
        let solver = solver_leaf(pair.line, lot.line, leaf, leaf.number.unwrap_or(0));
        let known = leaf.size.is_some() || lot.line.size.is_some() || pair.line.size.is_some();
        self.shown.push(LeafShown {
            flitch: flitch.clone(),
            name: leaf.name(),
            number: leaf.number,
            size: known.then(|| whole_leaf(solver.size)),
            defects: leaf
                .defects
                .iter()
                .map(|defect| (defect.kind.clone(), defect.place))
                .collect(),
            set: None,
            unfit: unfit.clone(),
        });
        if leaf.number.is_none() {
            self.again(
                pair,
                place,
                Decimal::ONE,
                format!(
                    "leaf {} has neither a number nor a figure to place it by",
                    leaf.name()
                ),
            );
            return;
        }
        if unfit.is_none() {
            self.add(&flitch, solver);
        }
    }

    fn add(&mut self, flitch: &str, leaf: SolverLeaf) {
        match self.flitches.iter_mut().find(|known| known.name == flitch) {
            Some(known) => known.leaves.push(leaf),
            None => self.flitches.push(Flitch {
                name: flitch.to_owned(),
                leaves: vec![leaf],
            }),
        }
    }

    fn again(&mut self, pair: &Pair<'_>, place: usize, amount: Decimal, text: String) {
        let touch = Touch { lot: place, amount };
        let mut finding = Finding::new(
            Kind::SequenceNotRecorded,
            amount,
            pair.line.quantity.unit,
            text,
        );
        finding.receipts = pair.receipts_of(&[touch]);
        self.not_recorded.push(Found {
            finding,
            touches: vec![touch],
        });
    }

    /// Returns the numbers of all leaves that came, acceptable or not, by flitch.
    pub fn arrived(&self) -> Vec<(String, Vec<u32>)> {
        let mut arrived: Vec<(String, Vec<u32>)> = Vec::new();
        for leaf in &self.shown {
            let Some(number) = leaf.number else { continue };
            match arrived
                .iter_mut()
                .find(|(flitch, _)| *flitch == leaf.flitch)
            {
                Some((_, numbers)) => numbers.push(number),
                None => arrived.push((leaf.flitch.clone(), vec![number])),
            }
        }
        arrived
    }

    /// Returns whether a flitch's leaves carry numbers of their own.
    pub fn is_marked(&self, flitch: &str) -> bool {
        self.shown
            .iter()
            .any(|leaf| leaf.flitch == flitch && leaf.number.is_some())
    }

    /// Returns the names of leaves by their numbers.
    pub fn names(&self, flitch: &str, numbers: &[u32]) -> Vec<String> {
        numbers
            .iter()
            .map(|number| {
                self.marks
                    .get(&(flitch.to_owned(), *number))
                    .cloned()
                    .unwrap_or_else(|| number.to_string())
            })
            .collect()
    }

    /// Returns the number that an unmarked leaf was given.
    pub fn number_of(&self, flitch: &str, mark: &str) -> Option<u32> {
        self.given
            .get(&(flitch.to_owned(), mark.to_owned()))
            .copied()
    }

    /// Returns the leaves that cannot serve, as runs with their reason.
    pub fn unfit_runs(&self, not_clear: &[(String, u32)]) -> Vec<(LeafRun, String)> {
        let mut runs: Vec<(LeafRun, String)> = Vec::new();
        let mut add = |flitch: &str, leaf: &str, why: &str| match runs
            .iter_mut()
            .find(|(run, known)| run.flitch == flitch && known == why)
        {
            Some((run, _)) => run.leaves.push(leaf.to_owned()),
            None => runs.push((
                LeafRun {
                    flitch: flitch.to_owned(),
                    leaves: vec![leaf.to_owned()],
                },
                why.to_owned(),
            )),
        };
        for leaf in &self.shown {
            if let Some(why) = &leaf.unfit {
                add(&leaf.flitch, &leaf.name, why);
            }
        }
        for (flitch, number) in not_clear {
            let name = self.names(flitch, &[*number]).concat();
            add(flitch, &name, "no clear piece");
        }
        runs
    }
}

/// Units of which one is one leaf.
fn counts_leaves(unit: Unit) -> bool {
    units::dimension(unit) == Dimension::Count && units::factor(unit) == Some(Decimal::ONE)
}

/// Returns why all leaves of a lot cannot serve, where a finding rejects the whole lot.
fn unfit(pair: &Pair<'_>, place: usize, lot: &PairedLot<'_>, found: &[Found]) -> Option<String> {
    found
        .iter()
        .filter(|found| {
            found.finding.kind.rejects_units() && found.finding.kind.effect() == Effect::Claimed
        })
        // Leaves that are not clear are named one by one; the solver leaves them out itself. A higher grade can serve,
        // once the owner takes it.
        .filter(|found| !matches!(found.finding.kind, Kind::NotClear | Kind::GradeHigher))
        .find(|found| {
            found.touches.iter().any(|touch| {
                touch.lot == place
                    && touch.amount >= pair.lots[place].amount
                    && !lot.amount.is_zero()
            })
        })
        .map(|found| found.finding.kind.held_because().to_owned())
}

fn some_damaged(place: usize, lot: &PairedLot<'_>, found: &[Found]) -> bool {
    found.iter().any(|found| {
        found.finding.kind == Kind::Damaged
            && found
                .touches
                .iter()
                .any(|touch| touch.lot == place && touch.amount < lot.amount)
    })
}

/// Returns leaf names as the trade writes them: `14-17, 21`.
pub fn ranges(leaves: &[String]) -> String {
    let mut parts: Vec<(&str, &str)> = Vec::new();
    for leaf in leaves {
        let follows = parts.last().is_some_and(|(_, last)| {
            let next = last
                .parse::<u32>()
                .ok()
                .and_then(|last| last.checked_add(1));
            next.is_some() && next == leaf.parse::<u32>().ok()
        });
        match parts.last_mut() {
            Some((_, last)) if follows => *last = leaf,
            Some(_) | None => parts.push((leaf, leaf)),
        }
    }
    parts
        .into_iter()
        .map(|(first, last)| {
            if first == last {
                first.to_owned()
            } else {
                format!("{first}-{last}")
            }
        })
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn leaves_that_follow_on_are_written_as_a_range() {
        let leaves: Vec<String> = ["14", "15", "16", "21", "P1"].map(String::from).to_vec();
        assert_eq!(ranges(&leaves), "14-16, 21, P1");
    }
}
