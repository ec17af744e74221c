//! The questions at the dock, in order, as a function of the answers so far. Pure: going back is one answer fewer,
//! resuming is the answers kept. Reads no keys and prints nothing.

use crate::intake;
use crate::model::order::{Order, OrderLine};
use crate::model::unit::Unit;
use chrono::NaiveDate;

/// One question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What is told before it: a heading, what was expected.
    pub before: Vec<String>,
    /// The question.
    pub ask: String,
    /// What an empty answer stands for; `None` where there must be one.
    pub default: Option<String>,
    /// How an answer is read.
    pub shape: Shape,
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
    /// How much of each line came before, in words; as long as the order's lines.
    pub before: Vec<Option<String>>,
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

/// Follows the script.
///
/// # Errors
/// Not an error: the next question, where the answers end.
pub fn follow(setting: &Setting<'_>, answers: &[String]) -> Result<Written, Box<Question>> {
    let mut script = Script {
        answers: answers.iter(),
        before: vec![format!(
            "receiving on order {}; `back` goes back, `stop` keeps what you said for later",
            setting.order.number
        )],
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
        let noted = script.ask(
            "noted on the carrier's delivery receipt",
            Some(""),
            Shape::Text,
        )?;
        out.push_str(&format!("carrier:\n  name: {}\n", quoted(&carrier)));
        put(&mut out, "  ", "noted", &noted);
    }
    out.push_str("lines:\n");
    let mut photos = Vec::new();
    for (place, line) in setting.order.lines.iter().enumerate() {
        one_line(
            setting,
            line,
            setting.before.get(place),
            &number,
            &mut script,
            &mut out,
            &mut photos,
        )?;
    }
    while script.yes("did anything come that is not on the order", "n")? {
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

fn one_line(
    setting: &Setting<'_>,
    line: &OrderLine,
    came_before: Option<&Option<String>>,
    receipt: &str,
    script: &mut Script<'_>,
    out: &mut String,
    photos: &mut Vec<(String, String)>,
) -> Result<(), Box<Question>> {
    let unit = line.quantity.unit;
    let what: Vec<&str> = [line.item.as_deref(), line.description.as_deref()]
        .into_iter()
        .flatten()
        .collect();
    script.tell(format!("line {}: {}", line.line, what.join(", ")));
    if setting.show_expected {
        script.tell(format!("  ordered: {}", line.quantity));
    }
    let mut ask = format!("how many came, in {}", unit.plural());
    let mut first = true;
    loop {
        let count = script.ask(&ask, Some(""), Shape::Count(unit))?;
        if count.is_empty() {
            return Ok(());
        }
        let count = with_unit(&count, unit);
        out.push_str(&format!(
            "  - line: {}\n    quantity: {}\n",
            quoted(&line.line),
            quoted(&count)
        ));
        if first {
            script.tell(expected(
                line,
                &count,
                came_before.and_then(Option::as_deref),
            ));
        }
        let nothing = count
            .split(' ')
            .next()
            .is_some_and(|number| number.trim_matches(['0', '.']).is_empty());
        if nothing {
            let back_order = script.ask(
                "how many does the slip say will follow",
                Some(""),
                Shape::Count(unit),
            )?;
            if !back_order.is_empty() {
                put(out, "    ", "back_order", &with_unit(&back_order, unit));
            }
            return Ok(());
        }
        lot(line, receipt, script, out, photos)?;
        if !script.yes(
            "another lot of this line, with another grade, size or place",
            "n",
        )? {
            return Ok(());
        }
        first = false;
        ask = format!("how many in this lot, in {}", unit.plural());
    }
}

/// Asks what the order makes worth asking about one lot.
fn lot(
    line: &OrderLine,
    receipt: &str,
    script: &mut Script<'_>,
    out: &mut String,
    photos: &mut Vec<(String, String)>,
) -> Result<(), Box<Question>> {
    let unit = line.quantity.unit;
    let slip = script.ask("what does the slip say", Some(""), Shape::Count(unit))?;
    if !slip.is_empty() {
        put(out, "    ", "slip", &with_unit(&slip, unit));
    }
    if let Some(grade) = &line.grade {
        let came = script.ask(
            "grade on the label (`=` as ordered)",
            Some(""),
            Shape::Field("grade"),
        )?;
        put(out, "    ", "grade", same(&came, &grade.grade));
    }
    if let Some(size) = &line.size {
        let came = script.ask(
            "size as measured (`=` as ordered)",
            Some(""),
            Shape::Field("size"),
        )?;
        put(out, "    ", "size", same(&came, &size.to_string()));
    }
    let mut finish = Vec::new();
    for (name, wanted) in &line.finish {
        let came = script.ask(
            &format!("{name} (`=` as ordered)"),
            Some(""),
            Shape::Property,
        )?;
        if !came.is_empty() {
            finish.push(format!("{}: {}", quoted(name), quoted(same(&came, wanted))));
        }
    }
    if !finish.is_empty() {
        out.push_str(&format!("    finish: {{{}}}\n", finish.join(", ")));
    }
    if line.sequence.is_some() || line.clear.is_some() {
        let leaves = script.ask(
            "leaves, as `3318: 14-17, 21`",
            Some(""),
            Shape::Field("leaves"),
        )?;
        put(out, "    ", "leaves", &leaves);
    }
    let damaged = script.ask("how many are damaged", Some("0"), Shape::Count(unit))?;
    if damaged.trim_matches(['0', '.']).is_empty() {
        // Nothing damaged, nothing to say about it.
    } else {
        put(out, "    ", "damaged", &with_unit(&damaged, unit));
        let seen = script.yes("was it seen at delivery", "y")?;
        put(
            out,
            "    ",
            "damage",
            if seen { "visible" } else { "concealed" },
        );
    }
    let mut papers = Vec::new();
    for paper in &line.requires {
        if script.yes(&format!("did it come with: {paper}"), "n")? {
            papers.push(quoted(paper));
        }
    }
    if !papers.is_empty() {
        out.push_str(&format!("    papers: [{}]\n", papers.join(", ")));
    }
    let shown = script.ask(
        "photographs, paths separated by commas",
        Some(""),
        Shape::Photos,
    )?;
    let mut names = Vec::new();
    for from in shown
        .split(',')
        .map(str::trim)
        .filter(|from| !from.is_empty())
    {
        let to = format!("photos/{receipt}/{}-{}", photos.len() + 1, file_name(from));
        names.push(quoted(&to));
        photos.push((from.to_owned(), to));
    }
    if !names.is_empty() {
        out.push_str(&format!("    photos: [{}]\n", names.join(", ")));
    }
    let note = script.ask("a note", Some(""), Shape::Text)?;
    put(out, "    ", "note", &note);
    Ok(())
}

/// Tells what was expected, once the count is given.
fn expected(line: &OrderLine, counted: &str, before: Option<&str>) -> String {
    let mut out = format!("  counted {counted}; ordered {}", line.quantity);
    if let Some(before) = before {
        out.push_str(&format!(", {before} came before"));
    }
    if let Some(grade) = &line.grade {
        out.push_str(&format!(
            "; grade {}",
            crate::check::grade::grade_text(grade)
        ));
    }
    if let Some(size) = &line.size {
        out.push_str(&format!("; size {size}"));
    }
    for (name, value) in &line.finish {
        out.push_str(&format!("; {name} {value}"));
    }
    out
}

struct Script<'a> {
    answers: std::slice::Iter<'a, String>,
    before: Vec<String>,
}

impl Script<'_> {
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

/// Returns the answer as the script keeps it.
///
/// # Errors
/// What was found and what was expected.
pub fn accept(question: &Question, typed: &str) -> Result<String, String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return question
            .default
            .clone()
            .ok_or_else(|| "there must be an answer".to_owned());
    }
    match question.shape {
        Shape::YesNo => match typed.to_lowercase().as_str() {
            "y" | "yes" => Ok("y".to_owned()),
            "n" | "no" => Ok("n".to_owned()),
            _ => Err(format!("found `{typed}`, expected `y` or `n`")),
        },
        Shape::Field(_) | Shape::Property if typed == "=" => Ok(typed.to_owned()),
        Shape::Photos => Ok(typed.to_owned()),
        Shape::Number
        | Shape::Date
        | Shape::Text
        | Shape::Count(_)
        | Shape::Field(_)
        | Shape::Property => read_alone(question.shape, typed).map(|()| typed.to_owned()),
    }
}

/// Reads an answer as a receipt's file would be read, in a receipt that holds nothing else.
fn read_alone(shape: Shape, typed: &str) -> Result<(), String> {
    let value = quoted(typed);
    let (number, date, field) = match shape {
        Shape::Number => (value, "2000-01-01".to_owned(), String::new()),
        Shape::Date => ("x".to_owned(), value, String::new()),
        Shape::Count(unit) => (
            "x".to_owned(),
            "2000-01-01".to_owned(),
            format!(", slip: {}", quoted(&with_unit(typed, unit))),
        ),
        Shape::Field(name) => (
            "x".to_owned(),
            "2000-01-01".to_owned(),
            format!(", {name}: {value}"),
        ),
        Shape::Text | Shape::Property | Shape::YesNo | Shape::Photos => (
            "x".to_owned(),
            "2000-01-01".to_owned(),
            format!(", item: {value}"),
        ),
    };
    let text = format!(
        "receipt: {number}\norder: x\ndate: {date}\nlines: [{{quantity: 1 each{field}}}]\n"
    );
    match intake::receipt("", &text) {
        Ok(_) => Ok(()),
        Err(problems) => Err(problems
            .first()
            .map(|problem| match &problem.hint {
                Some(hint) => format!("{} ({hint})", problem.text),
                None => problem.text.clone(),
            })
            .unwrap_or_default()),
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

/// Returns the last part of a path, with only what any disk takes in a name.
fn file_name(path: &str) -> String {
    let name = path.rsplit(['/', '\\']).next().unwrap_or(path);
    let name: String = name
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || matches!(c, '.' | '_' | '-') {
                c
            } else {
                '_'
            }
        })
        .collect();
    name.trim_start_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::{Question, Setting, Shape, accept, follow};
    use crate::intake;
    use crate::model::unit::Unit;

    const ORDER: &str = "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n\
        - {line: 1, item: OAK, quantity: 8 sheet, grade: A, scale: hp1-face, sequence: {sets: [4]}}\n\
        - {line: 2, item: MDF, quantity: 30 sheet, requires: [label]}\n";

    fn asked(answers: &[&str], show_expected: bool) -> Result<String, Question> {
        let order = intake::order("o", ORDER).unwrap();
        let setting = Setting {
            order: &order,
            number: "PO-1-R1".to_owned(),
            today: "2026-03-19".parse().unwrap(),
            before: vec![None, None],
            show_expected,
        };
        let answers: Vec<String> = answers.iter().map(|answer| (*answer).to_owned()).collect();
        follow(&setting, &answers)
            .map(|written| written.text)
            .map_err(|question| *question)
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
        assert_eq!(
            next.before,
            ["  counted 6 sheet; ordered 8 sheets; grade A"]
        );
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
            "n", // line 1
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
