//! Sets against exhaustive search: every small case without windows, and thousands with them.

use std::collections::{BTreeMap, BTreeSet};

use asordered::check::sequence::leaves::{Flitch, Leaf};
use asordered::check::sequence::sets::{Cut, Wanted, cut};
use asordered::check::sequence::window::is_clear;
use asordered::model::length::Length;
use asordered::model::rect::Rect;
use proptest::prelude::{Just, Strategy, prop, prop_assert, prop_assert_eq, proptest};

use crate::sequence_dice::Dice;

fn nm(nm: i64) -> Length {
    Length::from_nm(nm)
}

fn plain(name: &str, numbers: &[u32]) -> Flitch {
    let leaves = numbers.iter().map(|number| Leaf {
        number: *number,
        size: (nm(6), nm(6)),
        defects: Vec::new(),
    });
    Flitch {
        name: name.to_owned(),
        leaves: leaves.collect(),
    }
}

fn sets(sets: &[u32]) -> Wanted {
    Wanted {
        sets: sets.to_vec(),
        ..Wanted::default()
    }
}

/// Sets filled, flitches used, longest spare run.
type Score = (usize, usize, usize);

fn score(cut: &Cut) -> Score {
    let flitches: BTreeSet<&str> = cut.filled.iter().map(|set| set.flitch.as_str()).collect();
    (
        cut.filled.len(),
        flitches.len(),
        cut.spare
            .iter()
            .map(|run| run.leaves.len())
            .max()
            .unwrap_or(0),
    )
}

/// Says what is wrong with a cut, by the rules alone.
fn faults(flitches: &[Flitch], wanted: &Wanted, cut: &Cut) -> Vec<String> {
    let mut faults = Vec::new();
    let mut seen = BTreeSet::new();
    let all: BTreeMap<(&str, u32), &Leaf> = flitches
        .iter()
        .flat_map(|flitch| {
            flitch
                .leaves
                .iter()
                .map(|leaf| ((flitch.name.as_str(), leaf.number), leaf))
        })
        .collect();
    let groups = cut
        .filled
        .iter()
        .map(|set| (set.flitch.as_str(), &set.leaves))
        .chain(
            cut.spare
                .iter()
                .map(|run| (run.flitch.as_str(), &run.leaves)),
        );
    for (flitch, leaves) in groups {
        for leaf in leaves {
            if !seen.insert((flitch, *leaf)) {
                faults.push(format!("leaf {leaf} of {flitch} is used twice"));
            }
        }
    }
    for (flitch, leaf) in &cut.not_clear {
        if !seen.insert((flitch, *leaf)) {
            faults.push(format!("leaf {leaf} of {flitch} is not clear and yet used"));
        }
    }
    if seen.len() != all.len() || seen.iter().any(|leaf| !all.contains_key(leaf)) {
        faults.push(format!(
            "{} leaves told of, {} given",
            seen.len(),
            all.len()
        ));
    }
    for set in &cut.filled {
        if set.leaves.len() != wanted.sets[set.wanted] as usize {
            faults.push(format!(
                "set {} has {} leaves",
                set.wanted,
                set.leaves.len()
            ));
        }
        if set
            .leaves
            .windows(2)
            .any(|pair| pair[1] <= pair[0] || pair[1] - pair[0] - 1 > wanted.skip)
        {
            faults.push(format!(
                "set {} steps too far: {:?}",
                set.wanted, set.leaves
            ));
        }
        match (wanted.clear, set.window) {
            (Some(clear), Some(window)) => {
                if !set
                    .leaves
                    .iter()
                    .all(|leaf| is_clear(clear, window, all[&(set.flitch.as_str(), *leaf)]))
                {
                    faults.push(format!("the window of set {} is not clear", set.wanted));
                }
            }
            (None, None) => {}
            (Some(_), None) | (None, Some(_)) => {
                faults.push(format!("the window of set {} is wrong", set.wanted))
            }
        }
    }
    for run in &cut.spare {
        if run.leaves.windows(2).any(|pair| pair[1] != pair[0] + 1) {
            faults.push(format!("spare {:?} is not one run", run.leaves));
        }
    }
    let mut told: Vec<usize> = cut
        .filled
        .iter()
        .map(|set| set.wanted)
        .chain(cut.unfilled.iter().copied())
        .collect();
    told.sort_unstable();
    if told != (0..wanted.sets.len()).collect::<Vec<usize>>() {
        faults.push(format!("the wanted sets are told of as {told:?}"));
    }
    faults
}

/// For each leaf the positions of the window's corner on a grid of 1 at which it is clear; whole defects lie on the grid,
/// so a window that fits anywhere fits on the grid.
fn positions(leaf: &Leaf, clear: Option<(Length, Length)>) -> u64 {
    let Some(clear) = clear else { return 1 };
    let mut found = 0;
    for left in 0..8 {
        for butt in 0..8 {
            let (right, top) = (left + clear.0.nm(), butt + clear.1.nm());
            let inside = right <= leaf.size.0.nm() && top <= leaf.size.1.nm();
            let hit = |defect: &Rect| {
                defect.left.nm() < right
                    && left < defect.left.nm() + defect.across.nm()
                    && defect.butt.nm() < top
                    && butt < defect.butt.nm() + defect.along.nm()
            };
            if inside && !leaf.defects.iter().any(hit) {
                found |= 1 << (left * 8 + butt);
            }
        }
    }
    found
}

struct Exhaustive {
    leaves: Vec<(usize, u32, u64)>,
    wanted: Wanted,
    sizes: Vec<u32>,
    best: Score,
    seen: BTreeSet<(usize, u32, usize)>,
}

impl Exhaustive {
    fn best(flitches: &[Flitch], wanted: &Wanted) -> Score {
        let mut leaves: Vec<(usize, u32, u64)> = Vec::new();
        for (index, flitch) in flitches.iter().enumerate() {
            let mut own: Vec<(usize, u32, u64)> = flitch
                .leaves
                .iter()
                .map(|leaf| (index, leaf.number, positions(leaf, wanted.clear)))
                .collect();
            own.sort_unstable();
            leaves.extend(own.into_iter().filter(|leaf| leaf.2 != 0));
        }
        let mut sizes: Vec<u32> = wanted
            .sets
            .iter()
            .copied()
            .filter(|size| *size > 0)
            .collect();
        sizes.sort_unstable();
        let mut search = Exhaustive {
            leaves,
            wanted: wanted.clone(),
            sizes,
            best: (0, usize::MAX, 0),
            seen: BTreeSet::new(),
        };
        search.next(0, 0, 0);
        if search.best.0 == 0 {
            search.best.1 = 0;
        }
        search.best
    }

    fn next(&mut self, at: usize, used: u32, filled: usize) {
        if !self.seen.insert((at, used, filled)) {
            return;
        }
        let now = self.score(used, filled);
        let better = |one: Score, other: Score| {
            (one.0, std::cmp::Reverse(one.1), one.2)
                > (other.0, std::cmp::Reverse(other.1), other.2)
        };
        if (!self.wanted.one_flitch || now.1 <= 1) && better(now, self.best) {
            self.best = now;
        }
        if at == self.sizes.len() {
            return;
        }
        self.next(at + 1, used, filled);
        for first in 0..self.leaves.len() {
            self.grow(at, used, filled, first, self.sizes[at], u64::MAX);
        }
    }

    fn grow(&mut self, at: usize, used: u32, filled: usize, leaf: usize, needs: u32, shared: u64) {
        let shared = shared & self.leaves[leaf].2;
        if used >> leaf & 1 == 1 || shared == 0 {
            return;
        }
        let used = used | 1 << leaf;
        if needs == 1 {
            self.next(at + 1, used, filled + 1);
            return;
        }
        for next in leaf + 1..self.leaves.len() {
            let same = self.leaves[next].0 == self.leaves[leaf].0;
            if same && self.leaves[next].1 - self.leaves[leaf].1 - 1 <= self.wanted.skip {
                self.grow(at, used, filled, next, needs - 1, shared);
            }
        }
    }

    fn score(&self, used: u32, filled: usize) -> Score {
        let mut flitches = BTreeSet::new();
        let (mut longest, mut run) = (0, 0);
        let mut last: Option<(usize, u32)> = None;
        for (index, leaf) in self.leaves.iter().enumerate() {
            if used >> index & 1 == 1 {
                flitches.insert(leaf.0);
                last = None;
                continue;
            }
            run = if last == Some((leaf.0, leaf.1.wrapping_sub(1))) {
                run + 1
            } else {
                1
            };
            last = Some((leaf.0, leaf.1));
            longest = longest.max(run);
        }
        (filled, flitches.len(), longest)
    }
}

fn compare(flitches: &[Flitch], wanted: &Wanted) {
    let found = cut(flitches, wanted);
    let wrong = faults(flitches, wanted, &found);
    assert!(wrong.is_empty(), "{wrong:?}\n{flitches:?}\n{wanted:?}");
    assert!(found.proven, "not proven: {flitches:?}\n{wanted:?}");
    assert_eq!(
        score(&found),
        Exhaustive::best(flitches, wanted),
        "{flitches:?}\n{wanted:?}\n{found:?}"
    );
}

#[test]
fn runs_of_9_and_10_fill_all_of_6_5_4_4() {
    let flitches = [
        plain("3318", &(1..=9).collect::<Vec<u32>>()),
        plain("3320", &(1..=10).collect::<Vec<u32>>()),
    ];
    let found = cut(&flitches, &sets(&[6, 5, 4, 4]));
    assert_eq!(found.unfilled, Vec::<usize>::new());
    let of = |wanted: usize| {
        (
            found.filled[wanted].flitch.as_str(),
            found.filled[wanted].leaves.clone(),
        )
    };
    assert_eq!(of(0), ("3320", vec![1, 2, 3, 4, 5, 6]));
    assert_eq!(of(1), ("3318", vec![1, 2, 3, 4, 5]));
    assert!(found.proven);
}

#[test]
fn leaves_14_to_17_and_21_to_22_fill_one_of_two_fours_and_leave_21_and_22_spare() {
    let found = cut(&[plain("3318", &[14, 15, 16, 17, 21, 22])], &sets(&[4, 4]));
    assert_eq!(found.filled.len(), 1);
    assert_eq!(found.filled[0].leaves, [14, 15, 16, 17]);
    assert_eq!(found.unfilled, [1]);
    assert_eq!(found.spare.len(), 1);
    assert_eq!(found.spare[0].leaves, [21, 22]);
}

#[test]
fn every_case_of_one_flitch_of_eight_numbers_equals_exhaustive_search() {
    let wants: [&[u32]; 9] = [
        &[1],
        &[2],
        &[3, 2],
        &[2, 2, 2],
        &[4, 1],
        &[3, 3],
        &[1, 2, 3],
        &[5, 2],
        &[0, 2],
    ];
    for present in 0_u32..256 {
        let numbers: Vec<u32> = (1..=8)
            .filter(|number| present >> (number - 1) & 1 == 1)
            .collect();
        for want in wants {
            for skip in 0..3 {
                compare(&[plain("a", &numbers)], &Wanted { skip, ..sets(want) });
            }
        }
    }
}

#[test]
fn every_case_of_runs_in_up_to_three_flitches_equals_exhaustive_search() {
    // Each flitch is two runs with a number missing between them, so all that matters is how long the runs are.
    let mut shapes = Vec::new();
    for one in 0..=4_u32 {
        for other in 0..=one.min(3) {
            shapes.push((1..=one).chain(6..6 + other).collect::<Vec<u32>>());
        }
    }
    let wants: [&[u32]; 8] = [
        &[2, 2],
        &[3, 2, 1],
        &[4, 2],
        &[2, 2, 3],
        &[1, 1, 1],
        &[3, 3, 2],
        &[4, 3],
        &[3, 4, 2, 1],
    ];
    for one in 0..shapes.len() {
        for two in 0..=one {
            for three in 0..=two.min(4) {
                for want in wants {
                    for one_flitch in [false, true] {
                        let flitches = [
                            plain("a", &shapes[one]),
                            plain("b", &shapes[two]),
                            plain("c", &shapes[three]),
                        ];
                        compare(
                            &flitches,
                            &Wanted {
                                one_flitch,
                                ..sets(want)
                            },
                        );
                    }
                }
            }
        }
    }
}

fn with_defects(dice: &mut Dice, flitches: i64, most: i64, gaps: i64) -> Vec<Flitch> {
    (0..flitches)
        .map(|flitch| {
            let mut number = 1;
            let leaves = (0..dice.roll(1, most)).map(|_| {
                number += if dice.roll(0, 3) == 0 {
                    u32::try_from(dice.roll(1, gaps + 1)).unwrap()
                } else {
                    1
                };
                let defects = (0..dice.roll(0, 2)).map(|_| Rect {
                    left: nm(dice.roll(0, 6)),
                    butt: nm(dice.roll(0, 6)),
                    across: nm(dice.roll(0, 2)),
                    along: nm(dice.roll(1, 3)),
                });
                let defects = defects.collect();
                Leaf {
                    number,
                    size: (nm(dice.roll(5, 7)), nm(dice.roll(6, 7))),
                    defects,
                }
            });
            Flitch {
                name: format!("f{flitch}"),
                leaves: leaves.collect(),
            }
        })
        .collect()
}

fn random_case(dice: &mut Dice, skip: i64, clear: bool) -> (Vec<Flitch>, Wanted) {
    let count = dice.roll(1, 3);
    let flitches = with_defects(
        dice,
        count,
        [0, 9, 6, 4][usize::try_from(count).unwrap()],
        2,
    );
    let sets = (0..dice.roll(1, 4))
        .map(|_| u32::try_from(dice.roll(1, 4)).unwrap())
        .collect();
    let clear = clear.then(|| (nm(dice.roll(3, 5)), nm(dice.roll(3, 6))));
    let skip = u32::try_from(dice.roll(0, skip)).unwrap();
    (
        flitches,
        Wanted {
            sets,
            skip,
            one_flitch: dice.roll(0, 4) == 0,
            clear,
        },
    )
}

#[test]
fn random_cases_with_windows_equal_exhaustive_search() {
    let mut dice = Dice(7);
    for _ in 0..1_500 {
        let (flitches, wanted) = random_case(&mut dice, 0, true);
        compare(&flitches, &wanted);
    }
}

#[test]
fn random_cases_with_windows_that_step_over_leaves_equal_exhaustive_search() {
    let mut dice = Dice(11);
    for _ in 0..1_500 {
        let (flitches, wanted) = random_case(&mut dice, 3, true);
        compare(&flitches, &wanted);
    }
}

#[test]
fn random_cases_that_step_over_leaves_equal_exhaustive_search() {
    let mut dice = Dice(13);
    for _ in 0..1_500 {
        let (flitches, wanted) = random_case(&mut dice, 5, false);
        compare(&flitches, &wanted);
    }
}

#[test]
fn two_sets_are_woven_into_each_other_where_only_every_other_leaf_shares_a_window() {
    let defect = |left: i64| Rect {
        left: nm(left),
        butt: nm(0),
        across: nm(2),
        along: nm(6),
    };
    let leaves = (1..=6).map(|number| Leaf {
        number,
        size: (nm(4), nm(6)),
        defects: vec![defect(if number % 2 == 0 { 0 } else { 2 })],
    });
    let flitch = Flitch {
        name: "a".to_owned(),
        leaves: leaves.collect(),
    };
    let wanted = Wanted {
        skip: 1,
        clear: Some((nm(2), nm(6))),
        ..sets(&[3, 3])
    };
    let found = cut(std::slice::from_ref(&flitch), &wanted);
    let leaves: Vec<&[u32]> = found
        .filled
        .iter()
        .map(|set| set.leaves.as_slice())
        .collect();
    assert_eq!(leaves, [[1, 3, 5], [2, 4, 6]]);
    assert_eq!(
        cut(&[flitch], &Wanted { skip: 0, ..wanted }).filled.len(),
        0
    );
}

#[test]
fn a_leaf_without_a_window_of_its_own_is_not_clear_and_neither_in_a_set_nor_spare() {
    let mut flitch = plain("a", &[1, 2, 3]);
    flitch.leaves[1].defects.push(Rect {
        left: nm(2),
        butt: nm(2),
        across: nm(2),
        along: nm(2),
    });
    let found = cut(
        &[flitch],
        &Wanted {
            clear: Some((nm(3), nm(5))),
            ..sets(&[2])
        },
    );
    assert_eq!(found.not_clear, [("a".to_owned(), 2)]);
    assert_eq!(found.filled.len(), 0);
    assert_eq!(found.spare.len(), 2);
}

fn shuffled_case() -> impl Strategy<Value = (Vec<Flitch>, Vec<Flitch>, Wanted)> {
    (1_u64..u64::MAX, 0_i64..3, prop::bool::ANY).prop_flat_map(|(seed, skip, clear)| {
        let (flitches, wanted) = random_case(&mut Dice(seed), skip, clear);
        let mut mixed = flitches.clone();
        for flitch in &mut mixed {
            flitch.leaves.reverse();
            flitch
                .leaves
                .iter_mut()
                .for_each(|leaf| leaf.defects.reverse());
        }
        (Just(flitches), Just(mixed).prop_shuffle(), Just(wanted))
    })
}

proptest! {
    #[test]
    fn the_order_of_flitches_leaves_and_defects_changes_nothing((flitches, mixed, wanted) in shuffled_case()) {
        prop_assert_eq!(cut(&flitches, &wanted), cut(&mixed, &wanted));
    }

    #[test]
    fn the_order_of_the_wanted_sets_changes_only_their_places((flitches, _, wanted) in shuffled_case()) {
        let mut turned = wanted.clone();
        turned.sets.reverse();
        let leaves = |cut: &Cut| {
            let mut all: Vec<_> = cut.filled.iter().map(|set| (set.flitch.clone(), set.leaves.clone())).collect();
            all.sort();
            all
        };
        let (one, other) = (cut(&flitches, &wanted), cut(&flitches, &turned));
        prop_assert_eq!(leaves(&one), leaves(&other));
        prop_assert_eq!(one.spare, other.spare);
    }

    #[test]
    fn no_leaf_is_used_twice_and_every_window_is_clear((flitches, _, wanted) in shuffled_case()) {
        let wrong = faults(&flitches, &wanted, &cut(&flitches, &wanted));
        prop_assert!(wrong.is_empty(), "{:?}", wrong);
    }
}

/// The same case as `case` in tests/reference/sequence_sets.py.
fn reference_case(seed: u64, windows: bool) -> (Vec<Flitch>, Wanted) {
    let mut dice = Dice(seed * 7_919 + 12_345);
    for _ in 0..8 {
        dice.roll(0, 1);
    }
    let mut flitches = Vec::new();
    for index in 0..dice.roll(2, 5) {
        let mut number = 0;
        let mut leaves = Vec::new();
        for _ in 0..dice.roll(6, 24) {
            number += if dice.roll(0, 5) == 0 {
                u32::try_from(dice.roll(2, 3)).unwrap()
            } else {
                1
            };
            let mut size = (nm(48), nm(96));
            let mut defects = Vec::new();
            if windows {
                size = (nm(dice.roll(46, 48)), nm(dice.roll(94, 96)));
                for _ in 0..dice.roll(0, 3) {
                    let (left, butt) = (nm(dice.roll(0, 46)), nm(dice.roll(0, 90)));
                    let (across, along) = (nm(dice.roll(1, 6)), nm(dice.roll(1, 20)));
                    defects.push(Rect {
                        left,
                        butt,
                        across,
                        along,
                    });
                }
            }
            leaves.push(Leaf {
                number,
                size,
                defects,
            });
        }
        flitches.push(Flitch {
            name: format!("f{index}"),
            leaves,
        });
    }
    let low = dice.roll(2, 5);
    let high = low + dice.roll(1, 5);
    let sets = (0..dice.roll(4, 16))
        .map(|_| u32::try_from(dice.roll(low, high)).unwrap())
        .collect();
    let one_flitch = dice.roll(0, 5) == 0;
    let clear = windows.then(|| (nm(dice.roll(12, 30)), nm(dice.roll(30, 70))));
    (
        flitches,
        Wanted {
            sets,
            skip: 0,
            one_flitch,
            clear,
        },
    )
}

/// Answers of OR-tools 9.15 CP-SAT: `python3 tests/reference/sequence_sets.py > tests/reference/sequence_sets.json`.
fn equals_the_general_solver(name: &str, windows: bool) {
    let answers: BTreeMap<String, Vec<Score>> =
        serde_json::from_str(include_str!("../reference/sequence_sets.json")).unwrap();
    assert_eq!(answers[name].len(), 200);
    for (seed, answer) in (1_u64..).zip(&answers[name]) {
        let (flitches, wanted) = reference_case(seed, windows);
        let found = cut(&flitches, &wanted);
        assert!(found.proven, "seed {seed}");
        assert_eq!(score(&found), *answer, "seed {seed}");
        let wrong = faults(&flitches, &wanted, &found);
        assert!(wrong.is_empty(), "seed {seed}: {wrong:?}");
    }
}

#[test]
fn two_hundred_larger_cases_without_windows_equal_a_general_solver() {
    equals_the_general_solver("plain", false);
}

#[test]
fn two_hundred_larger_cases_with_windows_equal_a_general_solver() {
    equals_the_general_solver("windows", true);
}

#[test]
fn thousands_of_short_runs_are_cut_without_running_out_of_stack() {
    let numbers: Vec<u32> = (1..=9_000).filter(|number| number % 5 != 0).collect();
    let flitch = plain("a", &numbers);
    let sizes: Vec<u32> = std::iter::repeat_n(3, 1_000)
        .chain(std::iter::repeat_n(2, 1_999))
        .collect();
    let found = cut(std::slice::from_ref(&flitch), &sets(&sizes));
    assert_eq!(
        faults(std::slice::from_ref(&flitch), &sets(&sizes), &found),
        Vec::<String>::new()
    );
    // Two sets of two or one of three in a run of four: 1,800 runs hold 1,999 twos in 1,000 runs and 800 threes.
    assert_eq!(found.filled.len(), 2_799);
}
