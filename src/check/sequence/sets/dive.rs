//! Rounds the best average of cuttings to one cutting: some flitches at a time take what they have in it, and the average
//! is found again for the rest; the last few are searched. Never proves that something cannot be packed.

use crate::check::sequence::sets::bound::{Sharp, cutting, sharpest};
use crate::check::sequence::sets::part::{Items, Kind, Memory, Part};
use crate::check::sequence::sets::repair::Dice;
use crate::check::sequence::sets::search::{Chosen, Verdict, search};

/// How many times one average is rounded before the one above it is rounded anew.
const TRIES: usize = 3;
/// The most flitches that are left to the search.
const LAST: usize = 4;
/// The most steps to the best average of what is left.
const STEPS: usize = 60;
/// The work of one search of what is left.
const WORK: i64 = 4_000;

/// Says whether every part can be cut as the average tells.
pub(super) fn can_dive(flitches: &[Vec<&Part>]) -> bool {
    flitches.iter().flatten().all(|part| match part.kind {
        Kind::Plain | Kind::Windowed { .. } => true,
        Kind::Stepped { .. } | Kind::Woven(_) => false,
    })
}

/// Rounds `sharp`, which was found for the same flitches, items and limit. `averages` is how many more averages may be
/// found, and is drawn on.
pub(super) fn dive(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    sharp: &Sharp,
    dice: &mut Dice,
    averages: &mut usize,
) -> Option<Vec<Chosen>> {
    if flitches.len() <= LAST || sharp.mixture.is_empty() {
        let mut ranking: Vec<usize> = (0..flitches.len()).collect();
        ranking.sort_by_key(|flitch| std::cmp::Reverse(sharp.bound.flitches[*flitch]));
        let mut memory: Vec<Vec<Memory>> = flitches
            .iter()
            .map(|flitch| flitch.iter().map(|_| Memory::default()).collect())
            .collect();
        let bounds = vec![sharp.bound.clone()];
        let (verdict, _) = search(flitches, items, limit, bounds, &ranking, &mut memory, WORK);
        return match verdict {
            Verdict::Packed(chosen) => Some(chosen),
            Verdict::Impossible | Verdict::Unknown => None,
        };
    }
    for _ in 0..TRIES {
        if let Some(found) = round(flitches, items, limit, sharp, dice, averages) {
            return Some(found);
        }
    }
    None
}

/// Settles half the flitches at random by their shares, and goes on with the rest.
fn round(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    sharp: &Sharp,
    dice: &mut Dice,
    averages: &mut usize,
) -> Option<Vec<Chosen>> {
    if *averages == 0 {
        return None;
    }
    *averages -= 1;
    let mut order: Vec<usize> = (0..flitches.len()).collect();
    for at in (1..order.len()).rev() {
        order.swap(at, dice.roll(at + 1));
    }
    let settled = (flitches.len() / 2).min(flitches.len() - LAST);
    let mut later = order.split_off(settled);
    let mut chosen = Vec::new();
    let mut rest = items.counts.clone();
    let mut left = limit;
    for (place, flitch) in order.iter().enumerate() {
        let at = (place as f64 + 0.5) / settled as f64;
        let mut sum = 0.0;
        let member = sharp.mixture.iter().find(|(share, ..)| {
            sum += share;
            sum > at
        });
        let Some((_, bound, used)) = member.or(sharp.mixture.last()) else {
            continue;
        };
        if !used.contains(flitch) || left == 0 {
            continue;
        }
        let mut after = rest.clone();
        let cut: Option<Vec<Vec<u16>>> = flitches[*flitch]
            .iter()
            .map(|part| {
                let counts = cutting(part, items, &bound.weights);
                for (rest, count) in after.iter_mut().zip(&counts) {
                    *rest = rest.checked_sub(*count)?;
                }
                Some(counts)
            })
            .collect();
        // A cutting that takes more of a size than is left would waste leaves: the flitch is settled later.
        let Some(cut) = cut else {
            later.push(*flitch);
            continue;
        };
        left -= 1;
        rest = after;
        let cut = cut.into_iter().enumerate();
        let filled = cut.filter(|(_, counts)| counts.iter().any(|count| *count > 0));
        chosen.extend(filled.map(|(part, counts)| Chosen {
            flitch: *flitch,
            part,
            counts,
        }));
    }
    if rest.iter().all(|count| *count == 0) {
        return Some(chosen);
    }
    if later.len() == flitches.len() || left == 0 {
        return None;
    }
    let (names, later): (Vec<usize>, Vec<Vec<&Part>>) = later
        .into_iter()
        .map(|flitch| (flitch, flitches[flitch].clone()))
        .unzip();
    let left = left.min(later.len());
    let items = Items::new(items.sizes.clone(), rest, items.spare);
    let sharp = sharpest(&later, &items, left, STEPS);
    if sharp.bound.excludes(&items, left) {
        return None;
    }
    let found = dive(&later, &items, left, &sharp, dice, averages)?;
    chosen.extend(found.into_iter().map(|found| Chosen {
        flitch: names[found.flitch],
        ..found
    }));
    Some(chosen)
}
