//! The verdict and what to do, in words, for the terminal and the page alike. Decides nothing: it reads the answer.

use crate::claim::standing::LineStanding;
use crate::model::answer::{Answer, ClaimSummary, LineAnswer, SequenceAnswer, Stray};
use crate::model::finding::Finding;
use crate::model::kind::{Aspect, Effect, Kind};
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use crate::model::words::ranges;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// What using the goods means (UCC 2-606), in the words of the dock.
pub const CAUTION: &str =
    "Hold means: set apart, do not cut or press. Using the goods accepts them.";

/// Returns how much of a line stands here and may not be used: all that came and is not usable, less what was collected
/// or kept since, where that is known.
pub fn held(line: &LineAnswer, standing: &[LineStanding]) -> Decimal {
    known(standing, &line.line)
        .unwrap_or(line.arrived - line.usable)
        .normalize()
}

/// Returns how much of goods that no line asked for still stands here.
pub fn stray_held(stray: &Stray, standing: &[LineStanding]) -> Decimal {
    known(standing, &format!("{}:{}", stray.receipt, stray.index)).unwrap_or(stray.amount)
}

fn known(standing: &[LineStanding], place: &str) -> Option<Decimal> {
    standing
        .iter()
        .find(|one| one.line == place)
        .map(|one| one.held)
}

/// Returns whether anything that arrived is held.
pub fn anything_held(answer: &Answer, standing: &[LineStanding]) -> bool {
    let strays = answer.not_ordered.iter();
    strays
        .map(|stray| stray_held(stray, standing))
        .chain(answer.lines.iter().map(|line| held(line, standing)))
        .any(|held| !held.is_zero())
}

/// How the verdict sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As ordered.
    Right,
    /// Something was not recorded well enough; nothing is claimed.
    Look,
    /// Not as ordered.
    Wrong,
}

/// Returns how the verdict sounds.
pub fn tone(answer: &Answer) -> Tone {
    let claimed = answer
        .lines
        .iter()
        .flat_map(|line| &line.findings)
        .any(|finding| finding.kind.effect() == Effect::Claimed);
    if answer.as_ordered {
        Tone::Right
    } else if claimed || !answer.not_ordered.is_empty() {
        Tone::Wrong
    } else {
        Tone::Look
    }
}

/// Returns the verdict in one line.
pub fn verdict(answer: &Answer) -> String {
    if answer.as_ordered {
        let open: Vec<String> = answer
            .lines
            .iter()
            .filter(|line| !line.open.is_zero())
            .map(|line| format!("{} of line {}", say(line.open, line.unit), line.line))
            .collect();
        return if open.is_empty() {
            "AS ORDERED".to_owned()
        } else {
            format!("AS ORDERED so far; still to come: {}", open.join(", "))
        };
    }
    if only_in_time(answer) {
        return "NOT AS ORDERED  only in time; the goods are as ordered".to_owned();
    }
    let mut parts = Vec::new();
    let differ = answer.lines.iter().filter(|line| !line.as_ordered).count();
    if differ > 0 {
        let verb = if differ == 1 { "differs" } else { "differ" };
        parts.push(format!(
            "{differ} of {} {verb}",
            counted(answer.lines.len(), "line", "lines")
        ));
    }
    if !answer.not_ordered.is_empty() {
        parts.push(format!(
            "{} not ordered",
            counted(answer.not_ordered.len(), "lot", "lots")
        ));
    }
    format!("NOT AS ORDERED  {}", parts.join(", "))
}

/// Returns whether nothing differs but the date.
fn only_in_time(answer: &Answer) -> bool {
    answer.not_ordered.is_empty()
        && answer
            .lines
            .iter()
            .flat_map(|line| &line.findings)
            .all(|finding| {
                finding.kind.effect() == Effect::Informs || finding.kind.aspect() == Aspect::Timing
            })
}

/// Returns `1 line`, `2 lines`.
fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Returns the likely causes as label and text: each is told once instead of a sentence on every line of its own, with
/// what to do first.
pub fn causes(answer: &Answer) -> Vec<(&'static str, String)> {
    answer
        .causes
        .iter()
        .flat_map(|cause| {
            let advice = cause.advice.map(|advice| ("first", advice.to_owned()));
            [("likely cause", cause.text.clone())]
                .into_iter()
                .chain(advice)
        })
        .collect()
}

/// Returns a finding's sentence; where a cause already tells the quantities of its line, only the number and a word.
pub fn sentence(answer: &Answer, line: &LineAnswer, finding: &Finding) -> String {
    let cause = answer
        .causes
        .iter()
        .find(|cause| cause.lines.contains(&line.line) && cause.kind.explains(finding.kind));
    let amount = say(finding.amount, finding.unit);
    match (cause, finding.kind) {
        (Some(cause), Kind::Short) => format!("short by {amount} ({})", cause.kind.in_words()),
        (Some(cause), Kind::Over) => format!("over by {amount} ({})", cause.kind.in_words()),
        (Some(_) | None, _) => finding.text.clone(),
    }
}

/// Returns what to do with the goods of a line until it is settled, each advice once; none for goods that are gone.
pub fn advice<'a>(line: &'a LineAnswer, standing: &[LineStanding]) -> Vec<&'a str> {
    let mut advice: Vec<&str> = Vec::new();
    if line.arrived > line.usable && held(line, standing).is_zero() {
        return advice;
    }
    for words in line
        .findings
        .iter()
        .filter_map(|finding| finding.advice.as_deref())
    {
        if !advice.contains(&words) {
            advice.push(words);
        }
    }
    advice
}

/// What is known of an order's claims, beside its answer.
#[derive(Debug, Clone, Default)]
pub struct Claimed<'a> {
    /// What can be claimed that no claim asks for.
    pub new: Option<&'a ClaimSummary>,
    /// Whether a claim is open.
    pub open: bool,
    /// Where every line stands, where the claims are known.
    pub standing: Vec<LineStanding>,
    /// What the supplier credited for the claims.
    pub credited: Money,
}

/// Returns what to do, as label and text: what to use, what to hold, what to pay, what to claim and by when.
pub fn rows(
    answer: &Answer,
    claimed: &Claimed<'_>,
    today: Option<NaiveDate>,
) -> Vec<(&'static str, String)> {
    let Claimed {
        new: claim,
        open,
        standing,
        credited,
    } = claimed;
    let mut rows = Vec::new();
    if !answer.as_ordered || anything_held(answer, standing) {
        for line in answer.lines.iter().filter(|line| !line.usable.is_zero()) {
            rows.push((
                "use now",
                format!(
                    "line {}: {}{}",
                    line.line,
                    say(line.usable, line.unit),
                    sets(line)
                ),
            ));
        }
        for line in &answer.lines {
            let held = held(line, standing);
            if !held.is_zero() {
                rows.push((
                    "hold",
                    format!(
                        "line {}: {}{}",
                        line.line,
                        say(held, line.unit),
                        why_held(line)
                    ),
                ));
            }
        }
    }
    for stray in &answer.not_ordered {
        let what = stray
            .item
            .as_deref()
            .or(stray.description.as_deref())
            .unwrap_or("goods");
        let held = stray_held(stray, standing);
        if !held.is_zero() {
            rows.push((
                "hold",
                format!(
                    "{} of {what}: not ordered; keep apart",
                    say(held, stray.unit)
                ),
            ));
        }
    }
    if let Some(billing) = &answer.billing {
        rows.push(("pay now", Money(billing.pay_now).to_string()));
        let beside = if billing.withhold.is_zero() {
            String::new()
        } else if *credited > Money::ZERO {
            format!(
                " until it is settled; {credited} was credited since: book the credit or keep the money back, not both"
            )
        } else if claim.is_some() || *open {
            " until it is settled; part of the claim, not besides it".to_owned()
        } else {
            " until it is here, or the bill is corrected; no claim asks for it".to_owned()
        };
        rows.push(("withhold", format!("{}{beside}", Money(billing.withhold))));
        for line in &billing.arithmetic {
            rows.push(("", line.clone()));
        }
    }
    if let Some(claim) = claim {
        let value = match claim.value {
            None => "value not known: the order has no price for it".to_owned(),
            Some(value) if value == Money::ZERO => {
                "no money: goods or papers are asked for".to_owned()
            }
            Some(value) => format!("{value} {}", claim.currency),
        };
        rows.push(("claim", value));
        let passed = match (claim.notify_by, today) {
            (Some(date), Some(today)) if today > date => ", has passed: write today",
            (Some(_) | None, Some(_) | None) => "",
        };
        let by = match (claim.notify_by, &claim.notify_why) {
            (Some(date), Some(why)) => format!("{date}{passed} ({why})"),
            (Some(date), None) => format!("{date}{passed}"),
            (None, _) => "not known here; see below".to_owned(),
        };
        rows.push(("notice by", by));
    }
    rows
}

/// Returns which missing leaves would complete the sets, and the other choice, in one sentence.
pub fn complete(sequence: &SequenceAnswer) -> Option<String> {
    let mut options: Vec<(usize, Vec<String>, &[usize])> = Vec::new();
    for completion in &sequence.would_complete {
        let words = format!(
            "{}/{}",
            completion.run.flitch,
            ranges(&completion.run.leaves)
        );
        match options
            .iter_mut()
            .find(|(option, _, _)| *option == completion.option)
        {
            Some((_, parts, _)) => parts.push(words),
            None => options.push((completion.option, vec![words], &completion.with_sets)),
        }
    }
    let mut choices: Vec<String> = options
        .into_iter()
        .map(|(_, parts, whole)| {
            let besides = if whole.is_empty() {
                String::new()
            } else {
                format!(" besides {}", new_sets(whole))
            };
            format!("leaves {}{besides}", parts.join(" with "))
        })
        .collect();
    if !sequence.new_sets.is_empty() {
        choices.push(new_sets(&sequence.new_sets));
    }
    if choices.is_empty() {
        return None;
    }
    Some(format!("would complete it: {}", choices.join(", or ")))
}

/// Returns `a new set of 4 from one flitch`, `new sets of 6 and 4, each from one flitch`.
fn new_sets(sizes: &[usize]) -> String {
    match sizes {
        [one] => format!("a new set of {one} from one flitch"),
        [first, .., last] if sizes.len() > 12 => {
            format!(
                "{} new sets of {last} to {first}, each from one flitch",
                sizes.len()
            )
        }
        [rest @ .., last] => {
            let rest: Vec<String> = rest.iter().map(ToString::to_string).collect();
            format!(
                "new sets of {} and {last}, each from one flitch",
                rest.join(", ")
            )
        }
        [] => String::new(),
    }
}

/// Returns which sets the usable leaves make.
fn sets(line: &LineAnswer) -> String {
    let Some(sequence) = &line.sequence else {
        return String::new();
    };
    let parts: Vec<String> = sequence
        .filled
        .iter()
        .filter(|set| !set.again)
        .map(|set| {
            let face = sequence.faces.get(set.wanted).and_then(Option::as_deref);
            let name = face.map_or_else(|| format!("set {}", set.wanted + 1), ToOwned::to_owned);
            format!("{name} from {}/{}", set.flitch, ranges(&set.leaves))
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
            // A shortage and a price hold nothing that is here.
            Effect::Claimed
                if finding.kind.rejects_units()
                    || matches!(
                        finding.kind,
                        Kind::Over | Kind::SetsMissing | Kind::PaperMissing
                    ) =>
            {
                add(finding.kind.held_because());
            }
            Effect::Claimed => {}
            Effect::LookAgain => add("look again"),
            Effect::Informs | Effect::Logged => {}
        }
    }
    let in_no_set = line
        .sequence
        .as_ref()
        .is_some_and(|sequence| !sequence.spare.is_empty());
    if reasons.is_empty() || (waits(line) && in_no_set) {
        reasons.push(in_no_set_because(line));
    }
    format!(": {}", reasons.join(", "))
}

/// Returns why goods are held that nothing is wrong with and no set uses.
pub fn in_no_set_because(line: &LineAnswer) -> &'static str {
    if waits(line) {
        "waiting for the rest of the set (back-ordered)"
    } else {
        "spare"
    }
}

/// Returns whether sets are not complete and the slip says that the rest will follow: then nothing is missing.
fn waits(line: &LineAnswer) -> bool {
    !line.open.is_zero()
        && line
            .sequence
            .as_ref()
            .is_some_and(|sequence| !sequence.missing.is_empty())
        && !line
            .findings
            .iter()
            .any(|finding| matches!(finding.kind, Kind::SetsMissing | Kind::SequenceNotRecorded))
}

/// Returns an amount with its unit.
pub fn say(amount: Decimal, unit: Unit) -> String {
    Quantity::new(amount, unit).to_string()
}

/// Returns what was not recorded well enough, a sentence each: told to the user, never to the supplier.
pub fn look_again(answer: &Answer) -> Vec<String> {
    answer
        .lines
        .iter()
        .flat_map(|line| {
            line.findings
                .iter()
                .filter(|finding| finding.kind.effect() == Effect::LookAgain)
                .map(|finding| format!("line {}: {}", line.line, finding.text))
        })
        .collect()
}
