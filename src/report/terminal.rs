//! The answer for the clerk at the dock: the verdict first, then each line, then what to do. Decides nothing.

pub mod strip;
pub mod wrap;

use crate::claim::standing::LineStanding;
use crate::model::answer::{Answer, LineAnswer, SequenceAnswer};
use crate::model::kind::Effect;
use crate::report::ink::Ink;
use crate::report::terminal::wrap::Page;
use crate::report::todo::{self, Claimed, Tone, say};
use chrono::NaiveDate;

/// What the answer does not hold but a person wants to see beside it.
#[derive(Debug, Clone, Default)]
pub struct Beside<'a> {
    /// The supplier's name, where its file is known.
    pub supplier: Option<&'a str>,
    /// The job.
    pub job: Option<&'a str>,
    /// A line for each receipt: number, date, slip.
    pub receipts: Vec<String>,
    /// What is known of the order's claims.
    pub claimed: Claimed<'a>,
    /// The day it is, to say which day has passed.
    pub today: Option<NaiveDate>,
}

/// Returns the answer as the terminal shows it.
pub fn answer(answer: &Answer, beside: &Beside<'_>, width: usize, ink: Ink) -> String {
    let mut page = Page::new(width);
    heading(&mut page, answer, beside, ink);
    verdict(&mut page, answer, ink);
    for (label, text) in todo::causes(answer) {
        page.labelled(label, &text);
    }
    for line in &answer.lines {
        page.blank();
        order_line(&mut page, answer, line, &beside.claimed.standing, ink);
    }
    if !answer.not_ordered.is_empty() {
        page.blank();
        page.plain(&ink.strong("not ordered"));
        for stray in &answer.not_ordered {
            for finding in &stray.findings {
                let place = format!(" ({}, its line {})", stray.receipt, stray.index);
                page.item(&ink.bad("x"), &format!("{}{place}", finding.text));
                if let Some(advice) = &finding.advice
                    && !todo::stray_held(stray, &beside.claimed.standing).is_zero()
                {
                    page.item(&ink.look("!"), advice);
                }
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
    let words = todo::verdict(answer);
    let (word, rest) = words.split_at(
        words
            .find("ORDERED")
            .map_or(0, |start| start + "ORDERED".len()),
    );
    let word = match todo::tone(answer) {
        Tone::Right => ink.good(word),
        Tone::Look => ink.look(word),
        Tone::Wrong => ink.bad(word),
    };
    page.wrapped(0, &format!("{word}{rest}"));
}

fn order_line(
    page: &mut Page,
    answer: &Answer,
    line: &LineAnswer,
    standing: &[LineStanding],
    ink: Ink,
) {
    let mut head = format!("line {}", line.line);
    for words in [&line.item, &line.description].into_iter().flatten() {
        head.push_str(&format!("  {words}"));
    }
    page.wrapped_as(0, &head, |text| ink.strong(text));
    let held = todo::held(line, standing);
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
        let settled = (line.arrived - line.usable - held).normalize();
        if !settled.is_zero() {
            counts.push_str(&format!("   collected or kept {settled}"));
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
        page.item(&mark, &todo::sentence(answer, line, finding));
    }
    for advice in todo::advice(line, standing) {
        page.item(&ink.look("!"), advice);
    }
    for lot in &line.lots {
        if let Some(measured) = &lot.measured {
            page.item(&ink.quiet("i"), measured);
        }
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
        for words in &sequence.worked_out {
            page.item(&ink.quiet("i"), words);
        }
        strip::leaves(page, sequence, ink);
        completions(page, sequence);
    }
}

fn completions(page: &mut Page, sequence: &SequenceAnswer) {
    if let Some(unmarked) = &sequence.unmarked {
        page.wrapped(2, &unmarked.sure);
    }
    if let Some(words) = todo::complete(sequence) {
        page.wrapped(2, &words);
    }
}

fn what_to_do(page: &mut Page, answer: &Answer, beside: &Beside<'_>, ink: Ink) {
    let rows = todo::rows(answer, &beside.claimed, beside.today);
    if !rows.is_empty() {
        page.blank();
    }
    for (label, text) in &rows {
        page.labelled(label, text);
    }
    if todo::anything_held(answer, &beside.claimed.standing) {
        page.blank();
        page.wrapped_as(0, todo::CAUTION, |text| ink.quiet(text));
    }
    notes(page, answer, ink);
}

fn notes(page: &mut Page, answer: &Answer, ink: Ink) {
    for note in &answer.notes {
        page.wrapped(0, &format!("{} {note}", ink.look("look:")));
    }
    for note in &answer.left_out {
        page.wrapped_as(0, &format!("left out: {note}"), |text| ink.quiet(text));
    }
}
