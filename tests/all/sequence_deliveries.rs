//! Whole deliveries cut into 200 sets, against a general solver. Small cases and windows are in `sequence_sets`.

use std::collections::{BTreeMap, BTreeSet};

use asordered::check::sequence::leaves::{Flitch, Leaf};
use asordered::check::sequence::sets::{Wanted, cut};
use asordered::model::length::Length;

use crate::sequence_dice::Dice;

/// The same delivery as `case` in tests/reference/sequence_deliveries.py.
fn delivery(seed: u64, low: i64, high: i64, gap: i64) -> (Vec<Flitch>, Wanted) {
    let mut dice = Dice(seed * 7_919 + 12_345);
    for _ in 0..10 {
        dice.roll(0, 1);
    }
    let flitches = (0..40).map(|flitch| {
        let mut number = 0;
        let leaves = (0..dice.roll(30, 70)).map(|_| {
            let missing = gap > 0 && dice.roll(1, gap) == 1;
            number += if missing { 2 } else { 1 };
            Leaf {
                number,
                size: (Length::from_nm(1), Length::from_nm(1)),
                defects: Vec::new(),
            }
        });
        Flitch {
            leaves: leaves.collect(),
            name: format!("{flitch:02}"),
        }
    });
    let flitches = flitches.collect();
    let sets = (0..200).map(|_| u32::try_from(dice.roll(low, high)).unwrap());
    let wanted = Wanted {
        sets: sets.collect(),
        ..Wanted::default()
    };
    (flitches, wanted)
}

/// Answers of HiGHS as it comes with scipy 1.17: `python3 tests/reference/sequence_deliveries.py > tests/reference/sequence_deliveries.json`.
#[test]
fn deliveries_of_2000_leaves_are_cut_as_a_general_solver_cuts_them_and_proven() {
    type Answers = BTreeMap<String, Vec<Option<(usize, usize, usize)>>>;
    let answers: Answers =
        serde_json::from_str(include_str!("../reference/sequence_deliveries.json")).unwrap();
    let mut compared = 0;
    for (mix, answers) in answers {
        let numbers: Vec<i64> = mix
            .split(['-', '/'])
            .map(|number| number.parse().unwrap())
            .collect();
        for (seed, answer) in (1..).zip(answers) {
            let Some(answer) = answer else { continue };
            let (flitches, wanted) = delivery(seed, numbers[0], numbers[1], numbers[2]);
            let found = cut(&flitches, &wanted);
            let used: BTreeSet<&str> = found.filled.iter().map(|set| set.flitch.as_str()).collect();
            let spare = found.spare.iter().map(|run| run.leaves.len()).max();
            let score = (found.filled.len(), used.len(), spare.unwrap_or(0));
            assert_eq!(score, answer, "{mix}, seed {seed}");
            assert!(found.most_proven && found.proven, "{mix}, seed {seed}");
            compared += 1;
        }
    }
    assert!(compared >= 10, "{compared}");
}
