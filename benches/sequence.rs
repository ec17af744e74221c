//! Prints how long windows, sets and the order of unmarked leaves take, and how good the order is: `cargo bench --bench sequence`.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a bench prints its figures and stops at the first surprise"
)]
#![allow(clippy::disallowed_methods, reason = "a bench reads the clock")]

use std::time::Instant;

use asordered::check::sequence::leaves::{Flitch, Leaf};
use asordered::check::sequence::sets::{Wanted, cut};
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
    println!(
        "{name:<58} {:>9.1} ms  filled {:>3} of {}, flitches {:>2}, longest spare {spare:>2}, not clear {:>3}, proven {}",
        took.as_secs_f64() * 1e3,
        found.filled.len(),
        wanted.sets.len(),
        used.len(),
        found.not_clear.len(),
        found.proven
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

fn main() {
    sets();
}
