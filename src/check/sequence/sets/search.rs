//! Decides whether pieces can be cut from the parts of at most so many flitches: bounds to refuse, quick packing to accept,
//! and a full search with a memory of failures for what is left. Does not choose what to ask for.

use std::collections::HashSet;

use crate::check::sequence::sets::bound::{Bound, by_size, sharpest};
use crate::check::sequence::sets::dive::{can_dive, dive};
use crate::check::sequence::sets::key::KeyHash;
use crate::check::sequence::sets::part::{Items, Kind, Memory, Part};
use crate::check::sequence::sets::repair::{Dice, Leaning, quick};

/// Pieces to be cut from one part, as how many of each size.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    pub(super) flitch: usize,
    pub(super) part: usize,
    pub(super) counts: Vec<u16>,
}

/// The answer: packed, proven impossible, or neither before the work allowed ran out.
#[derive(Debug)]
pub(super) enum Verdict {
    Packed(Vec<Chosen>),
    Impossible,
    Unknown,
}

/// The most ways to cut one part that are looked at together.
const CUTTINGS: usize = 4_000;
/// The most parts that are searched: each is one step deeper on the stack.
const DEEPEST: usize = 600;
/// How many averages are found on the way to one packing.
const AVERAGES: usize = 300;
/// With more sizes than this an average takes so long that fewer are found.
const FEW: usize = 16;
/// The work of a first, short search.
const SHORT: i64 = 4_000;

struct Search<'a> {
    flitches: &'a [Vec<&'a Part>],
    items: &'a Items,
    limit: usize,
    order: Vec<usize>,
    /// For each bound and each flitch in order: the most weight of the best 0, 1, 2 … flitches from there on.
    bounds: Vec<(Bound, Vec<Vec<i64>>)>,
    /// For each flitch in order those later ones that can do no more than it.
    lesser: Vec<u128>,
    memory: &'a mut [Vec<Memory>],
    failed: HashSet<(u32, u32, u32, u128, u128), KeyHash>,
    work: i64,
    /// Whether anything was left out, so that a failure proves nothing.
    cut_short: bool,
    chosen: Vec<Chosen>,
}

/// Decides whether all the items can be cut from at most `limit` flitches. `work` is what may be spent, and is drawn on.
pub(super) fn pack(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    tries: usize,
    work: &mut i64,
) -> Verdict {
    let limit = limit.min(flitches.len());
    if items.counts.iter().all(|count| *count == 0) {
        return Verdict::Packed(Vec::new());
    }
    let sizes = by_size(flitches, items);
    if limit == 0 || sizes.excludes(items, limit) || !each_has_a_place(flitches, items) {
        return Verdict::Impossible;
    }
    let mut ranking: Vec<usize> = (0..flitches.len()).collect();
    ranking.sort_by_key(|flitch| std::cmp::Reverse(sizes.flitches[*flitch]));
    let mut memory: Vec<Vec<Memory>> = flitches
        .iter()
        .map(|flitch| flitch.iter().map(|_| Memory::default()).collect())
        .collect();
    let plain = Leaning {
        ranking: &ranking,
        weights: &sizes.weights,
        heat: 0,
    };
    if let Some(found) = quick(flitches, items, limit, &plain, &mut memory, tries / 20) {
        return Verdict::Packed(found);
    }
    let short = SHORT.min(*work);
    let (verdict, spent) = search(
        flitches,
        items,
        limit,
        vec![sizes.clone()],
        &ranking,
        &mut memory,
        short,
    );
    *work -= spent;
    match verdict {
        Verdict::Packed(_) | Verdict::Impossible => return verdict,
        Verdict::Unknown => {}
    }
    let sharp = sharpest(flitches, items, limit, 150);
    if sharp.bound.excludes(items, limit) {
        return Verdict::Impossible;
    }
    let dives = can_dive(flitches);
    if dives {
        let mut dice = Dice::new();
        let mut averages = AVERAGES * FEW.pow(2) / items.sizes.len().max(FEW).pow(2);
        while averages > 0 {
            if let Some(found) = dive(flitches, items, limit, &sharp, &mut dice, &mut averages) {
                return Verdict::Packed(found);
            }
            averages = averages.saturating_sub(1);
        }
    }
    let sharp = sharp.bound;
    let mut sharp_ranking = ranking.clone();
    sharp_ranking.sort_by_key(|flitch| std::cmp::Reverse(sharp.flitches[*flitch]));
    // Prices alone call many sizes worthless; those that are left over must still be placed.
    let heaviest = sharp.weights.iter().copied().max().unwrap_or(1);
    let largest = sizes.weights.iter().copied().max().unwrap_or(1).max(1);
    let mixed: Vec<i64> = sharp
        .weights
        .iter()
        .zip(&sizes.weights)
        .map(|(price, size)| price + heaviest / largest * size)
        .collect();
    let sharply = |heat| Leaning {
        ranking: &sharp_ranking,
        weights: &mixed,
        heat,
    };
    // What enough dives did not find, mending seldom does.
    let tries = if dives && items.sizes.len() <= FEW {
        tries / 10
    } else {
        tries
    };
    for leaning in [sharply(0), plain, sharply(2)] {
        if let Some(found) = quick(flitches, items, limit, &leaning, &mut memory, tries) {
            return Verdict::Packed(found);
        }
    }
    let allowed = (*work).min(400_000);
    let (verdict, spent) = search(
        flitches,
        items,
        limit,
        vec![sizes, sharp],
        &ranking,
        &mut memory,
        allowed,
    );
    *work -= spent;
    verdict
}

fn each_has_a_place(flitches: &[Vec<&Part>], items: &Items) -> bool {
    (0..items.sizes.len())
        .filter(|class| items.counts[*class] > 0)
        .all(|class| {
            flitches
                .iter()
                .flatten()
                .any(|part| (0..part.len).any(|at| part.starts(items, class, at)))
        })
}

pub(super) fn search(
    flitches: &[Vec<&Part>],
    items: &Items,
    limit: usize,
    bounds: Vec<Bound>,
    ranking: &[usize],
    memory: &mut [Vec<Memory>],
    work: i64,
) -> (Verdict, i64) {
    if !items.exact || flitches.iter().map(Vec::len).sum::<usize>() > DEEPEST {
        return (Verdict::Unknown, 0);
    }
    let bounds = bounds.into_iter().map(|bound| {
        let best = best_from(&bound, ranking, limit);
        (bound, best)
    });
    let mut search = Search {
        flitches,
        items,
        limit,
        order: ranking.to_vec(),
        bounds: bounds.collect(),
        lesser: lesser(flitches, ranking),
        memory,
        failed: HashSet::default(),
        work,
        cut_short: false,
        chosen: Vec::new(),
    };
    let mut rest = items.counts.clone();
    let found = search.flitch(0, &mut rest, 0, 0);
    let spent = work - search.work;
    if found {
        return (Verdict::Packed(search.chosen), spent);
    }
    (
        if search.cut_short {
            Verdict::Unknown
        } else {
            Verdict::Impossible
        },
        spent,
    )
}

/// For each place in the order: the sums of the best 0, 1, … `limit` values from there on.
fn best_from(bound: &Bound, order: &[usize], limit: usize) -> Vec<Vec<i64>> {
    let mut best = vec![Vec::new(); order.len() + 1];
    let mut values: Vec<i64> = Vec::new();
    for place in (0..=order.len()).rev() {
        if let Some(flitch) = order.get(place) {
            let value = bound.flitches[*flitch];
            let at = values.partition_point(|other| *other >= value);
            values.insert(at, value);
        }
        let mut sums = vec![0];
        for value in values.iter().take(limit) {
            sums.push(sums.last().copied().unwrap_or(0) + value);
        }
        best[place] = sums;
    }
    best
}

/// Marks for each flitch in order the later ones whose every part has a match at least as good in it. Where such a
/// flitch is passed over, so may the lesser ones be: what they hold could be cut from it.
fn lesser(flitches: &[Vec<&Part>], order: &[usize]) -> Vec<u128> {
    if order.len() > 128 {
        return vec![0; order.len()];
    }
    let ranked: Vec<Vec<&Part>> = order
        .iter()
        .map(|flitch| {
            let mut parts = flitches[*flitch].clone();
            parts.sort_by_key(|part| std::cmp::Reverse(part.len));
            parts
        })
        .collect();
    let covers = |one: &Part, other: &Part| match (&one.kind, &other.kind) {
        (Kind::Plain, Kind::Plain) => one.len >= other.len,
        (Kind::Windowed { reach: one }, Kind::Windowed { reach: other }) => one == other,
        (Kind::Plain | Kind::Windowed { .. } | Kind::Stepped { .. } | Kind::Woven(_), _) => false,
    };
    (0..ranked.len())
        .map(|place| {
            let mut mask = 0;
            for later in place + 1..ranked.len() {
                let (one, other) = (&ranked[place], &ranked[later]);
                if one.len() >= other.len()
                    && one.iter().zip(other).all(|(one, other)| covers(one, other))
                {
                    mask |= 1_u128 << later;
                }
            }
            mask
        })
        .collect()
}

impl Search<'_> {
    /// Decides about the flitch at a place in the order: use it, or pass it over.
    fn flitch(&mut self, place: usize, rest: &mut Vec<u16>, used: usize, barred: u128) -> bool {
        if rest.iter().all(|count| *count == 0) {
            return true;
        }
        if place == self.order.len() || used == self.limit {
            return false;
        }
        let usable = place >= 128 || barred >> place & 1 == 0;
        if usable && self.part(place, 0, rest, used + 1, barred) {
            return true;
        }
        if usable && self.limit - used >= self.order.len() - place {
            return false;
        }
        let barred = if usable {
            barred | self.lesser[place]
        } else {
            barred
        };
        let key = (
            place as u32,
            u32::MAX,
            used as u32,
            barred,
            self.items.key(rest),
        );
        if self.outweighed(place + 1, 0, None, rest, used) || self.failed.contains(&key) {
            return false;
        }
        if self.flitch(place + 1, rest, used, barred) {
            return true;
        }
        self.failed.insert(key);
        false
    }

    /// Says whether the rest weighs more than what is still to come can hold.
    fn outweighed(
        &self,
        from: usize,
        part: usize,
        current: Option<usize>,
        rest: &[u16],
        used: usize,
    ) -> bool {
        self.bounds.iter().any(|(bound, best)| {
            let sums = &best[from];
            let later = sums[(self.limit - used).min(sums.len() - 1)];
            let here: i64 = current.map_or(0, |flitch| bound.parts[flitch][part..].iter().sum());
            bound.need(rest) > later + here
        })
    }

    /// Decides about one part of a flitch in use.
    fn part(
        &mut self,
        place: usize,
        part: usize,
        rest: &mut Vec<u16>,
        used: usize,
        barred: u128,
    ) -> bool {
        if rest.iter().all(|count| *count == 0) {
            return true;
        }
        let flitch = self.order[place];
        if part == self.flitches[flitch].len() {
            return self.flitch(place + 1, rest, used, barred);
        }
        if self.outweighed(place + 1, part, Some(flitch), rest, used) {
            return false;
        }
        let key = (
            place as u32,
            part as u32,
            used as u32,
            barred,
            self.items.key(rest),
        );
        if self.failed.contains(&key) {
            return false;
        }
        if self.work <= 0 {
            self.cut_short = true;
            return false;
        }
        let cuttings = self.cuttings(flitch, part, rest);
        for counts in cuttings {
            for (left, count) in rest.iter_mut().zip(&counts) {
                *left -= count;
            }
            let taken = counts.iter().any(|count| *count > 0);
            if taken {
                self.chosen.push(Chosen {
                    flitch,
                    part,
                    counts: counts.clone(),
                });
            }
            let found = self.part(place, part + 1, rest, used, barred);
            for (left, count) in rest.iter_mut().zip(&counts) {
                *left += count;
            }
            if found {
                return true;
            }
            if taken {
                self.chosen.pop();
            }
        }
        self.failed.insert(key);
        false
    }

    /// Lists the ways to cut the part to which nothing of the rest can be added, those that use most leaves first.
    /// Others need not be tried: what could be added here instead of later may as well be.
    fn cuttings(&mut self, flitch: usize, part: usize, rest: &[u16]) -> Vec<Vec<u16>> {
        let mut found = Vec::new();
        self.extend(
            flitch,
            part,
            rest,
            rest.len(),
            &mut vec![0; rest.len()],
            &mut found,
        );
        let items = self.items;
        found.sort_by_cached_key(|counts| {
            (
                std::cmp::Reverse(items.total(counts)),
                std::cmp::Reverse(counts.iter().rev().copied().collect::<Vec<u16>>()),
            )
        });
        found
    }

    fn extend(
        &mut self,
        flitch: usize,
        part: usize,
        rest: &[u16],
        classes: usize,
        counts: &mut Vec<u16>,
        found: &mut Vec<Vec<u16>>,
    ) {
        self.work -= 1;
        if self.work <= 0 || found.len() >= CUTTINGS {
            self.cut_short = true;
            return;
        }
        if classes == 0 {
            for class in 0..rest.len() {
                if counts[class] < rest[class] && self.can_add(flitch, part, class, counts) {
                    return;
                }
            }
            found.push(counts.clone());
            return;
        }
        let class = classes - 1;
        while counts[class] < rest[class] && self.can_add(flitch, part, class, counts) {
            counts[class] += 1;
        }
        loop {
            self.extend(flitch, part, rest, class, counts, found);
            if counts[class] == 0 {
                return;
            }
            counts[class] -= 1;
        }
    }

    fn can_add(&mut self, flitch: usize, part: usize, class: usize, counts: &mut [u16]) -> bool {
        let here = self.flitches[flitch][part];
        if self.items.sizes[class] > here.len {
            return false;
        }
        counts[class] += 1;
        let fits = here.fits(self.items, counts, &mut self.memory[flitch][part]);
        counts[class] -= 1;
        match fits {
            Some(fits) => fits,
            None => {
                self.cut_short = true;
                false
            }
        }
    }
}
