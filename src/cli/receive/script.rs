//! The questions at the dock, in order, as a function of the answers so far. Pure: going back is one answer fewer,
//! resuming is the answers kept. Reads no keys and prints nothing.

pub mod accept;
pub mod line;

pub use crate::cli::receive::script::accept::{accept, help};

use crate::cli::receive::script::line::one_line;
use crate::model::order::Order;
use crate::model::unit::Unit;
use chrono::NaiveDate;

/// One question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What it is about: empty at the head of the receipt, else `line 2`, `line 2, lot 2`.
    pub about: String,
    /// What that is, told again where the clerk takes the work up.
    pub header: Option<String>,
    /// What is told before it: a heading, what was expected.
    pub before: Vec<String>,
    /// The question.
    pub ask: String,
    /// What an empty answer stands for; `None` where there must be one.
    pub default: Option<String>,
    /// How an answer is read.
    pub shape: Shape,
}

impl Question {
    /// Returns a name that no other question of the receipt has.
    pub fn key(&self) -> String {
        format!("{}|{}", self.about, self.ask)
    }

    /// Returns the question with what it is about, for a complaint.
    pub fn named(&self) -> String {
        if self.about.is_empty() {
            self.ask.clone()
        } else {
            format!("{}, {}", self.about, self.ask)
        }
    }
}

/// How an answer is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A name that can be a file name.
    Number,
    /// A date.
    Date,
    /// Text on one line, or nothing.
    Text,
    /// A count; a bare number is in this unit.
    Count(Unit),
    /// A field of a receipt line, read as the file's is; `=` stands for what was ordered.
    Field(&'static str),
    /// A field of a receipt line that the order gives no measure for.
    Measured(&'static str),
    /// Boards of a tally: width x length.
    Boards,
    /// Thickness of a tally: 5/4.
    Thickness,
    /// A named property; `=` stands for what was ordered.
    Property,
    /// `y` or `n`.
    YesNo,
    /// Paths of photographs, separated by commas, or nothing.
    Photos,
}

/// What the script is about.
#[derive(Debug)]
pub struct Setting<'a> {
    /// The order.
    pub order: &'a Order,
    /// The number the receipt gets unless the clerk says otherwise.
    pub number: String,
    /// Today.
    pub today: NaiveDate,
    /// How much of each line came before, in its unit; as long as the order's lines.
    pub before: Vec<Option<rust_decimal::Decimal>>,
    /// Whether what is expected is shown before the count.
    pub show_expected: bool,
}

/// A receipt as the answers make it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its number.
    pub number: String,
    /// The receipt file.
    pub text: String,
    /// Photographs to copy: from where, to where in the shop's folder.
    pub photos: Vec<(String, String)>,
}

impl Written {
    /// Returns whether it names no goods at all.
    pub fn counts_nothing(&self) -> bool {
        self.text.ends_with("lines:\n")
    }
}

/// Follows the script.
///
/// # Errors
/// Not an error: the next question, where the answers end.
pub fn follow(setting: &Setting<'_>, answers: &[String]) -> Result<Written, Box<Question>> {
    let mut script = Script {
        answers: answers.iter(),
        about: String::new(),
        header: None,
        before: vec![
            format!("receiving on order {}", setting.order.number),
            "`?` tells what can be typed, `back` goes back, `stop` keeps it for later".to_owned(),
        ],
    };
    let number = script.ask("receipt number", Some(&setting.number), Shape::Number)?;
    let date = script.ask(
        "date received",
        Some(&setting.today.to_string()),
        Shape::Date,
    )?;
    let by = script.ask("received by", Some(""), Shape::Text)?;
    let slip = script.ask("packing slip number", Some(""), Shape::Text)?;
    let place = script.ask("where do the goods stand", Some(""), Shape::Text)?;
    let mut out = format!(
        "receipt: {number}\norder: {}\ndate: {date}\n",
        setting.order.number
    );
    put(&mut out, "", "by", &by);
    put(&mut out, "", "packing_slip", &slip);
    put(&mut out, "", "place", &place);
    let carrier = script.ask("carrier", Some(""), Shape::Text)?;
    if !carrier.is_empty() {
        let pro = script.ask("the carrier's PRO number", Some(""), Shape::Text)?;
        let noted = script.ask(
            "noted on the carrier's delivery receipt",
            Some(""),
            Shape::Text,
        )?;
        out.push_str(&format!("carrier:\n  name: {}\n", quoted(&carrier)));
        put(&mut out, "  ", "pro", &pro);
        put(&mut out, "  ", "noted", &noted);
    }
    out.push_str("lines:\n");
    let mut photos = Vec::new();
    for (place, line) in setting.order.lines.iter().enumerate() {
        let came_before = setting.before.get(place).copied().flatten();
        one_line(
            setting,
            line,
            came_before,
            &number,
            &mut script,
            &mut out,
            &mut photos,
        )?;
    }
    let mut stray = 0;
    loop {
        stray += 1;
        script.start(format!("not on the order, {stray}"), None);
        if !script.yes("did anything come that is not on the order", "n")? {
            break;
        }
        let item = script.ask("its code", Some(""), Shape::Text)?;
        let description = script.ask("what is it", None, Shape::Text)?;
        let count = script.ask("how many came", None, Shape::Count(Unit::Each))?;
        out.push_str(&format!(
            "  - quantity: {}\n    description: {}\n",
            quoted(&with_unit(&count, Unit::Each)),
            quoted(&description)
        ));
        put(&mut out, "    ", "item", &item);
    }
    Ok(Written {
        number,
        text: out,
        photos,
    })
}

/// Follows the answers and then says as little as can be said, so that what the answers make can be looked at before
/// they are all there. `None` where a question must have an answer of its own.
pub fn completed(setting: &Setting<'_>, answers: &[String]) -> Option<Written> {
    let mut all = answers.to_vec();
    loop {
        match follow(setting, &all) {
            Ok(written) => return Some(written),
            Err(question) => all.push(match question.shape {
                Shape::YesNo => "n".to_owned(),
                Shape::Number
                | Shape::Date
                | Shape::Text
                | Shape::Count(_)
                | Shape::Field(_)
                | Shape::Measured(_)
                | Shape::Boards
                | Shape::Thickness
                | Shape::Property
                | Shape::Photos => match question.default {
                    Some(default) => default,
                    None if question.shape == Shape::Text => "goods".to_owned(),
                    None if matches!(question.shape, Shape::Count(_)) => "1".to_owned(),
                    None if question.shape == Shape::Thickness => "4/4".to_owned(),
                    None => return None,
                },
            }),
        }
    }
}

/// The answers being followed.
pub(super) struct Script<'a> {
    answers: std::slice::Iter<'a, String>,
    about: String,
    header: Option<String>,
    before: Vec<String>,
}

impl Script<'_> {
    /// Starts questions about something else.
    fn start(&mut self, about: String, header: Option<String>) {
        self.about = about;
        self.header = header;
    }

    fn tell(&mut self, words: String) {
        self.before.push(words);
    }

    fn ask(
        &mut self,
        ask: &str,
        default: Option<&str>,
        shape: Shape,
    ) -> Result<String, Box<Question>> {
        match self.answers.next() {
            Some(answer) => {
                self.before.clear();
                Ok(answer.clone())
            }
            None => Err(Box::new(Question {
                about: self.about.clone(),
                header: self.header.clone(),
                before: std::mem::take(&mut self.before),
                ask: ask.to_owned(),
                default: default.map(str::to_owned),
                shape,
            })),
        }
    }

    fn yes(&mut self, ask: &str, default: &str) -> Result<bool, Box<Question>> {
        Ok(self.ask(ask, Some(default), Shape::YesNo)? == "y")
    }
}

/// Returns a count with its unit; a bare number is in `unit`.
fn with_unit(count: &str, unit: Unit) -> String {
    let bare = count
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | '/' | ' '));
    if bare {
        format!("{count} {}", unit.name())
    } else {
        count.to_owned()
    }
}

fn same<'s>(answer: &'s str, ordered: &'s str) -> &'s str {
    if answer == "=" { ordered } else { answer }
}

fn put(out: &mut String, indent: &str, key: &str, value: &str) {
    if !value.is_empty() {
        out.push_str(&format!("{indent}{key}: {}\n", quoted(value)));
    }
}

/// Quotes text; JSON's string is YAML's double-quoted one.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

#[cfg(test)]
mod tests {
    use super::{Question, Setting, Shape, accept, follow};
    use crate::intake;
    use crate::model::unit::Unit;

    const ORDER: &str = "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n\
        - {line: 1, item: OAK, quantity: 8 sheet, grade: A, scale: hp1-face, sequence: {sets: [4]}}\n\
        - {line: 2, item: MDF, quantity: 30 sheet, requires: [label]}\n";

    fn asked(answers: &[&str], show_expected: bool) -> Result<String, Box<Question>> {
        let order = intake::order("o", ORDER).unwrap();
        let setting = Setting {
            order: &order,
            number: "PO-1-R1".to_owned(),
            today: "2026-03-19".parse().unwrap(),
            before: vec![None, None],
            show_expected,
        };
        let answers: Vec<String> = answers.iter().map(|answer| (*answer).to_owned()).collect();
        follow(&setting, &answers).map(|written| written.text)
    }

    const HEAD: [&str; 6] = ["RG-1", "2026-03-19", "dock", "", "", ""];

    fn after_head(more: &[&str]) -> Vec<String> {
        HEAD.iter()
            .chain(more)
            .map(|answer| (*answer).to_owned())
            .collect()
    }

    #[test]
    fn the_count_is_blind_and_what_was_ordered_is_told_after_it() {
        let answers = after_head(&[]);
        let answers: Vec<&str> = answers.iter().map(String::as_str).collect();
        let blind = asked(&answers, false).unwrap_err();
        assert_eq!(blind.ask, "how many came, in sheets");
        assert!(
            blind.before.iter().all(|line| !line.contains('8')),
            "{:?}",
            blind.before
        );
        let shown = asked(&answers, true).unwrap_err();
        assert!(
            shown
                .before
                .iter()
                .any(|line| line.contains("ordered: 8 sheets"))
        );
        let mut counted = answers.clone();
        counted.push("6");
        let next = asked(&counted, false).unwrap_err();
        assert_eq!(next.before, ["counted 6 sheets; ordered 8 sheets; grade A"]);
    }

    #[test]
    fn the_answers_make_a_receipt_that_reads_back() {
        let answers = [
            "RG-1",
            "2026-03-19",
            "dock",
            "88213",
            "rack 4",
            "", // head
            "6",
            "8",
            "=",
            "3318: 14-17, 21-22",
            "0",
            "",
            "corner \"A\" soft",
            "n",
            "", // line 1
            "30",
            "",
            "2",
            "n",
            "y",
            "",
            "",
            "n", // line 2
            "y",
            "X-9",
            "a crate",
            "1",
            "n", // strays
        ];
        let text = asked(&answers, false).unwrap();
        let receipt = intake::receipt("r", &text).unwrap();
        assert_eq!(receipt.lines.len(), 3);
        assert_eq!(receipt.lines[0].grade.as_ref().unwrap().value, "A");
        assert_eq!(receipt.lines[0].leaves.len(), 6);
        assert_eq!(receipt.lines[0].note.as_deref(), Some("corner \"A\" soft"));
        assert_eq!(receipt.lines[1].damaged.unwrap().amount, 2.into());
        assert_eq!(receipt.lines[1].papers, ["label"]);
        assert_eq!(receipt.lines[2].item.as_deref(), Some("X-9"));
    }

    #[test]
    fn a_line_that_did_not_come_is_left_out() {
        let answers = [
            "RG-1",
            "2026-03-19",
            "",
            "",
            "",
            "",
            "",
            "30",
            "",
            "0",
            "n",
            "",
            "",
            "n",
            "n",
        ];
        let receipt = intake::receipt("r", &asked(&answers, false).unwrap()).unwrap();
        assert_eq!(receipt.lines.len(), 1);
        assert_eq!(receipt.lines[0].line.as_ref().unwrap().value, "2");
    }

    #[test]
    fn answers_are_read_as_the_file_would_be() {
        let question = |shape| Question {
            about: String::new(),
            header: None,
            before: Vec::new(),
            ask: String::new(),
            default: None,
            shape,
        };
        assert!(accept(&question(Shape::Count(Unit::Sheet)), "6").is_ok());
        assert!(accept(&question(Shape::Count(Unit::Sheet)), "6 1/2").is_ok());
        assert!(accept(&question(Shape::Count(Unit::Sheet)), "-6").is_err());
        assert!(accept(&question(Shape::Count(Unit::Sheet)), "six").is_err());
        assert!(accept(&question(Shape::Date), "2026-02-30").is_err());
        assert!(accept(&question(Shape::Number), "../x").is_err());
        assert!(accept(&question(Shape::Field("leaves")), "3318: 9-2").is_err());
        assert!(accept(&question(Shape::Field("size")), "48 in x 120 in").is_ok());
        assert!(accept(&question(Shape::YesNo), "perhaps").is_err());
        assert!(accept(&question(Shape::Text), "").is_err());
    }
}
