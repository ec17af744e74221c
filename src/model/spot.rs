//! Where in a file something stands. Opens no file.

use crate::model::visible::on_one_line;
use std::fmt::{Display, Formatter, Result};
use std::sync::Arc;

/// A place in a file: line and column count from 1, columns in characters.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// The file as the user named it.
    pub file: Arc<str>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Display for Spot {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        // The name of a file may hold what would write over the message.
        let file = on_one_line(&self.file);
        write!(f, "{file}:{}:{}", self.line, self.column)
    }
}

/// A value and where it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct At<T> {
    /// The value.
    pub value: T,
    /// Where it was read.
    pub spot: Spot,
}
