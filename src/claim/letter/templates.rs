//! The templates: those that travel with the program and the shop's own of the same names. Reads no disk.

use crate::claim::letter::check;
use crate::model::problem::Problem;
use std::collections::BTreeMap;

/// A template's text and the name to show in problems.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The file as the user named it, or the built-in name.
    pub file: String,
    /// The text.
    pub text: String,
}

/// Every template by its file's name without `.hbs`: `letter.txt`, `part-items.html`. Checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Templates {
    sources: BTreeMap<String, Source>,
}

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../../templates/", $name, ".hbs")))),*]
    };
}

/// The built-in templates.
pub const EMBEDDED: &[(&str, &str)] = embedded![
    "letter.txt",
    "letter.html",
    "carrier-claim.txt",
    "carrier-claim.html",
    "reminder.txt",
    "reminder.html",
    "final-reminder.txt",
    "final-reminder.html",
    "wrong-again.txt",
    "wrong-again.html",
    "acceptance.txt",
    "acceptance.html",
    "thanks.txt",
    "thanks.html",
    "review-letter.txt",
    "review-letter.html",
    "part-head.txt",
    "part-head.html",
    "part-items.txt",
    "part-items.html",
    "part-close.txt",
    "part-close.html",
];

impl Templates {
    /// Returns the built-in templates.
    pub fn embedded() -> Templates {
        let sources = EMBEDDED.iter().map(|(name, text)| {
            let source = Source {
                file: format!("templates/{name}.hbs"),
                text: (*text).to_owned(),
            };
            ((*name).to_owned(), source)
        });
        Templates {
            sources: sources.collect(),
        }
    }

    /// Returns the built-in templates with the shop's own in their place. `own` is file name (`letter.txt.hbs`), the
    /// path to show, and text; a file whose name starts with `part-` may be a new partial.
    ///
    /// # Errors
    /// Every problem of the shop's templates, at file, line and column.
    pub fn with(own: &[(String, String, String)]) -> Result<Templates, Vec<Problem>> {
        let mut templates = Templates::embedded();
        let mut problems = Vec::new();
        let mut names = Vec::new();
        for (file_name, path, text) in own {
            let Some(name) = file_name.strip_suffix(".hbs") else {
                continue;
            };
            let known = templates.sources.contains_key(name);
            let partial =
                name.starts_with("part-") && (name.ends_with(".txt") || name.ends_with(".html"));
            if !known && !partial {
                problems.push(check::unknown_file(path, name, templates.sources.keys()));
                continue;
            }
            names.push(name.to_owned());
            templates.sources.insert(
                name.to_owned(),
                Source {
                    file: path.clone(),
                    text: text.clone(),
                },
            );
        }
        if !names.is_empty() {
            problems.extend(check::all(&templates.sources));
        }
        if problems.is_empty() {
            Ok(templates)
        } else {
            problems.sort();
            problems.dedup();
            Err(problems)
        }
    }

    /// Returns every template by name.
    pub fn sources(&self) -> &BTreeMap<String, Source> {
        &self.sources
    }
}
