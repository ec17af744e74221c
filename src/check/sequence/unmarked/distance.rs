//! How far apart the figures of two leaves are. Does not put leaves in order.

use std::collections::BTreeSet;

use crate::check::sequence::unmarked::FiguredLeaf;

/// What is taken to be so of a landmark in a leaf.
#[derive(Debug, Clone, Copy, PartialEq)]
enum State {
    At(i64),
    Absent,
    Unknown,
}

/// Distances between leaves, and from each leaf to an end of the order.
#[derive(Debug)]
pub(super) struct Table {
    landmarks: Vec<String>,
    states: Vec<Vec<State>>,
    pub(super) between: Vec<Vec<i64>>,
    pub(super) ends: Vec<i64>,
}

/// Whether the leaf shows the landmark; `None` where it was not looked for.
pub(super) fn is_present(leaf: &FiguredLeaf, landmark: &str) -> Option<bool> {
    leaf.figure.get(landmark).map(Option::is_some)
}

impl Table {
    pub(super) fn new(leaves: &[&FiguredLeaf]) -> Table {
        let landmarks: BTreeSet<&String> =
            leaves.iter().flat_map(|leaf| leaf.figure.keys()).collect();
        let landmarks: Vec<String> = landmarks.into_iter().cloned().collect();
        let read: Vec<Vec<State>> = leaves
            .iter()
            .map(|leaf| {
                let state = |landmark| match leaf.figure.get(landmark) {
                    Some(Some(at)) => State::At(at.nm()),
                    Some(None) => State::Absent,
                    None => State::Unknown,
                };
                landmarks.iter().map(state).collect()
            })
            .collect();
        let states = fill(&read);
        let half_breaks: Vec<i64> = (0..landmarks.len())
            .map(|landmark| half_break(&states, landmark))
            .collect();
        let between = states
            .iter()
            .map(|one| {
                states
                    .iter()
                    .map(|other| apart(one, other, &half_breaks))
                    .collect()
            })
            .collect();
        let absent = vec![State::Absent; landmarks.len()];
        let ends = states
            .iter()
            .map(|state| apart(state, &absent, &half_breaks))
            .collect();
        Table {
            landmarks,
            states,
            between,
            ends,
        }
    }

    pub(super) fn landmarks(&self) -> &[String] {
        &self.landmarks
    }

    /// Whether one leaf shows a landmark that the other does not.
    pub(super) fn differ_in_presence(&self, one: usize, other: usize) -> bool {
        self.states[one]
            .iter()
            .zip(&self.states[other])
            .any(|pair| match pair {
                (State::At(_), State::Absent) | (State::Absent, State::At(_)) => true,
                (State::At(_), State::At(_)) | (State::Absent, State::Absent) => false,
                (State::Unknown, _) | (_, State::Unknown) => false,
            })
    }
}

/// Half of what it costs a landmark to end and come back: together more than the most it could ever move, so that
/// breaking its run never pays.
fn half_break(states: &[Vec<State>], landmark: usize) -> i64 {
    let places: Vec<i64> = states
        .iter()
        .filter_map(|leaf| match leaf[landmark] {
            State::At(at) => Some(at),
            State::Absent | State::Unknown => None,
        })
        .collect();
    let range = places
        .iter()
        .max()
        .zip(places.iter().min())
        .map_or(0, |(most, least)| most.saturating_sub(*least));
    range / 4 * 3 + 1
}

fn apart(one: &[State], other: &[State], half_breaks: &[i64]) -> i64 {
    let each = one
        .iter()
        .zip(other)
        .zip(half_breaks)
        .map(|(pair, half_break)| match pair {
            (State::At(one), State::At(other)) => (one - other).abs(),
            (State::At(_), State::Absent) | (State::Absent, State::At(_)) => *half_break,
            (State::Absent, State::Absent) | (State::Unknown, _) | (_, State::Unknown) => 0,
        });
    each.sum()
}

/// Fills what was not measured from the other landmarks: where the landmark should be by a straight line through leaves
/// that show both, and whether it should be there by the leaf most like this one.
fn fill(read: &[Vec<State>]) -> Vec<Vec<State>> {
    let mut filled = read.to_vec();
    for leaf in 0..read.len() {
        for landmark in 0..read[leaf].len() {
            if read[leaf][landmark] == State::Unknown {
                filled[leaf][landmark] = guess(read, leaf, landmark);
            }
        }
    }
    filled
}

fn guess(read: &[Vec<State>], leaf: usize, landmark: usize) -> State {
    // The leaf most like this one of those where the landmark was looked for.
    let alike = (0..read.len())
        .filter(|other| read[*other][landmark] != State::Unknown)
        .filter_map(|other| {
            let shared: Vec<i64> = read[leaf]
                .iter()
                .zip(&read[other])
                .filter_map(|pair| match pair {
                    (State::At(one), State::At(other)) => Some((one - other).abs()),
                    (State::Absent | State::Unknown, _) | (_, State::Absent | State::Unknown) => {
                        None
                    }
                })
                .collect();
            let count = i64::try_from(shared.len())
                .ok()
                .filter(|count| *count > 0)?;
            Some((shared.iter().sum::<i64>() / count, other))
        })
        .min();
    let Some((_, nearest)) = alike else {
        return State::Unknown;
    };
    let State::At(near) = read[nearest][landmark] else {
        return read[nearest][landmark];
    };
    let lines: Vec<f64> = (0..read[leaf].len())
        .filter_map(|other| match read[leaf][other] {
            State::At(at) => line_through(read, other, landmark, at),
            State::Absent | State::Unknown => None,
        })
        .collect();
    if lines.is_empty() {
        return State::At(near);
    }
    State::At((lines.iter().sum::<f64>() / lines.len() as f64).round() as i64)
}

/// Where one landmark should be when another is at `at`: the least squares line through at least three leaves.
fn line_through(read: &[Vec<State>], from: usize, to: usize, at: i64) -> Option<f64> {
    let points: Vec<(f64, f64)> = read
        .iter()
        .filter_map(|leaf| match (leaf[from], leaf[to]) {
            (State::At(from), State::At(to)) => Some((from as f64, to as f64)),
            (State::Absent | State::Unknown, _) | (_, State::Absent | State::Unknown) => None,
        })
        .collect();
    if points.len() < 3 {
        return None;
    }
    let count = points.len() as f64;
    let (mean_x, mean_y) = (
        points.iter().map(|point| point.0).sum::<f64>() / count,
        points.iter().map(|point| point.1).sum::<f64>() / count,
    );
    let spread: f64 = points.iter().map(|point| (point.0 - mean_x).powi(2)).sum();
    if spread == 0.0 {
        return None;
    }
    let slope = points
        .iter()
        .map(|point| (point.0 - mean_x) * (point.1 - mean_y))
        .sum::<f64>()
        / spread;
    Some(mean_y + slope * (at as f64 - mean_x))
}
