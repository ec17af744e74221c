//! Reads what was typed at one question, and tells what can be. Pure.

use crate::cli::receive::script::{Question, Shape, quoted, with_unit};
use crate::intake;
use crate::model::unit::Unit;

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
            .ok_or_else(|| format!("there must be an answer: {}", help(question)));
    }
    if typed == "-" && question.default.as_deref() == Some("") {
        return Ok(String::new());
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
        | Shape::Measured(_)
        | Shape::Boards
        | Shape::Thickness
        | Shape::Property => read_alone(question.shape, typed).map(|()| typed.to_owned()),
    }
}

/// Tells what can be typed at a question.
pub fn help(question: &Question) -> String {
    let what = match question.shape {
        Shape::Number => "a number without spaces, as `RG-311`".to_owned(),
        Shape::Date => "a date, as `2026-03-19`".to_owned(),
        Shape::Text => "any words on one line".to_owned(),
        Shape::Count(Unit::Each) => "a count, as `8`, or with another unit, as `2 box`".to_owned(),
        Shape::Count(unit) => format!(
            "an amount in {}, as `8` or `6 1/2`, or with another unit, as `12 each`",
            unit.plural()
        ),
        Shape::Field("size") => {
            "across the grain x along it, as `48 in x 120 in`; `=` as ordered".to_owned()
        }
        Shape::Field(_) => "as on the label; `=` as ordered".to_owned(),
        Shape::Measured("size") => "width x height, as `28 1/4 in x 19 3/4 in`".to_owned(),
        Shape::Measured("moisture") => "per cent, as `7 %`".to_owned(),
        Shape::Measured("leaves") => {
            "flitch: leaf numbers, as `3318: 14-17, 21`; several flitches with `;`".to_owned()
        }
        Shape::Measured(name) => format!("the {name}"),
        Shape::Boards => {
            "each board as width x length, as `6.25x8, 7x10, 9 1/2x12`; empty to give bd ft"
                .to_owned()
        }
        Shape::Thickness => "quarters of an inch, as `5/4`".to_owned(),
        Shape::Property => "as found; `=` as ordered".to_owned(),
        Shape::YesNo => "`y` or `n`".to_owned(),
        Shape::Photos => "paths of files, separated by commas".to_owned(),
    };
    match question.default.as_deref() {
        Some("") => format!("{what}; Enter or `-` for none"),
        Some(_) => format!("{what}; Enter takes what stands in brackets"),
        None => what,
    }
}

/// Reads an answer as a receipt's file would be read, in a receipt that holds nothing else.
fn read_alone(shape: Shape, typed: &str) -> Result<(), String> {
    let value = quoted(typed);
    let plain = |field: String| ("x".to_owned(), "2000-01-01".to_owned(), field);
    let (number, date, field) = match shape {
        Shape::Number => (value, "2000-01-01".to_owned(), String::new()),
        Shape::Date => ("x".to_owned(), value, String::new()),
        Shape::Count(unit) => plain(format!(", slip: {}", quoted(&with_unit(typed, unit)))),
        Shape::Field(name) | Shape::Measured(name) => plain(format!(", {name}: {value}")),
        Shape::Boards => plain(format!(", tally: {{thickness: 4/4, boards: {value}}}")),
        Shape::Thickness => plain(format!(", tally: {{thickness: {value}, boards: \"6x8\"}}")),
        Shape::Text | Shape::Property | Shape::YesNo | Shape::Photos => {
            plain(format!(", item: {value}"))
        }
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
