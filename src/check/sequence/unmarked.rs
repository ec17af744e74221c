//! Puts unmarked leaves in order by their figure: a landmark's distance from the butt end drifts a little from leaf to
//! leaf, and a landmark lives in one unbroken run of leaves. Evidence, not proof. Does not cut sets.

mod distance;
mod path;

use std::collections::BTreeMap;

use crate::check::sequence::unmarked::distance::{Table, is_present};
use crate::check::sequence::unmarked::path::shortest;
use crate::model::length::Length;

/// The most leaves that are put in order exactly; more are put in order by search.
pub const EXACT: usize = 16;

/// What is known of one leaf.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FiguredLeaf {
    /// Its number, where it is marked.
    pub number: Option<u32>,
    /// Each landmark looked for: its distance from the butt end, or `None` where the leaf does not show it. A landmark
    /// that was not looked for has no entry.
    pub figure: BTreeMap<String, Option<Length>>,
}

/// How steps are judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Drift {
    /// The most that a landmark may move from one leaf to the next; learned from the leaves where `None`.
    pub tolerance: Option<Length>,
    /// How finely distances were read: leaves that differ by no more cannot be told apart.
    pub reading: Length,
}

/// A step between neighbours that is too large for one leaf, or of which nothing is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Break {
    /// The place in the order after which it lies, counted from 0.
    pub after: usize,
    /// The landmark that moved most, how far, and how far it usually moves; `None` where the two leaves show no landmark
    /// in common.
    pub moved: Option<Moved>,
    /// About how many leaves are missing there, by the size of the step; `None` where that cannot be told.
    pub missing: Option<u32>,
}

/// How far a landmark moved between two leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// The landmark.
    pub landmark: String,
    /// How far it moved.
    pub step: Length,
    /// How far it usually moves from leaf to leaf.
    pub usual: Length,
}

/// How sure the order is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Confidence {
    /// The figure leaves little doubt.
    Clear,
    /// The figure fits this order best, with some room for doubt.
    Likely,
    /// The figure says little; the order is a first guess.
    Weak,
}

/// Why the order is no surer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// Fewer than three leaves can be placed.
    FewLeaves,
    /// So many neighbours show no landmark in common.
    NothingInCommon(usize),
    /// So many neighbours show only one landmark in common.
    OneInCommon(usize),
    /// A landmark ends and comes back so many times.
    ComesBack(String, usize),
    /// A landmark turns back so many times, of so many steps.
    TurnsBack(String, usize, usize),
    /// So many leaves cannot be told from a neighbour.
    Alike(usize),
    /// So many distances were not measured, of so many.
    NotMeasured(usize, usize),
    /// There are too many leaves to try every order.
    NotEveryOrder,
    /// So many marked leaves do not fit in this order.
    MarksDiffer(usize),
}

/// Leaves in order, as far as the figure tells. Leaves are named by their place in the input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// The leaves in order.
    pub order: Vec<usize>,
    /// Leaves of whose figure nothing is known; they are not in the order.
    pub unplaced: Vec<usize>,
    /// Where the order is broken: no run goes across.
    pub breaks: Vec<Break>,
    /// Groups of neighbours that cannot be told apart.
    pub alike: Vec<Vec<usize>>,
    /// Whether marks tell which end comes first; where they do not, the order may as well be the other way round.
    pub direction_known: bool,
    /// Marked leaves whose numbers do not rise along the order with the others.
    pub contradicted: Vec<usize>,
    /// How sure the order is.
    pub confidence: Confidence,
    /// Why it is no surer; empty where it is clear.
    pub reasons: Vec<Reason>,
}

impl Confidence {
    /// Returns the word for it.
    pub fn word(self) -> &'static str {
        match self {
            Confidence::Clear => "clear",
            Confidence::Likely => "likely",
            Confidence::Weak => "weak",
        }
    }
}

impl Order {
    /// Returns the runs: the order cut at its breaks.
    pub fn runs(&self) -> Vec<Vec<usize>> {
        let mut runs = Vec::new();
        let mut from = 0;
        for stop in self
            .breaks
            .iter()
            .map(|gap| gap.after + 1)
            .chain([self.order.len()])
        {
            if stop > from {
                runs.push(self.order[from..stop].to_vec());
                from = stop;
            }
        }
        runs
    }
}

/// Puts the leaves in order. Exact for up to [`EXACT`] leaves under this measure: what every landmark moves between
/// neighbours that both show it, and for each time a landmark ends or comes back more than the most it could move.
///
/// Where a landmark drifts one way and readings are off by less than a third of a step, the true order has the least of
/// both, so it is found (or its reverse).
pub fn order(leaves: &[FiguredLeaf], drift: Drift) -> Order {
    // Work on leaves in an order that depends on nothing but themselves.
    let mut placed: Vec<usize> = (0..leaves.len())
        .filter(|leaf| !leaves[*leaf].figure.is_empty())
        .collect();
    placed.sort_by_cached_key(|leaf| (leaves[*leaf].figure.clone(), leaves[*leaf].number));
    let unplaced = (0..leaves.len())
        .filter(|leaf| leaves[*leaf].figure.is_empty())
        .collect();
    let sorted: Vec<&FiguredLeaf> = placed.iter().map(|leaf| &leaves[*leaf]).collect();
    let table = Table::new(&sorted);
    let mut path = shortest(&table.between, &table.ends);
    let (direction_known, contradicted) = direct(&sorted, &mut path);
    let judged = Judged {
        leaves: &sorted,
        table: &table,
        path: &path,
        drift,
    };
    let breaks = judged.breaks();
    let alike = judged.alike();
    let reasons = judged.reasons(&breaks, &alike, contradicted.len());
    let confidence = confidence(&reasons);
    let named = |group: Vec<usize>| {
        group
            .into_iter()
            .map(|leaf| placed[leaf])
            .collect::<Vec<usize>>()
    };
    Order {
        breaks,
        alike: alike.into_iter().map(named).collect(),
        contradicted: named(contradicted),
        order: named(path.clone()),
        unplaced,
        direction_known,
        confidence,
        reasons,
    }
}

/// How sure an order can be for which all this is true. Landmarks that turn back are taken together: a quarter of all
/// steps is about where neighbours begin to be mistaken.
fn confidence(reasons: &[Reason]) -> Confidence {
    let (mut sure, mut all_turns, mut all_steps) = (Confidence::Clear, 0, 0);
    for reason in reasons {
        let most = match reason {
            Reason::FewLeaves
            | Reason::NothingInCommon(_)
            | Reason::ComesBack(..)
            | Reason::MarksDiffer(_) => Confidence::Weak,
            Reason::TurnsBack(_, turns, steps) => {
                all_turns += turns;
                all_steps += steps;
                Confidence::Likely
            }
            Reason::OneInCommon(_) | Reason::Alike(_) | Reason::NotMeasured(..) => {
                Confidence::Likely
            }
            Reason::NotEveryOrder => Confidence::Clear,
        };
        sure = sure.max(most);
    }
    if all_turns * 4 > all_steps {
        Confidence::Weak
    } else {
        sure
    }
}

/// Turns the path so that marked numbers rise, and returns whether they tell the direction and which do not fit.
fn direct(leaves: &[&FiguredLeaf], path: &mut [usize]) -> (bool, Vec<usize>) {
    let rising = |path: &[usize]| {
        let marked: Vec<(usize, u32)> = path
            .iter()
            .filter_map(|leaf| leaves[*leaf].number.map(|number| (*leaf, number)))
            .collect();
        longest_rise(&marked)
    };
    let one_way = rising(path);
    path.reverse();
    let other_way = rising(path);
    let known = one_way.len() != other_way.len();
    let forward = if known {
        one_way.len() > other_way.len()
    } else {
        path.first() > path.last()
    };
    let fits = if forward {
        path.reverse();
        one_way
    } else {
        other_way
    };
    let differs = path
        .iter()
        .copied()
        .filter(|leaf| leaves[*leaf].number.is_some() && !fits.contains(leaf))
        .collect();
    (known, differs)
}

/// The most leaves whose numbers rise along the order.
fn longest_rise(marked: &[(usize, u32)]) -> Vec<usize> {
    let mut best: Vec<(usize, Option<usize>)> = Vec::new();
    for (place, (_, number)) in marked.iter().enumerate() {
        let before = (0..place)
            .filter(|other| marked[*other].1 < *number)
            .max_by_key(|other| (best[*other].0, *other));
        best.push((before.map_or(1, |other| best[other].0 + 1), before));
    }
    let mut at = (0..best.len()).max_by_key(|place| best[*place].0);
    let mut rise = Vec::new();
    while let Some(place) = at {
        rise.push(marked[place].0);
        at = best[place].1;
    }
    rise
}

struct Judged<'a> {
    leaves: &'a [&'a FiguredLeaf],
    table: &'a Table,
    path: &'a [usize],
    drift: Drift,
}

impl Judged<'_> {
    /// The landmarks that two leaves both show, and how far each moves.
    fn steps(&self, place: usize) -> Vec<(&str, i64)> {
        let (one, other) = (
            self.leaves[self.path[place]],
            self.leaves[self.path[place + 1]],
        );
        let both = one.figure.iter().filter_map(|(landmark, at)| {
            let (at, next) = ((*at)?, (*other.figure.get(landmark)?)?);
            Some((landmark.as_str(), (next - at).nm()))
        });
        both.collect()
    }

    fn pairs(&self) -> std::ops::Range<usize> {
        0..self.path.len().saturating_sub(1)
    }

    /// How far each landmark usually moves: the median.
    fn usual(&self) -> BTreeMap<&str, i64> {
        let mut steps: BTreeMap<&str, Vec<i64>> = BTreeMap::new();
        for place in self.pairs() {
            for (landmark, step) in self.steps(place) {
                steps.entry(landmark).or_default().push(step.abs());
            }
        }
        steps
            .into_iter()
            .map(|(landmark, steps)| (landmark, median(steps)))
            .collect()
    }

    /// Each step as a multiple of the usual one, over all the landmarks in common, in thousandths.
    fn stretch(&self, usual: &BTreeMap<&str, i64>) -> Vec<Option<i64>> {
        let stretch = |place| {
            let steps = self.steps(place);
            let moved: i128 = steps.iter().map(|(_, step)| i128::from(step.abs())).sum();
            let expected: i128 = steps
                .iter()
                .map(|(landmark, _)| i128::from(usual[landmark]))
                .sum();
            (expected > 0).then(|| i64::try_from(moved * 1_000 / expected).unwrap_or(i64::MAX))
        };
        self.pairs().map(stretch).collect()
    }

    fn breaks(&self) -> Vec<Break> {
        let usual = self.usual();
        let stretch = self.stretch(&usual);
        let known: Vec<i64> = stretch.iter().flatten().copied().collect();
        let middle = median(known.clone());
        let spread = median(
            known
                .iter()
                .map(|stretch| (stretch - middle).abs())
                .collect(),
        );
        // 1.4826 median deviations are one standard deviation of a normal spread; three of them, and never less than
        // 0.6 of a step, as one missing leaf doubles it.
        let limit = middle + (spread * 4_448 / 1_000).max(600);
        let mut breaks = Vec::new();
        for place in self.pairs() {
            let steps = self.steps(place);
            let most = steps.iter().max_by_key(|(_, step)| step.abs());
            let broken = match (most, self.drift.tolerance) {
                (None, _) => true,
                (Some((_, step)), Some(tolerance)) => step.abs() > tolerance.nm(),
                (Some(_), None) => stretch[place].is_some_and(|stretch| stretch > limit),
            };
            if broken {
                breaks.push(Break {
                    after: place,
                    moved: most.map(|(landmark, step)| Moved {
                        landmark: (*landmark).to_owned(),
                        step: Length::from_nm(step.abs()),
                        usual: Length::from_nm(usual[landmark]),
                    }),
                    missing: stretch[place]
                        .filter(|stretch| middle > 0 && *stretch > middle)
                        .and_then(|stretch| u32::try_from((stretch + middle / 2) / middle).ok())
                        .map(|steps| steps.saturating_sub(1).max(1)),
                });
            }
        }
        breaks
    }

    fn alike(&self) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for place in self.pairs() {
            let (one, other) = (self.path[place], self.path[place + 1]);
            let steps = self.steps(place);
            let same_landmarks = !self.table.differ_in_presence(one, other);
            if same_landmarks
                && steps
                    .iter()
                    .all(|(_, step)| step.abs() <= self.drift.reading.nm())
            {
                match groups.last_mut() {
                    Some(group) if group.last() == Some(&one) => group.push(other),
                    Some(_) | None => groups.push(vec![one, other]),
                }
            }
        }
        groups
    }

    fn reasons(&self, breaks: &[Break], alike: &[Vec<usize>], contradicted: usize) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if self.path.len() < 3 {
            reasons.push(Reason::FewLeaves);
        }
        let nothing = breaks.iter().filter(|gap| gap.moved.is_none()).count();
        if nothing > 0 {
            reasons.push(Reason::NothingInCommon(nothing));
        }
        let one = self
            .pairs()
            .filter(|place| self.steps(*place).len() == 1)
            .count();
        if one > 0 {
            reasons.push(Reason::OneInCommon(one));
        }
        for landmark in self.table.landmarks() {
            let shown: Vec<bool> = self
                .path
                .iter()
                .filter_map(|leaf| is_present(self.leaves[*leaf], landmark))
                .collect();
            let starts = (0..shown.len())
                .filter(|at| shown[*at] && (*at == 0 || !shown[at - 1]))
                .count();
            if starts > 1 {
                reasons.push(Reason::ComesBack(landmark.clone(), starts - 1));
            }
        }
        for landmark in self.table.landmarks() {
            let steps: Vec<i64> = self
                .pairs()
                .flat_map(|place| self.steps(place))
                .filter(|(name, step)| name == landmark && step.abs() > self.drift.reading.nm())
                .map(|(_, step)| step)
                .collect();
            let falls = steps.iter().filter(|step| **step < 0).count();
            let turns = falls.min(steps.len() - falls);
            if turns > 0 {
                reasons.push(Reason::TurnsBack(landmark.clone(), turns, steps.len()));
            }
        }
        let alike: usize = alike.iter().map(Vec::len).sum();
        if alike > 0 {
            reasons.push(Reason::Alike(alike));
        }
        let entries = self.table.landmarks().len() * self.leaves.len();
        let measured: usize = self.leaves.iter().map(|leaf| leaf.figure.len()).sum();
        if (entries - measured) * 5 > entries {
            reasons.push(Reason::NotMeasured(entries - measured, entries));
        }
        if contradicted > 0 {
            reasons.push(Reason::MarksDiffer(contradicted));
        }
        if self.path.len() > EXACT {
            reasons.push(Reason::NotEveryOrder);
        }
        reasons
    }
}

fn median(mut values: Vec<i64>) -> i64 {
    if values.is_empty() {
        return 0;
    }
    values.sort_unstable();
    let middle = values.len() / 2;
    if values.len() % 2 == 1 {
        values[middle]
    } else {
        (values[middle - 1] + values[middle]) / 2
    }
}
