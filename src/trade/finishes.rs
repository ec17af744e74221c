//! Finish numbers of builders hardware: which BHMA and US numbers mean one finish. Finishes have no order, so nothing here
//! says that one is better. Does not compare colours or other properties; those must match as text.

use serde::Deserialize;
use std::sync::LazyLock;

/// One finish on one metal.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Finish {
    /// The BHMA number.
    pub bhma: String,
    /// The older US number.
    pub us: String,
    /// In words.
    pub finish: String,
    /// The metal under it.
    pub on: String,
    /// Whether it is plated steel that bears the US number of a finish on another metal.
    #[serde(default)]
    pub steel: bool,
    /// Where the row comes from.
    pub source: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    shared: Vec<String>,
    finishes: Vec<Finish>,
}

/// What two finish numbers say about each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Likeness {
    /// They mean one finish.
    Same,
    /// A US number that stands for several BHMA numbers, this one among them: look at the metal.
    Unsure,
    /// They mean different finishes.
    Different,
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    serde_yaml::from_str(include_str!("finishes.yaml"))
        .expect("the embedded table of finishes is well formed; a test reads every row")
});

/// Returns every finish, in the order of the table.
pub fn finishes() -> &'static [Finish] {
    &TABLE.finishes
}

/// A finish number as it was written.
enum Code {
    Bhma(&'static Finish),
    Us(&'static str),
}

/// Reads `626`, `BHMA 626`, `US26D`, `US 26D`, or both numbers of one finish (`626 / US26D`), which is as good as the BHMA
/// number alone.
fn code(text: &str) -> Option<Code> {
    let lower = text.to_lowercase();
    let mut bhma = None;
    let mut us: Option<&'static str> = None;
    let mut words = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && *word != "bhma")
        .peekable();
    while let Some(word) = words.next() {
        let joined = if word == "us" {
            format!("us{}", words.next()?)
        } else {
            word.to_owned()
        };
        if let Some(row) = finishes().iter().find(|row| row.bhma == joined) {
            if bhma.replace(row).is_some() {
                return None;
            }
        } else {
            let row = finishes()
                .iter()
                .find(|row| row.us.eq_ignore_ascii_case(&joined))?;
            if us.replace(&row.us).is_some() {
                return None;
            }
        }
    }
    match (bhma, us) {
        (Some(row), None) => Some(Code::Bhma(row)),
        (Some(row), Some(us)) => (row.us == us).then_some(Code::Bhma(row)),
        (None, us) => us.map(Code::Us),
    }
}

/// Compares two finish numbers; `None` where either is not one, so that the words must be compared as text.
pub fn compare(a: &str, b: &str) -> Option<Likeness> {
    Some(match (code(a)?, code(b)?) {
        (Code::Bhma(a), Code::Bhma(b)) if a.bhma == b.bhma => Likeness::Same,
        (Code::Us(a), Code::Us(b)) if a == b => Likeness::Same,
        (Code::Bhma(_), Code::Bhma(_)) | (Code::Us(_), Code::Us(_)) => Likeness::Different,
        (Code::Bhma(row), Code::Us(us)) | (Code::Us(us), Code::Bhma(row)) => {
            if row.us != us {
                Likeness::Different
            } else if row.steel || TABLE.shared.iter().any(|shared| shared == us) {
                Likeness::Unsure
            } else {
                Likeness::Same
            }
        }
    })
}

/// Returns the finishes that a US number can stand for, to say what to look for.
pub fn meanings(us: &str) -> impl Iterator<Item = &'static Finish> {
    let wanted: String = us.chars().filter(|c| !c.is_whitespace()).collect();
    finishes()
        .iter()
        .filter(move |row| row.us.eq_ignore_ascii_case(&wanted))
}
