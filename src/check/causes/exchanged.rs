//! Exchanged: the quantities of two or more lines were swapped.

use crate::check::case::Case;
use crate::check::causes::place_of;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use crate::model::words::listed;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, HashSet};

/// Finds rings of lines, each of which got what the next one ordered, in the same unit. Pairs come first, then longer
/// rings, shortest first for the line of the lowest number; a line is in one ring at most.
///
/// Every line is an arrow from the amount ordered to the amount that arrived; a ring of lines is a ring of arrows.
pub fn look(_case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut arrows: Vec<&LineAnswer> = lines
        .iter()
        .filter(|line| {
            line.findings
                .iter()
                .any(|finding| matches!(finding.kind, Kind::Short | Kind::Over))
        })
        .collect();
    // One alone makes no ring, and most deliveries have no more.
    if arrows.len() < 2 {
        return Vec::new();
    }
    // The order of lines in a file must not decide which ring is found.
    arrows.sort_by_key(|line| place_of(&line.line));
    let mut causes = Vec::new();
    for longest in [2, usize::MAX] {
        let mut free = Free::of(&arrows);
        free.prune();
        let mut used: HashSet<usize> = HashSet::new();
        for place in 0..arrows.len() {
            let Some(ring) = free.ring(place, longest) else {
                continue;
            };
            let members: Vec<&LineAnswer> = ring.iter().map(|place| arrows[*place]).collect();
            causes.push(sentence(&members));
            for place in ring {
                free.take(place);
                used.insert(place);
            }
        }
        let mut place = 0;
        arrows.retain(|_| {
            place += 1;
            !used.contains(&(place - 1))
        });
    }
    causes
}

/// An amount in a unit.
type Node = (Unit, Decimal);

/// The arrows that are in no ring yet, by the amount they start from.
struct Free<'a> {
    arrows: &'a [&'a LineAnswer],
    is_free: Vec<bool>,
    from: BTreeMap<Node, Vec<usize>>,
}

impl<'a> Free<'a> {
    fn of(arrows: &'a [&'a LineAnswer]) -> Self {
        let mut from: BTreeMap<Node, Vec<usize>> = BTreeMap::new();
        for (place, line) in arrows.iter().enumerate() {
            from.entry(start(line)).or_default().push(place);
        }
        Free {
            arrows,
            is_free: vec![true; arrows.len()],
            from,
        }
    }

    fn take(&mut self, place: usize) {
        self.is_free[place] = false;
    }

    /// Takes out what can be in no ring: arrows to an amount where none starts, again and again.
    fn prune(&mut self) {
        let mut starts: BTreeMap<Node, usize> = BTreeMap::new();
        let mut into: BTreeMap<Node, Vec<usize>> = BTreeMap::new();
        for (place, line) in self.arrows.iter().enumerate() {
            *starts.entry(start(line)).or_default() += 1;
            into.entry(end(line)).or_default().push(place);
        }
        let mut dead: Vec<Node> = into
            .keys()
            .filter(|node| !starts.contains_key(*node))
            .copied()
            .collect();
        while let Some(node) = dead.pop() {
            for place in into.remove(&node).unwrap_or_default() {
                self.take(place);
                let from = start(self.arrows[place]);
                if let Some(left) = starts.get_mut(&from) {
                    *left -= 1;
                    if *left == 0 {
                        dead.push(from);
                    }
                }
            }
        }
    }

    /// Returns the shortest ring through an arrow, at most so long: breadth first, from its end back to its start.
    fn ring(&self, first: usize, longest: usize) -> Option<Vec<usize>> {
        if !self.is_free[first] {
            return None;
        }
        let home = start(self.arrows[first]);
        let mut came_by: BTreeMap<Node, usize> = BTreeMap::new();
        let mut wave = vec![end(self.arrows[first])];
        let mut length = 1;
        while !wave.is_empty() && length < longest {
            let mut next = Vec::new();
            for node in wave {
                for place in self.from.get(&node).into_iter().flatten() {
                    let to = end(self.arrows[*place]);
                    if *place == first || !self.is_free[*place] || came_by.contains_key(&to) {
                        continue;
                    }
                    came_by.insert(to, *place);
                    next.push(to);
                }
            }
            length += 1;
            if came_by.contains_key(&home) {
                return Some(self.back(first, &came_by));
            }
            wave = next;
        }
        None
    }

    /// Walks from the start of the first arrow back to its end.
    fn back(&self, first: usize, came_by: &BTreeMap<Node, usize>) -> Vec<usize> {
        let mut ring = vec![first];
        let mut node = start(self.arrows[first]);
        while node != end(self.arrows[first]) {
            let place = came_by[&node];
            ring.push(place);
            node = start(self.arrows[place]);
        }
        ring
    }
}

fn start(line: &LineAnswer) -> Node {
    (line.unit, line.ordered)
}

fn end(line: &LineAnswer) -> Node {
    (line.unit, line.arrived)
}

fn sentence(ring: &[&LineAnswer]) -> Cause {
    let mut sorted: Vec<&&LineAnswer> = ring.iter().collect();
    sorted.sort_by_key(|line| place_of(&line.line));
    let said = |amount: Decimal, line: &LineAnswer| Quantity::new(amount, line.unit).to_string();
    let parts: Vec<String> = sorted
        .iter()
        .map(|line| {
            format!(
                "line {}: {} for {}",
                line.line,
                said(line.arrived, line),
                said(line.ordered, line)
            )
        })
        .collect();
    let names: Vec<String> = sorted.iter().map(|line| line.line.clone()).collect();
    Cause {
        kind: CauseKind::Exchanged,
        advice: None,
        text: format!(
            "the quantities of lines {} look exchanged ({})",
            listed(&names),
            parts.join("; ")
        ),
        lines: names,
    }
}
