//! What the sequence solvers need to know of a leaf and a flitch. Knows nothing of orders, receipts or wording.

use crate::model::length::Length;
use crate::model::rect::Rect;

/// One leaf: its number in the flitch, its size and where its defects are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaf {
    /// Its number in the order of slicing, 1 or more.
    pub number: u32,
    /// Its size: across the grain, along the grain.
    pub size: (Length, Length),
    /// Its defects, in the leaf's own coordinates.
    pub defects: Vec<Rect>,
}

/// The acceptable leaves of one flitch, in any order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flitch {
    /// Its name; two entries of one name are one flitch.
    pub name: String,
    /// Its leaves; of two with one number the first in a fixed order is kept.
    pub leaves: Vec<Leaf>,
}

impl Leaf {
    /// Returns a key by which leaves have one order, whatever order they were given in.
    pub(crate) fn key(&self) -> (u32, (Length, Length), Vec<[Length; 4]>) {
        let mut defects: Vec<[Length; 4]> = self
            .defects
            .iter()
            .map(|defect| [defect.left, defect.butt, defect.across, defect.along])
            .collect();
        defects.sort_unstable();
        (self.number, self.size, defects)
    }
}

/// Puts flitches in order of name and leaves in order of number, each number once.
pub(crate) fn in_order(flitches: &[Flitch]) -> Vec<Flitch> {
    let mut sorted: Vec<&Flitch> = flitches.iter().collect();
    sorted.sort_by(|one, other| one.name.cmp(&other.name));
    let mut merged: Vec<Flitch> = Vec::new();
    for flitch in sorted {
        match merged.last_mut() {
            Some(last) if last.name == flitch.name => {
                last.leaves.extend(flitch.leaves.iter().cloned())
            }
            Some(_) | None => merged.push(flitch.clone()),
        }
    }
    for flitch in &mut merged {
        flitch.leaves.sort_by_cached_key(Leaf::key);
        flitch.leaves.dedup_by_key(|leaf| leaf.number);
    }
    merged
}
