//! YAML text to a tree of nodes, each with its place. Gives no meaning to any value: `0042`, `1e3` and `12-07`
//! stay the text that was written.
//!
//! What could make a small file expensive is refused before the tree is built: size, depth, anchors and aliases.

use crate::intake::slip;
use crate::model::problem::Problem;
use crate::model::spot::Spot;
use crate::model::words::{longer, shortened};
use saphyr_parser::{Event, Marker, Parser, ScalarStyle, StrInput};
use std::sync::Arc;

/// The largest file read, in bytes.
pub const MAX_BYTES: usize = 2 * 1024 * 1024;
/// The longest key, in characters.
const MAX_KEY: usize = 120;
/// The deepest nesting read.
pub const MAX_DEPTH: usize = 64;

/// A value and its place.
#[derive(Debug, Clone)]
pub struct Node {
    /// Where it starts.
    pub spot: Spot,
    /// What it is.
    pub value: Value,
}

/// What a node is.
#[derive(Debug, Clone)]
pub enum Value {
    /// Text as written; `quoted` where it stood in quotes, so that `""` is not taken for nothing.
    Text {
        /// The text.
        text: String,
        /// Whether it stood in quotes or was a block.
        quoted: bool,
    },
    /// A list.
    List(Vec<Node>),
    /// A mapping, in the order written.
    Map(Vec<Entry>),
}

/// One entry of a mapping.
#[derive(Debug, Clone)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub key_spot: Spot,
    /// The value.
    pub node: Node,
}

impl Node {
    /// Returns what the node is, for "found ...".
    pub fn found(&self) -> String {
        match &self.value {
            Value::Text {
                text,
                quoted: false,
            } if text.is_empty() => "nothing".to_owned(),
            Value::Text { text, .. } => format!("`{}`", shortened(text)),
            Value::List(_) => "a list".to_owned(),
            Value::Map(_) => "a mapping".to_owned(),
        }
    }
}

/// Characters that would move, hide or turn what a person reads, on the terminal, a page or a tag.
fn cannot_be_seen(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(
            c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}' | '\u{feff}'
        )
}

/// Parses one YAML document.
///
/// # Errors
/// A file that is too large, too deep, not YAML, holds anchors, aliases, tags, duplicate keys or more than one
/// document. Duplicate keys are all told; the others stop at the first.
pub fn parse(file: &str, text: &str) -> Result<Node, Vec<Problem>> {
    let file: Arc<str> = Arc::from(file);
    let start = Spot {
        file: file.clone(),
        line: 1,
        column: 1,
    };
    if text.len() > MAX_BYTES {
        return Err(vec![
            Problem::new(
                &start,
                format!(
                    "file has {} bytes, at most {MAX_BYTES} are read",
                    text.len()
                ),
            )
            .hint("split it into several files"),
        ]);
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    refuse_deep_flow(&start, text)?;
    Builder {
        file,
        text,
        parser: Parser::new_from_str(text),
        duplicates: Vec::new(),
    }
    .document(&start)
}

/// Refuses text whose brackets nest deeper than a reader could follow, before the parser sees it: the parser's
/// look-ahead is quadratic in the depth of flow collections. Counts brackets in quotes too, which is only stricter.
fn refuse_deep_flow(start: &Spot, text: &str) -> Result<(), Vec<Problem>> {
    let (mut depth, mut line) = (0usize, 1usize);
    for byte in text.bytes() {
        match byte {
            b'\n' => line += 1,
            b'{' | b'[' => {
                depth += 1;
                if depth > MAX_DEPTH * 4 {
                    let spot = Spot {
                        line,
                        ..start.clone()
                    };
                    return Err(vec![too_deep(&spot)]);
                }
            }
            b'}' | b']' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    Ok(())
}

fn too_deep(spot: &Spot) -> Problem {
    Problem::new(
        spot,
        format!("nested too deep, at most {MAX_DEPTH} levels are read"),
    )
    .hint("an order or a receipt needs five levels; look for a bracket that is never closed")
}

struct Builder<'a> {
    file: Arc<str>,
    text: &'a str,
    parser: Parser<'a, StrInput<'a>>,
    duplicates: Vec<Problem>,
}

impl<'a> Builder<'a> {
    fn document(mut self, start: &Spot) -> Result<Node, Vec<Problem>> {
        let mut root = None;
        loop {
            let (event, mark) = self.next().map_err(|problem| vec![problem])?;
            match event {
                Event::StreamEnd => break,
                Event::StreamStart | Event::DocumentEnd | Event::Nothing => {}
                Event::DocumentStart(_) if root.is_some() => {
                    return Err(vec![
                        Problem::new(&self.spot(mark), "a second document, expected one a file")
                            .hint("put each record in a file of its own"),
                    ]);
                }
                Event::DocumentStart(_) => {
                    let (event, mark) = self.next().map_err(|problem| vec![problem])?;
                    root = Some(self.node(event, mark, 1).map_err(|problem| vec![problem])?);
                }
                Event::Alias(_)
                | Event::Scalar(..)
                | Event::SequenceStart(..)
                | Event::SequenceEnd
                | Event::MappingStart(..)
                | Event::MappingEnd => {
                    return Err(vec![Problem::new(
                        &self.spot(mark),
                        "a value outside the document",
                    )]);
                }
            }
        }
        if !self.duplicates.is_empty() {
            self.duplicates.sort();
            return Err(self.duplicates);
        }
        root.ok_or_else(|| vec![Problem::new(start, "file is empty, expected a record")])
    }

    fn next(&mut self) -> Result<(Event<'a>, Marker), Problem> {
        match self.parser.next_event() {
            Some(Ok((event, span))) => Ok((event, span.start)),
            Some(Err(error)) => {
                let problem = Problem::new(
                    &self.spot(*error.marker()),
                    format!("not YAML: {}", error.info()),
                );
                Err(problem.hint(slip::hint(self.text, error.marker().line())))
            }
            None => {
                let spot = Spot {
                    file: self.file.clone(),
                    line: 1,
                    column: 1,
                };
                Err(Problem::new(&spot, "not YAML: the text ends too early"))
            }
        }
    }

    fn spot(&self, mark: Marker) -> Spot {
        Spot {
            file: self.file.clone(),
            line: mark.line().max(1),
            column: mark.col() + 1,
        }
    }

    fn node(&mut self, event: Event<'a>, mark: Marker, depth: usize) -> Result<Node, Problem> {
        let spot = self.spot(mark);
        if depth > MAX_DEPTH {
            return Err(too_deep(&spot));
        }
        let (anchor, tag) = match &event {
            Event::Scalar(_, _, anchor, tag)
            | Event::SequenceStart(anchor, tag)
            | Event::MappingStart(anchor, tag) => (*anchor > 0, tag.is_some()),
            Event::Alias(_) => (true, false),
            Event::Nothing
            | Event::StreamStart
            | Event::StreamEnd
            | Event::DocumentStart(_)
            | Event::DocumentEnd
            | Event::SequenceEnd
            | Event::MappingEnd => (false, false),
        };
        if anchor {
            return Err(Problem::new(
                &spot,
                "an anchor or alias (`&name`, `*name`), expected plain values",
            )
            .hint("write the value out; text that starts with & or * goes in quotes"));
        }
        if tag {
            return Err(
                Problem::new(&spot, "a tag (`!name`), expected plain values")
                    .hint("text that starts with ! goes in quotes"),
            );
        }
        if let Event::Scalar(text, ..) = &event
            && !text.bytes().all(|byte| matches!(byte, b' '..=b'~'))
            && let Some(bad) = text.chars().find(|c| cannot_be_seen(*c))
        {
            return Err(Problem::new(
                &spot,
                format!(
                    "a character that cannot be seen (U+{:04X}) in text",
                    u32::from(bad)
                ),
            )
            .hint("type the text anew; it may have come from a scanner or a copied label"));
        }
        let value = match event {
            Event::Scalar(text, style, _, _) => Value::Text {
                text: text.into_owned(),
                quoted: style != ScalarStyle::Plain,
            },
            Event::SequenceStart(..) => {
                let mut items = Vec::new();
                loop {
                    let (event, mark) = self.next()?;
                    if event == Event::SequenceEnd {
                        break Value::List(items);
                    }
                    items.push(self.node(event, mark, depth + 1)?);
                }
            }
            Event::MappingStart(..) => self.mapping(depth)?,
            Event::Nothing
            | Event::StreamStart
            | Event::StreamEnd
            | Event::DocumentStart(_)
            | Event::DocumentEnd
            | Event::SequenceEnd
            | Event::MappingEnd
            | Event::Alias(_) => {
                return Err(Problem::new(&spot, "not YAML: the text ends too early"));
            }
        };
        Ok(Node { spot, value })
    }

    fn mapping(&mut self, depth: usize) -> Result<Value, Problem> {
        // Few records have more keys.
        let mut entries: Vec<Entry> = Vec::with_capacity(8);
        loop {
            let (event, mark) = self.next()?;
            if event == Event::MappingEnd {
                self.note_duplicates(&entries);
                return Ok(Value::Map(entries));
            }
            let key = self.node(event, mark, depth + 1)?;
            let Value::Text { text, .. } = key.value else {
                return Err(Problem::new(
                    &key.spot,
                    format!("{} as a key, expected a name", key.found()),
                ));
            };
            if text.contains(['\n', '\t']) || longer(&text, MAX_KEY) {
                return Err(Problem::new(
                    &key.spot,
                    format!(
                        "`{}` as a key, expected one line of at most {MAX_KEY} characters",
                        shortened(&text)
                    ),
                ));
            }
            let (event, mark) = self.next()?;
            let node = self.node(event, mark, depth + 1)?;
            entries.push(Entry {
                key: text,
                key_spot: key.spot,
                node,
            });
        }
    }
    /// Notes every key of a mapping that stands there before.
    fn note_duplicates(&mut self, entries: &[Entry]) {
        let mut sorted: Vec<&Entry> = entries.iter().collect();
        sorted.sort_by_key(|entry| entry.key.as_str());
        for pair in sorted.windows(2).filter(|pair| pair[0].key == pair[1].key) {
            self.duplicates.push(
                Problem::new(
                    &pair[1].key_spot,
                    format!("`{}` stands twice", shortened(&pair[1].key)),
                )
                .hint("keep one of them; nothing is chosen for you"),
            );
        }
    }
}
