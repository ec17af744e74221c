//! Renders a letter from its data and checked templates. Reads no disk, sends nothing.

use crate::claim::letter::LetterKind;
use crate::claim::letter::clean;
use crate::claim::letter::data::{LetterData, ReviewLetterData};
use crate::claim::letter::shape::REVIEW_TEMPLATE;
use crate::claim::letter::templates::{Source, Templates};
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use handlebars::{
    Context, Handlebars, Helper, HelperResult, Output, RenderContext, RenderError, html_escape,
    no_escape,
};
use serde_json::Value;
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

/// The most bytes a letter may come to.
const MOST: usize = 1024 * 1024;
/// Columns of a text letter.
const WIDTH: usize = 78;

/// A letter, ready to read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// One line.
    pub subject: String,
    /// As plain text, at most 78 columns, lines end with `\n`.
    pub text: String,
    /// As a page of HTML that needs nothing else.
    pub html: String,
}

/// Renders a letter. Every text of the data is made harmless first: one line, no control characters, no marks that
/// turn or hide text, HTML escaped in HTML.
///
/// # Errors
/// A template that does not render; it then was not checked, or the letter would be larger than 1 MB.
pub fn render(
    kind: LetterKind,
    data: &LetterData,
    templates: &Templates,
) -> Result<Letter, Vec<Problem>> {
    rendered(
        kind.template(),
        &data.subject,
        serde_json::to_value(data).unwrap_or(Value::Null),
        templates,
    )
}

/// Renders the covering letter of a review, made harmless in the same way.
///
/// # Errors
/// A template that does not render; it then was not checked, or the letter would be larger than 1 MB.
pub fn render_review(
    data: &ReviewLetterData,
    templates: &Templates,
) -> Result<Letter, Vec<Problem>> {
    rendered(
        REVIEW_TEMPLATE,
        &data.subject,
        serde_json::to_value(data).unwrap_or(Value::Null),
        templates,
    )
}

fn rendered(
    template: &str,
    subject: &str,
    mut value: Value,
    templates: &Templates,
) -> Result<Letter, Vec<Problem>> {
    clean::value(&mut value);
    let context = Context::from(value);
    let text = one(template, "txt", &context, templates)?;
    let html = one(template, "html", &context, templates)?;
    Ok(Letter {
        subject: clean::line(subject),
        text: wrapped(&text),
        html,
    })
}

fn one(
    template: &str,
    sort: &str,
    context: &Context,
    templates: &Templates,
) -> Result<String, Vec<Problem>> {
    let name = format!("{template}.{sort}");
    let mut registry = Handlebars::new();
    registry.set_strict_mode(true);
    registry.set_prevent_indent(true);
    registry.register_helper("pad", Box::new(pad));
    if sort == "html" {
        registry.register_escape_fn(html_escape);
    } else {
        registry.register_escape_fn(no_escape);
    }
    for (known, source) in templates.sources() {
        if known.ends_with(sort) {
            registry
                .register_template_string(known, &source.text)
                .map_err(|error| {
                    let (line, column) = error.pos().unwrap_or((1, 1));
                    vec![problem(source, line, column, "not a template".to_owned())]
                })?;
        }
    }
    let mut out = Bounded(Vec::new());
    match registry.render_with_context_to_write(&name, context, &mut out) {
        Ok(()) => Ok(String::from_utf8_lossy(&out.0).into_owned()),
        Err(error) => Err(vec![failed(&error, &name, templates)]),
    }
}

fn failed(error: &RenderError, name: &str, templates: &Templates) -> Problem {
    let name = error.template_name.as_deref().unwrap_or(name);
    let source = templates.sources().get(name).cloned().unwrap_or(Source {
        file: name.to_owned(),
        text: String::new(),
    });
    problem(
        &source,
        error.line_no.unwrap_or(1),
        error.column_no.unwrap_or(1),
        format!("cannot render: {}", error.reason()).to_lowercase(),
    )
}

fn problem(source: &Source, line: usize, column: usize, text: String) -> Problem {
    let spot = Spot {
        file: source.file.as_str().into(),
        line,
        column,
    };
    Problem::new(&spot, text)
}

/// A writer that stops a letter without end.
struct Bounded(Vec<u8>);

impl Write for Bounded {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.0.len() + bytes.len() > MOST {
            return Err(io::Error::other("the letter is larger than 1 MB"));
        }
        self.0.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// `{{pad text 12}}` fills a text with spaces up to a width in columns.
fn pad(
    helper: &Helper<'_>,
    _: &Handlebars<'_>,
    _: &Context,
    _: &mut RenderContext<'_, '_>,
    out: &mut dyn Output,
) -> HelperResult {
    let text = helper
        .param(0)
        .and_then(|param| param.value().as_str())
        .unwrap_or_default();
    let width = helper
        .param(1)
        .and_then(|param| param.value().as_u64())
        .unwrap_or(0)
        .min(80);
    out.write(text)?;
    let used = u64::try_from(text.width()).unwrap_or(u64::MAX);
    for _ in used..width {
        out.write(" ")?;
    }
    Ok(())
}

/// Wraps paragraphs of a text letter; a line's indent, and a `- ` or `1. ` before it, hang over what follows.
fn wrapped(text: &str) -> String {
    let mut out = String::new();
    let mut blank = 0;
    for line in text.lines() {
        let line = line.trim_end();
        if line.is_empty() {
            blank += 1;
            continue;
        }
        if blank > 0 && !out.is_empty() {
            out.push('\n');
        }
        blank = 0;
        wrap_line(line, &mut out);
    }
    out
}

fn wrap_line(line: &str, out: &mut String) {
    if line.width() <= WIDTH {
        out.push_str(line);
        out.push('\n');
        return;
    }
    let body = line.trim_start();
    let indent = line.len() - body.len();
    let marker = body
        .split_once(' ')
        .filter(|(first, _)| {
            *first == "-"
                || first
                    .strip_suffix('.')
                    .is_some_and(|n| n.parse::<u32>().is_ok())
        })
        .map_or(0, |(first, _)| first.len() + 1);
    let hang = " ".repeat((indent + marker).min(WIDTH / 2));
    let mut current = " ".repeat(indent.min(WIDTH / 2));
    let mut empty = true;
    let most = WIDTH - hang.width();
    for word in body.split(' ') {
        for (place, piece) in pieces(word, most).into_iter().enumerate() {
            let space = usize::from(!empty && place == 0);
            if !empty && (place > 0 || current.width() + space + piece.width() > WIDTH) {
                out.push_str(current.trim_end());
                out.push('\n');
                current = hang.clone();
            } else if space > 0 {
                current.push(' ');
            }
            current.push_str(piece);
            empty = false;
        }
    }
    out.push_str(current.trim_end());
    out.push('\n');
}

/// A word longer than a line is broken: mail servers refuse lines of 1,000 bytes.
fn pieces(word: &str, most: usize) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut rest = word;
    while rest.width() > most {
        let mut used = 0;
        let end = rest
            .char_indices()
            .find(|(_, c)| {
                used += unicode_width::UnicodeWidthChar::width(*c).unwrap_or(0);
                used > most
            })
            .map_or(rest.len(), |(at, _)| at);
        if end == 0 || end == rest.len() {
            break;
        }
        let (first, more) = rest.split_at(end);
        pieces.push(first);
        rest = more;
    }
    pieces.push(rest);
    pieces
}

#[cfg(test)]
mod tests {
    use super::{WIDTH, wrapped};
    use unicode_width::UnicodeWidthStr;

    #[test]
    fn a_hash_is_never_broken_and_an_endless_word_is() {
        let hash = "0a".repeat(32);
        let text = format!("   1. crate.png: photograph, receipt RG-9 (SHA-256 {hash})\n");
        let out = wrapped(&text);
        assert!(out.contains(&hash), "{out}");
        assert!(out.lines().nth(1).unwrap().starts_with("      0a"), "{out}");
        let endless = format!("x {} y\n", "ä".repeat(200));
        let out = wrapped(&endless);
        assert!(out.lines().all(|line| line.width() <= WIDTH), "{out}");
        assert_eq!(out.matches('ä').count(), 200);
    }

    #[test]
    fn no_word_is_lost_and_blank_lines_are_one() {
        let text = format!("a b\n\n\n\n- {}\n", "word ".repeat(60));
        let out = wrapped(&text);
        assert_eq!(out.split_whitespace().count(), 63);
        assert!(!out.contains("\n\n\n"));
        assert!(out.lines().all(|line| line.width() <= WIDTH));
        assert!(
            out.lines().skip(3).all(|line| line.starts_with("  word")),
            "{out}"
        );
    }
}
