//! The answer for the clerk at the dock: the verdict first, then each line, then what to do. Decides nothing.

pub mod strip;
pub mod wrap;

use crate::model::answer::{Answer, ClaimSummary, LineAnswer, SequenceAnswer};
use crate::model::kind::Effect;
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use crate::report::ink::Ink;
use crate::report::terminal::wrap::Page;
use rust_decimal::Decimal;

/// What the answer does not hold but a person wants to see beside it.
#[derive(Debug, Clone, Default)]
pub struct Beside<'a> {
    /// The supplier's name, where its file is known.
    pub supplier: Option<&'a str>,
    /// The job.
    pub job: Option<&'a str>,
    /// A line for each receipt: number, date, slip.
    pub receipts: Vec<String>,
    /// The claim, where there is one.
    pub claim: Option<&'a ClaimSummary>,
}

/// Returns the answer as the terminal shows it.
pub fn answer(answer: &Answer, beside: &Beside<'_>, width: usize, ink: Ink) -> String {
    let mut page = Page::new(width);
    heading(&mut page, answer, beside, ink);
    verdict(&mut page, answer, ink);
    for line in &answer.lines {
        page.blank();
        order_line(&mut page, line, ink);
    }
    if !answer.not_ordered.is_empty() {
        page.blank();
        page.plain(&ink.strong("not ordered"));
        for stray in &answer.not_ordered {
            for finding in &stray.findings {
                let place = format!(" ({}, its line {})", stray.receipt, stray.index);
                page.item(&ink.bad("x"), &format!("{}{place}", finding.text));
            }
        }
    }
    what_to_do(&mut page, answer, beside, ink);
    page.text()
}

fn heading(page: &mut Page, answer: &Answer, beside: &Beside<'_>, ink: Ink) {
    let mut head = format!(
        "{}  {}",
        answer.order,
        beside.supplier.unwrap_or(&answer.supplier)
    );
    if let Some(job) = beside.job {
        head.push_str(&format!("  {job}"));
    }
    page.wrapped(0, &head);
    for receipt in &beside.receipts {
        page.wrapped_as(0, receipt, |text| ink.quiet(text));
    }
    page.blank();
}

fn verdict(page: &mut Page, answer: &Answer, ink: Ink) {
    let differ = answer.lines.iter().filter(|line| !line.as_ordered).count();
    let open: Vec<&LineAnswer> = answer
        .lines
        .iter()
        .filter(|line| !line.open.is_zero())
        .collect();
    if answer.as_ordered {
        let rest = if open.is_empty() {
            String::new()
        } else {
            let parts: Vec<String> = open
                .iter()
                .map(|line| format!("{} of line {}", say(line.open, line.unit), line.line))
                .collect();
            format!(" so far; still to come: {}", parts.join(", "))
        };
        page.plain(&format!("{}{rest}", ink.good("AS ORDERED")));
        return;
    }
    let look = answer.lines.iter().all(|line| {
        line.findings
            .iter()
            .all(|finding| finding.kind.effect() != Effect::Claimed)
    }) && answer.not_ordered.is_empty();
    let mut parts = Vec::new();
    if differ > 0 {
        parts.push(format!(
            "{differ} of {} {}",
            answer.lines.len(),
            plural(answer.lines.len(), "line", "lines")
        ));
    }
    if !answer.not_ordered.is_empty() {
        let count = answer.not_ordered.len();
        parts.push(format!(
            "{count} {} not ordered",
            plural(count, "lot", "lots")
        ));
    }
    let word = if look {
        ink.look("NOT AS ORDERED")
    } else {
        ink.bad("NOT AS ORDERED")
    };
    page.plain(&format!("{word}  {}", parts.join(", ")));
}

fn plural<'w>(count: usize, one: &'w str, many: &'w str) -> &'w str {
    if count == 1 { one } else { many }
}

fn order_line(page: &mut Page, line: &LineAnswer, ink: Ink) {
    let mut head = format!("line {}", line.line);
    for words in [&line.item, &line.description].into_iter().flatten() {
        head.push_str(&format!("  {words}"));
    }
    page.wrapped_as(0, &head, |text| ink.strong(text));
    let held = line.arrived - line.usable;
    let mut counts = format!(
        "ordered {}   arrived {}",
        say(line.ordered, line.unit),
        line.arrived
    );
    if !line.as_ordered {
        counts.push_str(&format!("   use now {}", line.usable));
        if !held.is_zero() {
            counts.push_str(&format!("   hold {held}"));
        }
    }
    page.wrapped(2, &counts);
    if line.as_ordered && line.findings.is_empty() {
        page.item(&ink.good("ok"), "as ordered");
    }
    for finding in &line.findings {
        let mark = match finding.kind.effect() {
            Effect::Claimed => ink.bad("x"),
            Effect::LookAgain => ink.look("?"),
            Effect::Informs | Effect::Logged => ink.quiet("i"),
        };
        page.item(&mark, &finding.text);
    }
    for lot in &line.lots {
        if let Some(why) = &lot.paired_by {
            page.item(
                &ink.quiet("i"),
                &format!(
                    "{} line {} was put here by its {why}",
                    lot.receipt, lot.index
                ),
            );
        }
    }
    if let Some(sequence) = &line.sequence {
        strip::leaves(page, sequence, ink);
        completions(page, sequence);
    }
}

fn completions(page: &mut Page, sequence: &SequenceAnswer) {
    if let Some(unmarked) = &sequence.unmarked {
        page.wrapped(2, &unmarked.sure);
    }
    if sequence.would_complete.is_empty() {
        return;
    }
    let mut options: Vec<(usize, Vec<String>)> = Vec::new();
    for completion in &sequence.would_complete {
        let words = format!(
            "{}/{}",
            completion.run.flitch,
            strip::ranges(&completion.run.leaves)
        );
        match options
            .iter_mut()
            .find(|(option, _)| *option == completion.option)
        {
            Some((_, parts)) => parts.push(words),
            None => options.push((completion.option, vec![words])),
        }
    }
    let choices: Vec<String> = options
        .into_iter()
        .map(|(_, parts)| parts.join(" with "))
        .collect();
    page.wrapped(
        2,
        &format!("would complete it: leaves {}", choices.join(", or ")),
    );
}

fn what_to_do(page: &mut Page, answer: &Answer, beside: &Beside<'_>, ink: Ink) {
    if !answer.causes.is_empty() {
        page.blank();
        for cause in &answer.causes {
            page.labelled("likely cause", &cause.text);
        }
    }
    if answer.as_ordered {
        notes(page, answer, ink);
        return;
    }
    page.blank();
    for line in answer.lines.iter().filter(|line| !line.usable.is_zero()) {
        page.labelled(
            "use now",
            &format!(
                "line {}: {}{}",
                line.line,
                say(line.usable, line.unit),
                sets(line)
            ),
        );
    }
    for line in &answer.lines {
        let held = line.arrived - line.usable;
        if !held.is_zero() {
            page.labelled(
                "hold",
                &format!(
                    "line {}: {}{}",
                    line.line,
                    say(held, line.unit),
                    why_held(line)
                ),
            );
        }
    }
    for stray in &answer.not_ordered {
        let what = stray
            .item
            .as_deref()
            .or(stray.description.as_deref())
            .unwrap_or("goods");
        page.labelled(
            "hold",
            &format!(
                "{} of {what}: not ordered; keep apart",
                say(stray.amount, stray.unit)
            ),
        );
    }
    if let Some(billing) = &answer.billing {
        page.labelled("pay now", &Money(billing.pay_now).to_string());
        page.labelled("withhold", &Money(billing.withhold).to_string());
        for line in &billing.arithmetic {
            page.wrapped(14, line);
        }
    }
    if let Some(claim) = beside.claim {
        let value = claim.value.map_or_else(
            || "value not known: the order has no price for it".to_owned(),
            |value| format!("{value} {}", claim.currency),
        );
        page.labelled("claim", &value);
        match (claim.notify_by, &claim.notify_why) {
            (Some(date), Some(why)) => {
                page.labelled(
                    "notice by",
                    &format!("{} ({why})", ink.strong(&date.to_string())),
                );
            }
            (Some(date), None) => page.labelled("notice by", &date.to_string()),
            (None, _) => page.labelled("notice by", "not known here; see below"),
        }
    }
    page.blank();
    page.wrapped_as(
        0,
        "Hold means: set apart, do not cut or press. Using the goods accepts them.",
        |text| ink.quiet(text),
    );
    notes(page, answer, ink);
}

fn notes(page: &mut Page, answer: &Answer, ink: Ink) {
    for note in &answer.left_out {
        page.wrapped_as(0, &format!("left out: {note}"), |text| ink.quiet(text));
    }
}

fn sets(line: &LineAnswer) -> String {
    let Some(sequence) = &line.sequence else {
        return String::new();
    };
    let parts: Vec<String> = sequence
        .filled
        .iter()
        .map(|set| {
            let face = sequence.faces.get(set.wanted).and_then(Option::as_deref);
            let name = face.map_or_else(|| format!("set {}", set.wanted + 1), ToOwned::to_owned);
            format!("{name} from {}/{}", set.flitch, strip::ranges(&set.leaves))
        })
        .collect();
    // A long list is in the strip above; here it would hide the rest.
    match parts.len() {
        0 => String::new(),
        1..=6 => format!(" ({})", parts.join("; ")),
        many => format!(" ({many} sets, as above)"),
    }
}

fn why_held(line: &LineAnswer) -> String {
    let mut reasons: Vec<&str> = Vec::new();
    let mut add = |reason: &'static str| {
        if !reasons.contains(&reason) {
            reasons.push(reason);
        }
    };
    for finding in &line.findings {
        match finding.kind.effect() {
            Effect::Claimed => add(finding.kind.held_because()),
            Effect::LookAgain => add("look again"),
            Effect::Informs | Effect::Logged => {}
        }
    }
    if reasons.is_empty() {
        ": spare".to_owned()
    } else {
        format!(": {}", reasons.join(", "))
    }
}

fn say(amount: Decimal, unit: Unit) -> String {
    Quantity::new(amount, unit).to_string()
}
