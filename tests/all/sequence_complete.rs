//! What would complete the sets, against trying every choice of missing leaves.

use std::collections::BTreeSet;

use asordered::check::sequence::complete::{Completion, complete};
use asordered::check::sequence::leaves::{Flitch, Leaf};
use asordered::check::sequence::sets::{Wanted, cut};
use asordered::model::length::Length;
use asordered::model::rect::Rect;

use crate::sequence_dice::Dice;

fn nm(nm: i64) -> Length {
    Length::from_nm(nm)
}

fn clear_leaf(number: u32) -> Leaf {
    Leaf {
        number,
        size: (nm(100), nm(100)),
        defects: Vec::new(),
    }
}

fn plain(name: &str, numbers: &[u32]) -> Flitch {
    Flitch {
        name: name.to_owned(),
        leaves: numbers.iter().map(|number| clear_leaf(*number)).collect(),
    }
}

fn sets(sets: &[u32]) -> Wanted {
    Wanted {
        sets: sets.to_vec(),
        ..Wanted::default()
    }
}

/// The ways as flitch and numbers, and the whole sets.
fn ways(
    flitches: &[Flitch],
    turned_down: &[(String, Vec<u32>)],
    wanted: &Wanted,
) -> Vec<Vec<(String, Vec<u32>)>> {
    let found = complete(flitches, turned_down, wanted, &cut(flitches, wanted));
    assert!(!found.bounded);
    found.ways.into_iter().map(|way| way.leaves).collect()
}

fn one(flitch: &str, leaves: &[u32]) -> Vec<(String, Vec<u32>)> {
    vec![(flitch.to_owned(), leaves.to_vec())]
}

#[test]
fn leaves_14_to_17_and_21_to_22_are_completed_to_two_fours_by_23_and_24_or_by_19_and_20() {
    let flitch = plain("3318", &[14, 15, 16, 17, 21, 22]);
    let found = ways(&[flitch], &[], &sets(&[4, 4]));
    assert_eq!(found, [one("3318", &[23, 24]), one("3318", &[19, 20])]);
}

#[test]
fn a_leaf_that_came_and_was_turned_down_is_not_asked_for_again() {
    let flitch = plain("3318", &[14, 15, 16, 17, 21, 22]);
    let found = ways(&[flitch], &[("3318".to_owned(), vec![23])], &sets(&[4, 4]));
    assert_eq!(found, [one("3318", &[19, 20])]);
}

#[test]
fn numbers_below_1_are_not_asked_for() {
    assert_eq!(
        ways(&[plain("a", &[1, 2])], &[], &sets(&[3])),
        [one("a", &[3])]
    );
}

#[test]
fn nothing_is_asked_for_where_every_set_is_filled() {
    let flitches = [plain("a", &[1, 2, 3])];
    let found = complete(&flitches, &[], &sets(&[3]), &cut(&flitches, &sets(&[3])));
    assert!(found.ways.is_empty() && found.new_sets.is_empty());
}

#[test]
fn where_no_leaf_can_help_only_whole_sets_are_asked_for() {
    let flitches = [plain("a", &[1, 2, 3])];
    let found = complete(
        &flitches,
        &[],
        &sets(&[3, 5]),
        &cut(&flitches, &sets(&[3, 5])),
    );
    // 3 leaves are in the set of 3; but a set of 5 from 1-3 with 4-5, and 3 new ones, costs no more than 5 new ones.
    assert_eq!(found.new_sets, [5]);
    assert!(found.ways.iter().all(|way| !way.leaves.is_empty()));
    let none = complete(&[], &[], &sets(&[4]), &cut(&[], &sets(&[4])));
    assert_eq!((none.ways.len(), none.new_sets), (0, vec![4]));
}

#[test]
fn sets_from_one_flitch_are_completed_in_one_flitch_or_sent_anew_together() {
    let flitches = [plain("a", &[1, 2, 3, 4, 5]), plain("b", &[1, 2, 3, 4])];
    let wanted = Wanted {
        one_flitch: true,
        ..sets(&[4, 4])
    };
    let found = complete(&flitches, &[], &wanted, &cut(&flitches, &wanted));
    assert_eq!(found.ways[0].leaves, one("a", &[6, 7, 8]));
    assert_eq!(found.new_sets, [4, 4]);
}

fn with_leaves(flitches: &[Flitch], way: &Completion) -> Vec<Flitch> {
    let mut more = flitches.to_vec();
    for (name, leaves) in &way.leaves {
        let flitch = more.iter_mut().find(|flitch| flitch.name == *name).unwrap();
        flitch
            .leaves
            .extend(leaves.iter().map(|leaf| clear_leaf(*leaf)));
    }
    more
}

struct Case {
    flitches: Vec<Flitch>,
    turned_down: Vec<(String, Vec<u32>)>,
    wanted: Wanted,
}

fn case(dice: &mut Dice) -> Case {
    let windows = dice.roll(0, 2) == 0;
    let skip = if windows {
        0
    } else {
        u32::try_from(dice.roll(0, 2)).unwrap()
    };
    let mut turned_down = Vec::new();
    let flitches = (0..dice.roll(1, 2)).map(|index| {
        let name = format!("f{index}");
        let mut leaves = Vec::new();
        let mut bad = Vec::new();
        for number in 1..=6 {
            match dice.roll(0, 5) {
                0 | 1 => {}
                2 => bad.push(number),
                _ => {
                    let defect = Rect {
                        left: nm(dice.roll(0, 9) * 10),
                        butt: nm(0),
                        across: nm(20),
                        along: nm(100),
                    };
                    let defects = if windows { vec![defect] } else { Vec::new() };
                    leaves.push(Leaf {
                        defects,
                        ..clear_leaf(number)
                    });
                }
            }
        }
        turned_down.push((name.clone(), bad));
        Flitch { name, leaves }
    });
    let flitches = flitches.collect();
    let sets = (0..dice.roll(1, 3))
        .map(|_| u32::try_from(dice.roll(2, 4)).unwrap())
        .collect();
    let clear = windows.then_some((nm(40), nm(50)));
    Case {
        flitches,
        turned_down,
        wanted: Wanted {
            sets,
            skip,
            one_flitch: dice.roll(0, 4) == 0,
            clear,
        },
    }
}

#[test]
fn the_leaves_asked_for_really_fill_the_sets() {
    let mut dice = Dice(17);
    let mut completed = 0;
    for _ in 0..3_000 {
        let Case {
            flitches,
            turned_down,
            wanted,
        } = case(&mut dice);
        let before = cut(&flitches, &wanted);
        for way in complete(&flitches, &turned_down, &wanted, &before).ways {
            let mut rest = wanted.clone();
            for size in &way.whole_sets {
                let at = rest.sets.iter().position(|wanted| wanted == size).unwrap();
                rest.sets.remove(at);
            }
            let after = cut(&with_leaves(&flitches, &way), &rest);
            assert!(
                after.unfilled.is_empty(),
                "{flitches:?}\n{wanted:?}\n{way:?}"
            );
            completed += 1;
        }
    }
    assert!(completed > 1_000, "only {completed} ways were tried");
}

/// How many unbroken pieces the chosen numbers are in.
fn pieces(chosen: &[(usize, u32)]) -> usize {
    let set: BTreeSet<&(usize, u32)> = chosen.iter().collect();
    chosen
        .iter()
        .filter(|(flitch, number)| !set.contains(&(*flitch, number.wrapping_sub(1))))
        .count()
}

/// All choices of `count` of the candidates.
fn choices(candidates: &[(usize, u32)], count: usize) -> Vec<Vec<(usize, u32)>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let Some((last, rest)) = candidates.split_last() else {
        return Vec::new();
    };
    let mut all = choices(rest, count);
    all.extend(choices(rest, count - 1).into_iter().map(|mut choice| {
        choice.push(*last);
        choice
    }));
    all
}

#[test]
fn the_ways_are_exactly_the_smallest_choices_in_the_fewest_pieces() {
    let mut dice = Dice(19);
    let mut compared = 0;
    while compared < 250 {
        let Case {
            flitches,
            turned_down,
            wanted,
        } = case(&mut dice);
        let before = cut(&flitches, &wanted);
        let found = complete(&flitches, &turned_down, &wanted, &before);
        let Some(way) = found.ways.first() else {
            continue;
        };
        let count: usize = way.leaves.iter().map(|(_, leaves)| leaves.len()).sum();
        if found.bounded
            || found.more
            || count > 3
            || found.ways.iter().any(|way| !way.whole_sets.is_empty())
        {
            continue;
        }
        let mut candidates = Vec::new();
        for (index, flitch) in flitches.iter().enumerate() {
            let came: Vec<u32> = flitch
                .leaves
                .iter()
                .map(|leaf| leaf.number)
                .chain(turned_down[index].1.iter().copied())
                .collect();
            candidates.extend(
                (1..=14)
                    .filter(|number| !came.contains(number))
                    .map(|number| (index, number)),
            );
        }
        let complete_with = |choice: &[(usize, u32)]| {
            let mut more = flitches.clone();
            for (flitch, number) in choice {
                more[*flitch].leaves.push(clear_leaf(*number));
            }
            cut(&more, &wanted).unfilled.is_empty()
        };
        for fewer in 0..count {
            let better = choices(&candidates, fewer)
                .into_iter()
                .find(|choice| complete_with(choice));
            assert_eq!(better, None, "{flitches:?}\n{wanted:?}\n{found:?}");
        }
        if wanted.sets.iter().any(|size| *size as usize <= count) {
            // As many leaves as a whole set: any numbers at all would do.
            continue;
        }
        let mut good: Vec<Vec<(usize, u32)>> = choices(&candidates, count)
            .into_iter()
            .filter(|choice| complete_with(choice))
            .collect();
        let fewest = good.iter().map(|choice| pieces(choice)).min().unwrap();
        good.retain(|choice| pieces(choice) == fewest);
        let expected: BTreeSet<Vec<(usize, u32)>> = good.into_iter().collect();
        let told: BTreeSet<Vec<(usize, u32)>> = found
            .ways
            .iter()
            .map(|way| {
                way.leaves
                    .iter()
                    .flat_map(|(name, leaves)| {
                        let index = flitches
                            .iter()
                            .position(|flitch| flitch.name == *name)
                            .unwrap();
                        leaves.iter().map(move |leaf| (index, *leaf))
                    })
                    .collect()
            })
            .collect();
        assert_eq!(told, expected, "{flitches:?}\n{turned_down:?}\n{wanted:?}");
        compared += 1;
    }
}

#[test]
fn many_missing_sets_are_completed_step_by_step_and_it_says_so() {
    let numbers: Vec<u32> = (1..=600).filter(|number| number % 4 != 0).collect();
    let flitches = [plain("a", &numbers)];
    let wanted = sets(&[2, 3, 4, 5, 6, 7, 8].repeat(20));
    let before = cut(&flitches, &wanted);
    let found = complete(&flitches, &[], &wanted, &before);
    assert!(found.bounded);
    let after = cut(&with_leaves(&flitches, &found.ways[0]), &wanted);
    assert!(after.filled.len() > before.filled.len());
}

#[test]
fn a_leaf_missing_in_each_of_thousands_of_runs_is_asked_for_in_a_few_ways_and_it_says_so() {
    let numbers: Vec<u32> = (1..=5_000).filter(|number| number % 4 != 0).collect();
    let flitches = [plain("a", &numbers)];
    let found = complete(&flitches, &[], &sets(&[4]), &cut(&flitches, &sets(&[4])));
    assert!(found.more && !found.bounded);
    assert_eq!(found.ways[0].leaves, one("a", &[5_000]));
    assert!(found.ways.iter().all(|way| way.leaves[0].1.len() == 1));
}

#[test]
fn senseless_sizes_and_numbers_are_answered_and_not_run_into_the_ground() {
    let flitches = [plain("a", &[1, u32::MAX - 1, u32::MAX])];
    for size in [3, 100, 1_000_000, u32::MAX] {
        for skip in [0, u32::MAX] {
            let wanted = Wanted {
                skip,
                ..sets(&[size, size])
            };
            let before = cut(&flitches, &wanted);
            assert_eq!(
                complete(&flitches, &[], &wanted, &before).new_sets.len(),
                before.unfilled.len()
            );
        }
    }
}
