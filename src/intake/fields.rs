//! Reads the fields of a mapping against a table of what may stand there. The same table makes the editor schema,
//! so the two cannot drift apart.

use crate::intake::node::{Entry, Node, Value};
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use crate::model::words::{near, shortened, ticked};

/// What may stand in a field.
#[derive(Debug, Clone, Copy)]
pub enum Shape {
    /// Text that fits the pattern in words, with an example.
    Text(&'static str),
    /// One of these words.
    Word(&'static [&'static str]),
    /// A date, `2026-03-19`.
    Date,
    /// A number.
    Number,
    /// `true` or `false`.
    Bool,
    /// A list.
    List(&'static Shape),
    /// A mapping with known keys.
    Record(&'static Table),
    /// A mapping with keys of the user's choice and text as values.
    Names,
    /// Either of the two.
    Either(&'static Shape, &'static Shape),
}

/// One field of a record.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Its key.
    pub name: &'static str,
    /// What may stand there.
    pub shape: Shape,
    /// Whether it must stand.
    pub required: bool,
    /// What it is, for editors.
    pub about: &'static str,
}

impl Field {
    /// A field that must stand.
    pub const fn must(name: &'static str, shape: Shape, about: &'static str) -> Self {
        Field {
            name,
            shape,
            required: true,
            about,
        }
    }

    /// A field that may stand.
    pub const fn may(name: &'static str, shape: Shape, about: &'static str) -> Self {
        Field {
            name,
            shape,
            required: false,
            about,
        }
    }
}

/// The fields of a record.
#[derive(Debug)]
pub struct Table {
    /// What the record is: "an order".
    pub what: &'static str,
    /// Its fields.
    pub fields: &'static [Field],
}

/// The problems of a file, collected.
#[derive(Debug, Default)]
pub struct Problems(Vec<Problem>);

impl Problems {
    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        self.0.push(problem);
    }

    /// Returns them all.
    pub fn into_inner(self) -> Vec<Problem> {
        self.0
    }

    /// Returns how many there are, to see whether a reader added any.
    pub fn count(&self) -> usize {
        self.0.len()
    }
}

/// A reader of one value: `None` after it has put a problem.
pub type Reader<T> = fn(&Node, &mut Problems) -> Option<T>;

/// The fields of one mapping, read by name.
#[derive(Debug)]
pub struct Fields<'a> {
    table: &'static Table,
    spot: &'a Spot,
    entries: &'a [Entry],
}

impl<'a> Fields<'a> {
    /// Opens a mapping: every key that its table does not have is a problem here, once, as is every required key
    /// that does not stand.
    pub fn open(node: &'a Node, table: &'static Table, problems: &mut Problems) -> Option<Self> {
        let Value::Map(entries) = &node.value else {
            problems.push(Problem::new(
                &node.spot,
                format!("{} where {} was expected", node.found(), table.what),
            ));
            return None;
        };
        // A misspelt key is one slip, not two: the field it was meant for is then not told as missing.
        let mut meant = Vec::new();
        for entry in entries {
            if table.fields.iter().all(|field| field.name != entry.key) {
                meant.extend(near_field(entry, table));
                problems.push(unknown_key(entry, table));
            }
        }
        for field in table.fields.iter().filter(|field| field.required) {
            if entries.iter().all(|entry| entry.key != field.name) && !meant.contains(&field.name) {
                problems.push(
                    Problem::new(
                        &node.spot,
                        format!("{} has no `{}`", table.what, field.name),
                    )
                    .hint(format!("{}: {}", field.name, field.about)),
                );
            }
        }
        Some(Fields {
            table,
            spot: &node.spot,
            entries,
        })
    }

    /// Returns where the mapping stands.
    pub fn spot(&self) -> &'a Spot {
        self.spot
    }

    /// Returns the node of a field.
    pub fn node(&self, name: &str) -> Option<&'a Node> {
        debug_assert!(
            self.table.fields.iter().any(|field| field.name == name),
            "`{name}` is not in the table of {}",
            self.table.what
        );
        self.entries
            .iter()
            .find(|entry| entry.key == name)
            .map(|entry| &entry.node)
    }

    /// Reads a field. `None` where it does not stand, or after a problem.
    pub fn get<T>(&self, name: &str, reader: Reader<T>, problems: &mut Problems) -> Option<T> {
        reader(self.node(name)?, problems)
    }

    /// Reads a list; items with problems are left out after the problem is put.
    pub fn list<T>(&self, name: &str, reader: Reader<T>, problems: &mut Problems) -> Vec<T> {
        self.node(name)
            .map(|node| list(node, reader, problems))
            .unwrap_or_default()
    }
}

/// Reads a list.
pub fn list<T>(node: &Node, reader: Reader<T>, problems: &mut Problems) -> Vec<T> {
    match &node.value {
        Value::List(items) => items
            .iter()
            .filter_map(|item| reader(item, problems))
            .collect(),
        Value::Text { .. } | Value::Map(_) => {
            problems.push(Problem::new(
                &node.spot,
                format!("{} where a list was expected", node.found()),
            ));
            Vec::new()
        }
    }
}

fn near_field(entry: &Entry, table: &'static Table) -> Option<&'static str> {
    near(&entry.key, table.fields.iter().map(|field| field.name))
}

fn unknown_key(entry: &Entry, table: &'static Table) -> Problem {
    let problem = Problem::new(
        &entry.key_spot,
        format!("unknown key `{}` in {}", shortened(&entry.key), table.what),
    );
    match near_field(entry, table) {
        Some(name) => problem.hint(format!("did you mean `{name}`?")),
        None => problem.hint(format!(
            "{} has {}",
            table.what,
            ticked(table.fields.iter().map(|field| field.name))
        )),
    }
}
