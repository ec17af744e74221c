//! The one clear window of a set: where a rectangle fits past the defects of all its leaves. Does not choose sets.

use crate::check::sequence::leaves::Leaf;
use crate::model::length::Length;
use crate::model::rect::Rect;

/// Where the clear rectangle lies: its corner nearest the butt end and the left edge, the same in every leaf of the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Window {
    /// Distance from the left edge, across the grain.
    pub left: Length,
    /// Distance from the butt end, along the grain.
    pub butt: Length,
}

/// Positions that a defect takes away from the window's corner; both intervals are open, so touching is clear.
struct Blocked {
    left: i64,
    right: i64,
    butt: i64,
    top: i64,
}

/// Returns where a rectangle of `clear` (across the grain, along it) fits inside all the leaves and past all their
/// defects at one position: nearest the butt end, then nearest the left edge. `None` where it fits nowhere.
///
/// Leaves are aligned at the butt end and the left edge, and the rectangle is never turned. It may share an edge with a
/// defect or the leaf. Exact: a free position can be slid towards the butt and then to the left until it touches the
/// leaf's edge or a defect's far side, so only those are tried.
///
/// ```
/// # use asordered::check::sequence::{leaves::Leaf, window::common_window};
/// # use asordered::model::length::Length;
/// let leaf = Leaf { number: 1, size: (Length::from_nm(10), Length::from_nm(20)), defects: vec![] };
/// let window = common_window((Length::from_nm(10), Length::from_nm(20)), &[&leaf]);
/// assert!(window.is_some_and(|w| w.left == Length::ZERO && w.butt == Length::ZERO));
/// ```
pub fn common_window(clear: (Length, Length), leaves: &[&Leaf]) -> Option<Window> {
    let mut room = (i64::MAX, i64::MAX);
    let mut blocked = Vec::new();
    for leaf in leaves {
        room.0 = room.0.min((leaf.size.0 - clear.0).nm());
        room.1 = room.1.min((leaf.size.1 - clear.1).nm());
        blocked.extend(leaf.defects.iter().map(|defect| Blocked {
            left: (defect.left - clear.0).nm(),
            right: (defect.left + defect.across).nm(),
            butt: (defect.butt - clear.1).nm(),
            top: (defect.butt + defect.along).nm(),
        }));
    }
    if room.0 < 0 || room.1 < 0 {
        return None;
    }
    blocked.sort_unstable_by_key(|block| block.left);
    let mut heights: Vec<i64> = blocked
        .iter()
        .map(|block| block.top)
        .filter(|top| (1..=room.1).contains(top))
        .collect();
    heights.push(0);
    heights.sort_unstable();
    heights.dedup();
    heights.into_iter().find_map(|butt| {
        let mut left = 0;
        for block in &blocked {
            if block.left >= left {
                break;
            }
            if left < block.right && block.butt < butt && butt < block.top {
                left = block.right;
            }
        }
        (left <= room.0).then(|| Window {
            left: Length::from_nm(left),
            butt: Length::from_nm(butt),
        })
    })
}

/// Says whether a rectangle of `clear` at `window` lies inside the leaf and past all its defects.
pub fn is_clear(clear: (Length, Length), window: Window, leaf: &Leaf) -> bool {
    let (right, top) = (window.left + clear.0, window.butt + clear.1);
    let past = |defect: &Rect| {
        defect.left >= right
            || defect.left + defect.across <= window.left
            || defect.butt >= top
            || defect.butt + defect.along <= window.butt
    };
    window.left >= Length::ZERO
        && window.butt >= Length::ZERO
        && right <= leaf.size.0
        && top <= leaf.size.1
        && leaf.defects.iter().all(past)
}

/// Returns for each leaf the end (exclusive) of the longest stretch of leaves that starts at it and shares one window,
/// never more than `longest` leaves. The ends never go down. A leaf with no window of its own ends at itself.
pub fn reach(clear: (Length, Length), leaves: &[&Leaf], longest: usize) -> Vec<usize> {
    let mut ends = Vec::with_capacity(leaves.len());
    let mut end = 0;
    let mut held: Option<Window> = None;
    for start in 0..leaves.len() {
        if end <= start {
            end = start;
            held = None;
        }
        while end < leaves.len() && end - start < longest {
            let still = held.filter(|window| is_clear(clear, *window, leaves[end]));
            match still.or_else(|| common_window(clear, &leaves[start..=end])) {
                Some(window) => held = Some(window),
                None => break,
            }
            end += 1;
        }
        ends.push(end);
    }
    ends
}
