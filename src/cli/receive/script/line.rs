//! The questions about one order line: its count, then what the order makes worth asking about each lot. Pure.

use crate::check::grade::grade_text;
use crate::check::measure;
use crate::cli::receive::script::{Question, Script, Setting, Shape, put, quoted, same, with_unit};
use crate::intake;
use crate::model::order::OrderLine;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use rust_decimal::Decimal;

pub(super) fn one_line(
    setting: &Setting<'_>,
    line: &OrderLine,
    came_before: Option<Decimal>,
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
    let about = format!("line {}", line.line);
    let header = format!("{about}: {}", what.join(", "));
    script.start(about.clone(), Some(header.clone()));
    script.tell(header.clone());
    if setting.show_expected {
        script.tell(format!("ordered: {}", line.quantity));
    }
    let mut lot = 1;
    let mut counted = Some(came_before.unwrap_or_default());
    loop {
        let Some((entry, amount)) = count(line, lot, script)? else {
            return Ok(());
        };
        counted = counted.zip(amount).map(|(all, amount)| all + amount);
        out.push_str(&format!("  - line: {}\n{entry}", quoted(&line.line)));
        if lot == 1 {
            script.tell(expected(line, &entry, amount, came_before));
        }
        if amount.is_some_and(|amount| amount.is_zero()) {
            break;
        }
        one_lot(line, receipt, script, out, photos)?;
        if !script.yes(
            "another lot of this line, with another grade, size or place",
            "n",
        )? {
            break;
        }
        lot += 1;
        script.start(format!("{about}, lot {lot}"), Some(header.clone()));
    }
    // What did not come may be announced; asked once, where something is missing or nobody can tell.
    if counted.is_none_or(|counted| counted < line.quantity.amount) {
        script.start(about, Some(header));
        let back_order = script.ask(
            "how many does the slip say will follow",
            Some(""),
            Shape::Count(unit),
        )?;
        if !back_order.is_empty() {
            put(out, "    ", "back_order", &with_unit(&back_order, unit));
        }
    }
    Ok(())
}

/// Asks how much of a lot came: boards for lumber, else a count. Returns its keys, and the amount in the order's unit
/// where it can be told; nothing where the line did not come.
fn count(
    line: &OrderLine,
    lot: usize,
    script: &mut Script<'_>,
) -> Result<Option<(String, Option<Decimal>)>, Box<Question>> {
    let unit = line.quantity.unit;
    let mut entry = String::new();
    if unit == Unit::BoardFoot {
        let boards = script.ask(
            "boards, width in inches x length in feet, as `6.25x8, 7x10`",
            Some(""),
            Shape::Boards,
        )?;
        if !boards.is_empty() {
            let thickness = script.ask("their thickness, as `5/4`", None, Shape::Thickness)?;
            entry.push_str(&format!(
                "    tally: {{thickness: {}, boards: {}}}\n",
                quoted(&thickness),
                quoted(&boards)
            ));
            let amount = amount(line, &entry);
            return Ok(Some((entry, amount)));
        }
    }
    let ask = match (lot, unit) {
        (1, Unit::BoardFoot) => "how many came, in bd ft, where they were not tallied".to_owned(),
        (1, _) => format!("how many came, in {}", unit.plural()),
        (_, _) => format!("how many in this lot, in {}", unit.plural()),
    };
    let count = script.ask(&ask, Some(""), Shape::Count(unit))?;
    if count.is_empty() {
        return Ok(None);
    }
    put(&mut entry, "    ", "quantity", &with_unit(&count, unit));
    let amount = amount(line, &entry);
    Ok(Some((entry, amount)))
}

/// Returns how much an entry of the receipt is in the order line's unit, where it converts.
fn amount(line: &OrderLine, entry: &str) -> Option<Decimal> {
    let text = format!("receipt: x\norder: x\ndate: 2000-01-01\nlines:\n  - item: x\n{entry}");
    let receipt = intake::receipt("", &text).ok()?;
    let lot = receipt.lines.first()?;
    measure::in_unit(line, lot).ok()
}

/// Asks what the order makes worth asking about one lot.
fn one_lot(
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
    } else if line.opening.is_some() {
        let came = script.ask(
            "size as measured, for its opening",
            Some(""),
            Shape::Measured("size"),
        )?;
        put(out, "    ", "size", &came);
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
    if line.moisture.is_some() {
        let came = script.ask(
            "moisture as measured, as `7 %`",
            Some(""),
            Shape::Measured("moisture"),
        )?;
        put(out, "    ", "moisture", &came);
    }
    if line.sequence.is_some() || line.clear.is_some() {
        let leaves = script.ask(
            "leaves, as `3318: 14-17, 21`",
            Some(""),
            Shape::Measured("leaves"),
        )?;
        put(out, "    ", "leaves", &leaves);
    }
    let damaged = script.ask("how many are damaged", Some("0"), Shape::Count(unit))?;
    if !is_nothing(&damaged) {
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

fn is_nothing(count: &str) -> bool {
    count
        .split(' ')
        .next()
        .is_some_and(|number| number.trim_matches(['0', '.']).is_empty())
}

/// Tells what was expected, once the count is given: as counted, and in the order's unit where that is another.
fn expected(
    line: &OrderLine,
    entry: &str,
    amount: Option<Decimal>,
    before: Option<Decimal>,
) -> String {
    let unit = line.quantity.unit;
    let counted = amount.map(|amount| Quantity::new(amount, unit).to_string());
    let typed = entry
        .trim()
        .strip_prefix("quantity: ")
        .and_then(|text| serde_json::from_str::<String>(text).ok())
        .and_then(|text| said(&text));
    let counted = match (typed, counted) {
        (Some(typed), Some(counted)) if typed != counted => format!("counted {typed}, {counted}"),
        (Some(typed), None) => format!("counted {typed}, which does not convert"),
        (_, Some(counted)) => format!("counted {counted}"),
        (None, None) => "counted".to_owned(),
    };
    let mut out = format!("{counted}; ordered {}", line.quantity);
    if let Some(before) = before {
        out.push_str(&format!(", {} came before", before.normalize()));
    }
    if let Some(grade) = &line.grade {
        out.push_str(&format!("; grade {}", grade_text(grade)));
    }
    if let Some(size) = &line.size {
        out.push_str(&format!("; size {size}"));
    }
    for (name, value) in &line.finish {
        out.push_str(&format!("; {name} {value}"));
    }
    out
}

/// Returns a count that was typed as it reads in a sentence.
fn said(text: &str) -> Option<String> {
    let text = format!(
        "receipt: x\norder: x\ndate: 2000-01-01\nlines: [{{item: x, quantity: {}}}]\n",
        quoted(text)
    );
    let receipt = intake::receipt("", &text).ok()?;
    let quantity = receipt.lines.first()?.quantity.as_ref()?;
    Some(quantity.value.to_string())
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
