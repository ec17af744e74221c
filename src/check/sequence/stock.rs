//! The leaves of a line as the solvers take them, and the way back from their numbers to the names people use.

use crate::check::found::{Found, Touch};
use crate::check::pair::{Pair, PairedLot};
use crate::check::sequence::extent::solver_leaf;
use crate::check::sequence::leaves::{Flitch, Leaf as SolverLeaf};
use crate::check::sequence::{figured, said, whole_leaf};
use crate::model::answer::{LeafRun, LeafShown, Unmarked};
use crate::model::finding::Finding;
use crate::model::kind::{Effect, Kind};
use crate::model::leaf::Leaf;
use crate::model::order::SequenceWanted;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::unit::{Dimension, Unit};
use crate::trade::units;
use rust_decimal::Decimal;
use std::collections::{HashMap, HashSet};

/// The name of the flitch of leaves that carry none.
pub const UNMARKED: &str = "unmarked";

/// The leaves of a line.
#[derive(Debug, Default)]
pub struct Stock {
    /// What the solvers may use.
    pub flitches: Vec<Flitch>,
    /// Every leaf that came, in order of flitch and place.
    pub shown: Vec<LeafShown>,
    /// Leaves that were not recorded well enough.
    pub not_recorded: Vec<Found>,
    /// How unmarked leaves were put in order.
    pub unmarked: Option<Unmarked>,
    /// The mark behind a place that the figure gave.
    marks: HashMap<(String, u32), String>,
}

/// A leaf that came, and with which lot.
struct Came<'a> {
    lot: usize,
    record: &'a Leaf,
    flitch: String,
    unfit: Option<String>,
}

impl Stock {
    /// Gathers the leaves.
    ///
    /// # Errors
    /// More leaves than were counted.
    pub fn of(
        pair: &Pair<'_>,
        wanted: &SequenceWanted,
        found: &[Found],
    ) -> Result<Stock, Vec<Problem>> {
        let mut stock = Stock::default();
        let mut problems = Vec::new();
        let mut came = Vec::new();
        for (place, lot) in pair.lots.iter().enumerate() {
            if let Err(problem) = stock.counted(pair, place, lot) {
                problems.push(problem);
            }
            let unfit = unfit(pair, place, lot, found);
            if unfit.is_none() && some_damaged(place, lot, found) && !lot.line.leaves.is_empty() {
                let text =
                    "which leaf is damaged was not recorded: give it a receipt line of its own";
                stock.again(pair, &[(place, lot.amount)], text.to_owned());
            }
            came.extend(lot.line.leaves.iter().map(|record| Came {
                lot: place,
                record,
                flitch: record.flitch.clone().unwrap_or_else(|| UNMARKED.to_owned()),
                unfit: unfit.clone(),
            }));
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        // A leaf comes once; on a second receipt it is the same leaf.
        let mut seen = HashSet::new();
        came.retain(|leaf| {
            leaf.record.number.is_none() || seen.insert((leaf.flitch.clone(), leaf.record.number))
        });
        came.sort_by_cached_key(|leaf| {
            (
                leaf.flitch.clone(),
                leaf.record.number,
                leaf.record.mark.clone(),
            )
        });
        for leaves in came.chunk_by(|one, other| one.flitch == other.flitch) {
            stock.flitch(pair, wanted, leaves);
        }
        stock.shown.sort_by(|one, other| {
            (&one.flitch, one.place.is_none(), one.place, &one.name).cmp(&(
                &other.flitch,
                other.place.is_none(),
                other.place,
                &other.name,
            ))
        });
        Ok(stock)
    }

    /// Compares the leaves recorded with the count.
    fn counted(
        &mut self,
        pair: &Pair<'_>,
        place: usize,
        lot: &PairedLot<'_>,
    ) -> Result<(), Problem> {
        let unit = pair.line.quantity.unit;
        if !counts_leaves(unit) {
            return Ok(());
        }
        let leaves = &lot.line.leaves;
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
                    Quantity::new(missing, unit)
                )
            } else {
                format!(
                    "leaf numbers of {} of {} not recorded",
                    missing.normalize(),
                    Quantity::new(lot.amount, unit)
                )
            };
            self.again(pair, &[(place, missing)], text);
        }
        Ok(())
    }

    /// Takes the leaves of one flitch. Those without a number get a place from their figure.
    fn flitch(&mut self, pair: &Pair<'_>, wanted: &SequenceWanted, leaves: &[Came<'_>]) {
        let records: Vec<&Leaf> = leaves.iter().map(|leaf| leaf.record).collect();
        let placed = figured::place(&records, wanted);
        let name = leaves[0].flitch.clone();
        for (leaf, place) in leaves.iter().zip(&placed.places) {
            let lot = pair.lots[leaf.lot].line;
            let solver = solver_leaf(pair.line, lot, leaf.record, place.unwrap_or(0));
            let known =
                leaf.record.size.is_some() || lot.size.is_some() || pair.line.size.is_some();
            let unplaced = place.is_none().then(|| "its place is not known".to_owned());
            self.shown.push(LeafShown {
                flitch: name.clone(),
                name: leaf.record.name(),
                number: leaf.record.number,
                place: *place,
                size: known.then(|| whole_leaf(solver.size)),
                defects: leaf
                    .record
                    .defects
                    .iter()
                    .map(|defect| (defect.kind.clone(), defect.place))
                    .collect(),
                set: None,
                unfit: leaf.unfit.clone().or(unplaced),
            });
            let Some(place) = place else { continue };
            if leaf.record.number.is_none() {
                self.marks
                    .insert((name.clone(), *place), leaf.record.name());
            }
            if leaf.unfit.is_none() {
                self.add(&name, solver);
            }
        }
        for (about, text) in &placed.look_again {
            let lots: Vec<(usize, Decimal)> = about
                .iter()
                .map(|leaf| (leaves[*leaf].lot, Decimal::ONE))
                .collect();
            self.again(pair, &lots, text.clone());
        }
        if let Some(unmarked) = placed.told {
            match &mut self.unmarked {
                None => self.unmarked = Some(unmarked),
                Some(known) => {
                    known.runs.extend(unmarked.runs);
                    known.sure = format!("{} {}", known.sure, unmarked.sure);
                }
            }
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

    fn again(&mut self, pair: &Pair<'_>, lots: &[(usize, Decimal)], text: String) {
        let mut touches: Vec<Touch> = Vec::new();
        for (lot, amount) in lots {
            match touches.iter_mut().find(|touch| touch.lot == *lot) {
                Some(touch) => touch.amount += *amount,
                None => touches.push(Touch {
                    lot: *lot,
                    amount: *amount,
                }),
            }
        }
        let amount = touches.iter().map(|touch| touch.amount).sum();
        let mut finding = Finding::new(
            Kind::SequenceNotRecorded,
            amount,
            pair.line.quantity.unit,
            text,
        );
        finding.receipts = pair.receipts_of(&touches);
        self.not_recorded.push(Found { finding, touches });
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

    /// Returns whether a flitch's leaves carry numbers of their own, so that others can be asked for by number.
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
