//! Grade scales and what can be said about two grades of one scale. Compares no grades across scales, and decides
//! nothing about a delivery.

use crate::model::problem::Problem;
use crate::model::spot::Spot;
use crate::model::words::{shortened, ticked};
use crate::trade::nearest;
use serde::Deserialize;
use std::cmp::Ordering;
use std::collections::HashMap;
use std::sync::LazyLock;

/// One scale as it stands in the table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    scale: String,
    title: String,
    /// Its own grades, best first; those on one step are not comparable with each other.
    #[serde(default)]
    steps: Vec<Vec<Named>>,
    /// Grades that stand outside the order: comparable with nothing but themselves.
    #[serde(default)]
    unranked: Vec<Named>,
    /// Or: the two scales whose grades it joins, `A` and `1` to `A-1`.
    #[serde(default)]
    joins: Option<(String, String)>,
    source: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Named {
    grade: String,
    #[serde(default)]
    also: Vec<String>,
}

/// Where a grade stands. A smaller step is better; `None` has no rank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Alone(Option<usize>),
    Joined(Option<usize>, Option<usize>),
}

#[derive(Debug)]
struct Grade {
    name: String,
    place: Place,
}

/// A scale of grades, whole or partly ordered.
#[derive(Debug)]
pub struct Scale {
    /// Its name in files.
    pub name: String,
    /// What it is, in words.
    pub title: String,
    /// Where its order comes from.
    pub source: String,
    grades: Vec<Grade>,
    by_key: HashMap<String, usize>,
}

static SCALES: LazyLock<Vec<Scale>> = LazyLock::new(|| {
    let rows: Vec<Row> = serde_yaml::from_str(include_str!("grades.yaml"))
        .expect("the embedded table of grades is well formed; a test reads every row");
    rows.iter().map(|row| build(row, &rows)).collect()
});

fn build(row: &Row, rows: &[Row]) -> Scale {
    let mut scale = Scale {
        name: row.scale.clone(),
        title: row.title.clone(),
        source: row.source.clone(),
        grades: Vec::new(),
        by_key: HashMap::new(),
    };
    match &row.joins {
        None => {
            for (named, step) in placed(row) {
                scale.push(named.grade.clone(), &named.also, Place::Alone(step));
            }
        }
        Some((face, back)) => {
            let side = |name: &str| {
                rows.iter()
                    .find(|row| row.scale == name)
                    .map(placed)
                    .expect("a joined scale joins scales of the table; a test asks for each")
            };
            for (face, face_step) in side(face) {
                for (back, back_step) in side(back) {
                    let name = format!("{}-{}", face.grade, back.grade);
                    scale.push(name, &[], Place::Joined(face_step, back_step));
                }
            }
        }
    }
    scale
}

fn placed(row: &Row) -> Vec<(&Named, Option<usize>)> {
    let ranked = row
        .steps
        .iter()
        .enumerate()
        .flat_map(|(step, grades)| grades.iter().map(move |grade| (grade, Some(step))));
    ranked
        .chain(row.unranked.iter().map(|grade| (grade, None)))
        .collect()
}

/// Folds what does not distinguish two grades: case, spaces, `#`, full stops, and hyphens or slashes inside. A sign at the
/// end (`A-`, `A+`) does distinguish, so it is kept and matches nothing.
fn key(text: &str) -> String {
    let lower = text.trim().to_lowercase();
    let rest = lower.strip_prefix("grade ").unwrap_or(&lower).trim_start();
    let (body, end) = match rest.strip_suffix(['-', '/', '+']) {
        Some(body) => (body, &rest[body.len()..]),
        None => (rest, ""),
    };
    let folded: String = body
        .chars()
        .filter(|c| !matches!(c, ' ' | '#' | '.' | '-' | '/'))
        .collect();
    folded + end
}

/// Returns every scale, in the order of the table.
pub fn scales() -> &'static [Scale] {
    &SCALES
}

/// Returns the scale of a name, whatever its case.
pub fn scale(name: &str) -> Option<&'static Scale> {
    SCALES
        .iter()
        .find(|scale| scale.name.eq_ignore_ascii_case(name.trim()))
}

/// Returns the scale a misspelt name most likely stands for.
pub fn near_scale(name: &str) -> Option<&'static str> {
    nearest(name, SCALES.iter().map(|scale| scale.name.as_str()))
}

impl Scale {
    fn push(&mut self, name: String, also: &[String], place: Place) {
        let at = self.grades.len();
        self.by_key.insert(key(&name), at);
        for other in also {
            self.by_key.insert(key(other), at);
        }
        self.grades.push(Grade { name, place });
    }

    fn place(&self, text: &str) -> Option<Place> {
        self.by_key.get(&key(text)).map(|at| self.grades[*at].place)
    }

    /// Returns the scale's own name of a grade, from that name in any case or from another name of it.
    pub fn grade(&'static self, text: &str) -> Option<&'static str> {
        self.by_key
            .get(&key(text))
            .map(|at| self.grades[*at].name.as_str())
    }

    /// Returns the grade a misspelt one most likely stands for. Names of one or two letters are never guessed at.
    pub fn near(&'static self, text: &str) -> Option<&'static str> {
        nearest(text, self.names())
    }

    /// Makes the problem for a grade that it does not have.
    pub fn unknown(&'static self, spot: &Spot, grade: &str) -> Problem {
        let problem = Problem::new(
            spot,
            format!(
                "unknown grade `{}` on scale `{}`",
                shortened(grade),
                self.name
            ),
        );
        match self.near(grade) {
            Some(name) => problem.hint(format!("did you mean `{name}`?")),
            None => problem.hint(format!("{} has {}", self.name, ticked(self.names()))),
        }
    }

    /// Returns the names of its grades, best first, then those without a rank.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.grades.iter().map(|grade| grade.name.as_str())
    }

    /// Returns whether `a` is higher (`Greater`), lower (`Less`) or the same as `b`; `None` where the scale does not order
    /// them, or has no such grade. A joined grade is lower when one side is lower and the other is not higher.
    pub fn compare(&self, a: &str, b: &str) -> Option<Ordering> {
        let (first, second) = (self.by_key.get(&key(a))?, self.by_key.get(&key(b))?);
        if first == second {
            return Some(Ordering::Equal);
        }
        match (self.place(a)?, self.place(b)?) {
            (Place::Alone(a), Place::Alone(b)) => apart(a?.cmp(&b?).reverse()),
            (Place::Joined(face_a, back_a), Place::Joined(face_b, back_b)) => {
                let face = side(face_a, face_b)?;
                let back = side(back_a, back_b)?;
                match (face, back) {
                    (Ordering::Equal, other) | (other, Ordering::Equal) => apart(other),
                    (face, back) => (face == back).then_some(face),
                }
            }
            (Place::Alone(_), Place::Joined(..)) | (Place::Joined(..), Place::Alone(_)) => None,
        }
    }
}

/// Two different grades on one step are not comparable.
fn apart(order: Ordering) -> Option<Ordering> {
    (order != Ordering::Equal).then_some(order)
}

/// Compares one side of two joined grades: two sides without a rank are the same one, for a scale has one such grade.
fn side(a: Option<usize>, b: Option<usize>) -> Option<Ordering> {
    match (a, b) {
        (None, None) => Some(Ordering::Equal),
        (Some(a), Some(b)) => Some(a.cmp(&b).reverse()),
        (None, Some(_)) | (Some(_), None) => None,
    }
}
