//! The common window against a fine grid and a second method.

use asordered::check::sequence::leaves::Leaf;
use asordered::check::sequence::window::{Window, common_window, is_clear, reach};
use asordered::model::length::Length;
use asordered::model::rect::Rect;

use crate::sequence_dice::Dice;

fn nm(nm: i64) -> Length {
    Length::from_nm(nm)
}

/// A lot of leaves with defects anywhere, also over their edges and without extent.
fn leaves(dice: &mut Dice) -> (Vec<Leaf>, (Length, Length)) {
    let count = dice.roll(1, 5);
    let most = dice.roll(0, 6);
    let leaves = (0..count).map(|number| Leaf {
        number: u32::try_from(number).unwrap() + 1,
        size: (nm(dice.roll(14, 20)), nm(dice.roll(20, 30))),
        defects: (0..dice.roll(0, most))
            .map(|_| Rect {
                left: nm(dice.roll(-2, 19)),
                butt: nm(dice.roll(-2, 29)),
                across: nm(dice.roll(0, 5)),
                along: nm(dice.roll(0, 9)),
            })
            .collect(),
    });
    let leaves = leaves.collect();
    (leaves, (nm(dice.roll(3, 14)), nm(dice.roll(4, 24))))
}

/// Every whole position, by the rule as it is worded: no inner point of the window is in a defect.
fn on_the_grid(clear: (Length, Length), leaves: &[Leaf]) -> Option<Window> {
    for butt in 0..=30 {
        for left in 0..=20 {
            let (right, top) = (left + clear.0.nm(), butt + clear.1.nm());
            let fits = leaves.iter().all(|leaf| {
                right <= leaf.size.0.nm()
                    && top <= leaf.size.1.nm()
                    && leaf.defects.iter().all(|defect| {
                        let (far, end) = (defect.left + defect.across, defect.butt + defect.along);
                        !(defect.left.nm() < right
                            && far.nm() > left
                            && defect.butt.nm() < top
                            && end.nm() > butt)
                    })
            });
            if fits {
                return Some(Window {
                    left: nm(left),
                    butt: nm(butt),
                });
            }
        }
    }
    None
}

/// A second method: cuts the free positions into rectangles, one defect after another.
fn by_subtraction(clear: (Length, Length), leaves: &[Leaf]) -> Option<Window> {
    let room = |side: fn(&Leaf) -> Length| leaves.iter().map(|leaf| side(leaf).nm()).min().unwrap();
    let (across, along) = (
        room(|leaf| leaf.size.0) - clear.0.nm(),
        room(|leaf| leaf.size.1) - clear.1.nm(),
    );
    // Closed boxes of free positions: left, right, butt, top.
    let mut boxes = if across < 0 || along < 0 {
        Vec::new()
    } else {
        vec![[0, across, 0, along]]
    };
    for defect in leaves.iter().flat_map(|leaf| &leaf.defects) {
        let taken = [
            (defect.left - clear.0).nm(),
            (defect.left + defect.across).nm(),
            (defect.butt - clear.1).nm(),
            (defect.butt + defect.along).nm(),
        ];
        boxes = boxes
            .into_iter()
            .flat_map(|free| {
                [
                    [free[0], free[1].min(taken[0]), free[2], free[3]],
                    [free[0].max(taken[1]), free[1], free[2], free[3]],
                    [free[0], free[1], free[2], free[3].min(taken[2])],
                    [free[0], free[1], free[2].max(taken[3]), free[3]],
                ]
            })
            .filter(|free| free[0] <= free[1] && free[2] <= free[3])
            .collect();
        boxes.sort_unstable();
        boxes.dedup();
    }
    boxes
        .iter()
        .map(|free| (free[2], free[0]))
        .min()
        .map(|(butt, left)| Window {
            left: nm(left),
            butt: nm(butt),
        })
}

#[test]
fn the_window_is_the_first_that_a_fine_grid_and_a_second_method_find() {
    let mut dice = Dice(3);
    let mut fits = 0;
    for _ in 0..4_000 {
        let (leaves, clear) = leaves(&mut dice);
        let found = common_window(clear, &leaves.iter().collect::<Vec<&Leaf>>());
        assert_eq!(found, on_the_grid(clear, &leaves), "{clear:?} {leaves:?}");
        assert_eq!(
            found,
            by_subtraction(clear, &leaves),
            "{clear:?} {leaves:?}"
        );
        if let Some(window) = found {
            fits += 1;
            assert!(leaves.iter().all(|leaf| is_clear(clear, window, leaf)));
        }
    }
    assert!(
        (1_000..3_500).contains(&fits),
        "{fits} of 4,000 fit, so the cases say little"
    );
}

#[test]
fn a_window_may_touch_the_defect_and_the_edge() {
    let defect = Rect {
        left: nm(4),
        butt: nm(0),
        across: nm(2),
        along: nm(10),
    };
    let leaf = |across: i64| Leaf {
        number: 1,
        size: (nm(across), nm(10)),
        defects: vec![defect],
    };
    let clear = (nm(4), nm(10));
    assert_eq!(
        common_window(clear, &[&leaf(10)]),
        Some(Window {
            left: nm(0),
            butt: nm(0)
        })
    );
    assert_eq!(
        common_window((nm(5), nm(10)), &[&leaf(11)]),
        Some(Window {
            left: nm(6),
            butt: nm(0)
        })
    );
    assert_eq!(common_window((nm(5), nm(10)), &[&leaf(10)]), None);
}

#[test]
fn the_window_is_never_turned() {
    let leaf = Leaf {
        number: 1,
        size: (nm(10), nm(20)),
        defects: Vec::new(),
    };
    assert_eq!(common_window((nm(20), nm(10)), &[&leaf]), None);
}

#[test]
fn leaves_that_each_have_a_window_may_have_none_in_common() {
    let leaf = |left: i64| Leaf {
        number: 1,
        size: (nm(10), nm(10)),
        defects: vec![Rect {
            left: nm(left),
            butt: nm(0),
            across: nm(5),
            along: nm(10),
        }],
    };
    let (one, other) = (leaf(0), leaf(5));
    let clear = (nm(5), nm(10));
    assert!(common_window(clear, &[&one]).is_some() && common_window(clear, &[&other]).is_some());
    assert_eq!(common_window(clear, &[&one, &other]), None);
}

#[test]
fn the_reach_of_each_leaf_is_the_longest_stretch_with_a_common_window() {
    let mut dice = Dice(5);
    for _ in 0..1_000 {
        let (leaves, clear) = leaves(&mut dice);
        let leaves: Vec<&Leaf> = leaves.iter().collect();
        let longest = usize::try_from(dice.roll(1, 5)).unwrap();
        let expected: Vec<usize> = (0..leaves.len())
            .map(|start| {
                (start..leaves.len().min(start + longest))
                    .take_while(|last| common_window(clear, &leaves[start..=*last]).is_some())
                    .map(|last| last + 1)
                    .last()
                    .unwrap_or(start)
            })
            .collect();
        assert_eq!(reach(clear, &leaves, longest), expected);
    }
}
