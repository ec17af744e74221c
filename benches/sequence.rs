//! Prints how long windows, sets and the order of unmarked leaves take, and how good the order is: `cargo bench --bench sequence`.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints its figures and stops at the first surprise"
)]
#![allow(clippy::disallowed_methods, reason = "a bench reads the clock")]

use std::time::Instant;

use asordered::check::sequence::complete::complete;
use asordered::check::sequence::leaves::{Flitch, Leaf};
use asordered::check::sequence::sets::{Wanted, cut};
use asordered::check::sequence::unmarked::{Drift, FiguredLeaf, order};
use asordered::model::length::Length;
use asordered::model::rect::Rect;

struct Dice(u64);

impl Dice {
    fn roll(&mut self, low: i64, high: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + i64::try_from((self.0 >> 11) % u64::try_from(high - low + 1).unwrap()).unwrap()
    }
}

fn inches(inches: i64) -> Length {
    Length::from_nm(inches * 25_400_000)
}

/// 40 flitches of 50 leaves; about one number in `gap` is missing before the next; `defects` on each leaf, anywhere.
fn delivery(dice: &mut Dice, gap: i64, defects: usize) -> Vec<Flitch> {
    let flitches = (0..40).map(|flitch| {
        let mut number = 0;
        let leaves = (0..50).map(|_| {
            number += if gap > 0 && dice.roll(1, gap) == 1 {
                2
            } else {
                1
            };
            let defects = (0..defects).map(|_| Rect {
                left: inches(dice.roll(0, 46)),
                butt: inches(dice.roll(0, 118)),
                across: inches(dice.roll(1, 2)),
                along: inches(dice.roll(1, 3)),
            });
            Leaf {
                number,
                size: (inches(48), inches(120)),
                defects: defects.collect(),
            }
        });
        Flitch {
            name: format!("{flitch:02}"),
            leaves: leaves.collect(),
        }
    });
    flitches.collect()
}

fn timed(name: &str, flitches: &[Flitch], wanted: &Wanted) {
    let start = Instant::now();
    let found = cut(flitches, wanted);
    let took = start.elapsed();
    let spare = found
        .spare
        .iter()
        .map(|run| run.leaves.len())
        .max()
        .unwrap_or(0);
    let mut used: Vec<&str> = found.filled.iter().map(|set| set.flitch.as_str()).collect();
    used.sort_unstable();
    used.dedup();
    let start = Instant::now();
    let completed = complete(flitches, &[], wanted, &found);
    let then = start.elapsed();
    println!(
        "{name:<58} {:>9.1} ms  filled {:>3} of {}, flitches {:>2}, longest spare {spare:>2}, not clear {:>3}, certain: most {}, all {}; completed in {:.1} ms, {} ways{}",
        took.as_secs_f64() * 1e3,
        found.filled.len(),
        wanted.sets.len(),
        used.len(),
        found.not_clear.len(),
        found.most_proven,
        found.proven,
        then.as_secs_f64() * 1e3,
        completed.ways.len(),
        if completed.bounded { ", bounded" } else { "" }
    );
}

fn sets() {
    for (low, high) in [(2, 8), (2, 12), (4, 12), (6, 16), (5, 7), (8, 12)] {
        for gap in [0, 20, 8] {
            let mut dice = Dice(42);
            let flitches = delivery(&mut dice, gap, 0);
            let sets: Vec<u32> = (0..200)
                .map(|_| u32::try_from(dice.roll(low, high)).unwrap())
                .collect();
            timed(
                &format!("2,000 leaves, 200 sets of {low}-{high}, gap 1 in {gap}"),
                &flitches,
                &Wanted {
                    sets,
                    ..Wanted::default()
                },
            );
        }
    }
    for (low, high) in [(2, 8), (2, 12), (4, 12)] {
        for (across, along) in [(10, 40), (12, 60), (16, 70), (24, 60)] {
            let mut dice = Dice(43);
            let flitches = delivery(&mut dice, 20, 3);
            let sets: Vec<u32> = (0..200)
                .map(|_| u32::try_from(dice.roll(low, high)).unwrap())
                .collect();
            timed(
                &format!("the same, sets of {low}-{high}, 3 defects, clear {across} x {along} in"),
                &flitches,
                &Wanted {
                    sets,
                    clear: Some((inches(across), inches(along))),
                    ..Wanted::default()
                },
            );
        }
    }
}

/// A simulated flitch: two inclined features run through, and knots are each in one unbroken run of leaves. A feature at
/// an angle t moves 0.605 mm / tan t from leaf to leaf. `noise` is the most a reading is off, in parts of the step.
fn flitch(dice: &mut Dice, count: i64, noise: f64) -> Vec<FiguredLeaf> {
    let mut leaves = vec![FiguredLeaf::default(); usize::try_from(count).unwrap()];
    for landmark in 0..2 + count.max(8) / 2 {
        let step = 605_000.0 / (dice.roll(50, 300) as f64 / 10.0).to_radians().tan();
        let step = if dice.roll(0, 1) == 0 { step } else { -step };
        let base = dice.roll(300, 2_000) as f64 * 1e6;
        let first = if landmark < 2 {
            0
        } else {
            dice.roll(-2, count - 4)
        };
        let last = if landmark < 2 {
            count
        } else {
            first + dice.roll(4, 30)
        };
        for (place, leaf) in (0..count).zip(&mut leaves) {
            let off = dice.roll(-1_000, 1_000) as f64 / 1_000.0 * noise * step;
            let at = Length::from_nm((base + step * place as f64 + off).round() as i64);
            leaf.figure.insert(
                format!("{landmark}"),
                (first..=last).contains(&place).then_some(at),
            );
        }
    }
    leaves
}

fn unmarked() {
    println!();
    for count in [12, 16, 40, 200] {
        for noise in [0.1, 0.33, 0.66, 1.0, 2.0, 4.0] {
            let mut dice = Dice(99);
            let rounds = if count > 100 { 5 } else { 20 };
            let (mut recovered, mut took, mut confidence) = (0.0, 0.0_f64, [0; 3]);
            for _ in 0..rounds {
                let leaves = flitch(&mut dice, count, noise);
                let mut places: Vec<usize> = (0..leaves.len()).collect();
                for at in (1..places.len()).rev() {
                    places.swap(
                        at,
                        usize::try_from(dice.roll(0, i64::try_from(at).unwrap())).unwrap(),
                    );
                }
                let mixed: Vec<FiguredLeaf> =
                    places.iter().map(|place| leaves[*place].clone()).collect();
                let start = Instant::now();
                let found = order(&mixed, Drift::default());
                took = took.max(start.elapsed().as_secs_f64() * 1e3);
                let next = found
                    .order
                    .windows(2)
                    .filter(|pair| places[pair[0]].abs_diff(places[pair[1]]) == 1);
                recovered += next.count() as f64 / (places.len() - 1) as f64 / f64::from(rounds);
                confidence[found.confidence as usize] += 1;
            }
            println!(
                "{count:>3} unmarked leaves, noise {noise:>4} of a step: {:>5.1} % of neighbours recovered, at most {took:>7.1} ms, clear/likely/weak {confidence:?}",
                recovered * 100.0
            );
        }
    }
}

/// A few flitches in which sets may step over leaves and share a window: two sets can be woven into each other.
fn stepping() {
    println!();
    for (count, skip, defects) in [(1, 1, 3), (2, 1, 3), (2, 2, 3), (3, 3, 2), (4, 1, 4)] {
        for (across, along) in [(12, 60), (24, 60), (30, 80)] {
            let mut dice = Dice(44);
            let mut flitches = delivery(&mut dice, 8, defects);
            flitches.truncate(count);
            for flitch in &mut flitches {
                flitch.leaves.truncate(30);
            }
            let sets: Vec<u32> = (0..3 * count)
                .map(|_| u32::try_from(dice.roll(3, 8)).unwrap())
                .collect();
            timed(
                &format!(
                    "{count} x 30 leaves, skip {skip}, {defects} defects, clear {across} x {along} in"
                ),
                &flitches,
                &Wanted {
                    sets,
                    skip,
                    clear: Some((inches(across), inches(along))),
                    ..Wanted::default()
                },
            );
        }
    }
}

fn main() {
    sets();
    stepping();
    unmarked();
}
