//! Sentences of a letter: what is asked, what would do as well, leaves by name. Decides no remedy.

use crate::claim::draft::Part;
use crate::claim::remedy::Remedy;
use crate::model::answer::LineAnswer;
use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::words::listed;
use rust_decimal::Decimal;

/// Returns what is asked, one or two sentences. `said` is the part's amount as a person says it, `unpaid` the invoices
/// on which its money is withheld.
pub fn ask(part: &Part, line: Option<&LineAnswer>, said: Quantity, unpaid: Option<&str>) -> String {
    match part.remedy {
        Remedy::Send => format!("Please send the {said} that {} short.", is_are(said)),
        Remedy::SendLeaves => match leaves_of_option(line, 1) {
            Some((leaves, count)) => format!(
                "Please send {leaves}, which with the leaves that are here {} {}.",
                if count == 1 { "completes" } else { "complete" },
                sets_missing(line)
            ),
            None => format!(
                "Please send from the same flitch the leaves that complete {}.",
                sets_missing(line)
            ),
        },
        Remedy::NewSet => new_set(line, "Please send"),
        Remedy::Replace => format!(
            "Please replace the {said} with goods as ordered, and collect what came, at your cost."
        ),
        Remedy::Collect => format!(
            "Please collect the {said} that {} not ordered, at your cost.",
            was_were(said)
        ),
        Remedy::Buy => format!(
            "We will keep the {said} at the order price. Please confirm, and bill no more than that."
        ),
        Remedy::Keep => format!(
            "We are willing to keep the {said} at the order price. Please confirm that no more will be billed; \
             until then {} held.",
            they_are(said)
        ),
        Remedy::Credit => {
            let credit = match unpaid {
                Some(invoices) => format!("Please take the {said} off invoice {invoices}"),
                None => format!("Please credit the {said} at the order price"),
            };
            match line.filter(|_| broken(part)).and_then(of_no_use) {
                Some(leaves) => format!(
                    "{credit}: what is short, and {leaves}, which then make no set. Please collect those \
                     leaves at your cost."
                ),
                None => format!("{credit}."),
            }
        }
        Remedy::Reduce => match unpaid {
            Some(invoices) => format!(
                "We will keep the {said} at a reduced price. Please correct invoice {invoices} by the difference; \
                 until then {} held.",
                they_are(said)
            ),
            None => format!(
                "We will keep the {said} at a reduced price. Please credit the difference; until then {} held.",
                they_are(said)
            ),
        },
        Remedy::CorrectInvoice => {
            let invoice = part
                .findings
                .iter()
                .find_map(|finding| finding.about.as_ref())
                .map_or_else(String::new, |number| format!(" {number}"));
            match billed_first(part) {
                Some(first) => format!(
                    "Please cancel invoice{invoice}, which bills again what invoice {first} billed; we withhold it \
                     until then."
                ),
                None => format!(
                    "Please correct invoice{invoice} to the prices of the order; we withhold the difference until \
                     then."
                ),
            }
        }
        Remedy::SendPapers => {
            let papers: Vec<&str> = part
                .findings
                .iter()
                .filter(|finding| finding.kind == Kind::PaperMissing)
                .filter_map(|finding| finding.about.as_deref())
                .collect();
            let papers = if papers.is_empty() {
                "the papers that are missing".to_owned()
            } else {
                format!("the {}", papers.join(" and the "))
            };
            format!(
                "Please send {papers} for the {said}; until then {} held and not used.",
                they_are(said)
            )
        }
        Remedy::Pay if part.worth.value.is_some_and(|value| value == Money::ZERO) => format!(
            "Please acknowledge your liability for the {said}, and pay what the supplier does not make good."
        ),
        Remedy::Pay => format!("Please pay the loss on the {said}."),
        Remedy::Explain => {
            "Please tell us how this came about and what will keep it from coming again.".to_owned()
        }
    }
}

/// Returns the invoice that billed first what a part is about, where it is billed a second time.
pub fn billed_first(part: &Part) -> Option<&str> {
    part.findings
        .iter()
        .find_map(|finding| finding.billed_first.as_deref())
}

/// Whether sets cannot be made for want of what a part is about.
fn broken(part: &Part) -> bool {
    part.findings
        .iter()
        .any(|finding| finding.kind == Kind::SetsMissing)
}

/// Returns the leaves that are here and make no set, by flitch.
fn of_no_use(line: &LineAnswer) -> Option<String> {
    let sequence = line.sequence.as_ref()?;
    let runs: Vec<String> = sequence
        .spare
        .iter()
        .map(|run| {
            let word = if run.leaves.len() == 1 {
                "leaf"
            } else {
                "leaves"
            };
            format!("{word} {} of flitch {}", ranges(&run.leaves), run.flitch)
        })
        .collect();
    (!runs.is_empty()).then(|| listed(&runs))
}

/// Returns what would do as well, a sentence each.
pub fn choices(
    part: &Part,
    line: Option<&LineAnswer>,
    said: Quantity,
    unpaid: Option<&str>,
) -> Vec<String> {
    let mut choices = Vec::new();
    let mut leaves_asked = 0;
    if part.remedy == Remedy::SendLeaves {
        leaves_asked = leaves_of_option(line, 1).map_or(0, |(_, count)| count);
        let mut option = 2;
        while let Some((leaves, _)) = leaves_of_option(line, option) {
            choices.push(format!("{} would do as well.", capital(&leaves)));
            option += 1;
        }
    }
    let them = if one(said) { "it" } else { "them" };
    for (remedy, _) in &part.alternatives {
        match remedy {
            Remedy::NewSet if part.remedy == Remedy::SendLeaves => {
                let they = if leaves_asked == 1 { "it" } else { "they" };
                let start = format!("If {they} cannot be had from that flitch,");
                choices.push(new_set(line, &start));
            }
            Remedy::Credit if part.remedy == Remedy::Send || part.remedy == Remedy::SendLeaves => {
                choices.push(match unpaid {
                    Some(invoices) => format!(
                        "If nothing can be sent, please take the {said} off invoice {invoices}."
                    ),
                    None => format!("If nothing can be sent, please credit the {said}."),
                });
            }
            Remedy::Credit if part.remedy == Remedy::Replace => {
                let they = if one(said) { "it" } else { "they" };
                choices.push(match unpaid {
                    Some(invoices) => format!(
                        "If {they} cannot be replaced in time, please take {them} off invoice {invoices}."
                    ),
                    None => format!(
                        "If {they} cannot be replaced in time, please credit {them} in full."
                    ),
                });
            }
            Remedy::Buy => {
                let price = if part.line.is_some() {
                    "the order price"
                } else {
                    "a price to be agreed"
                };
                choices.push(format!(
                    "If you prefer, tell us that we may keep {them} at {price}."
                ));
            }
            Remedy::Send
            | Remedy::SendLeaves
            | Remedy::NewSet
            | Remedy::Replace
            | Remedy::Collect
            | Remedy::Keep
            | Remedy::Credit
            | Remedy::Reduce
            | Remedy::CorrectInvoice
            | Remedy::SendPapers
            | Remedy::Pay
            | Remedy::Explain => {}
        }
    }
    choices
}

fn new_set(line: Option<&LineAnswer>, start: &str) -> String {
    let missing: Vec<String> = line
        .and_then(|line| line.sequence.as_ref())
        .map(|sequence| sequence.missing.iter().map(ToString::to_string).collect())
        .unwrap_or_default();
    let verb = if start.ends_with(',') {
        " please send"
    } else {
        ""
    };
    match missing.as_slice() {
        [] => format!(
            "{start}{verb} a new set from one flitch, against return of the leaves that make no set, at your cost."
        ),
        [one] => format!(
            "{start}{verb} a new set of {one} leaves that follow each other from one flitch, against return of the leaves \
             that make no set, at your cost."
        ),
        many => format!(
            "{start}{verb} new sets of {} leaves, each from one flitch, against return of the leaves that make no set, at \
             your cost.",
            listed(many)
        ),
    }
}

fn sets_missing(line: Option<&LineAnswer>) -> String {
    let missing: Vec<usize> = line
        .and_then(|line| line.sequence.as_ref())
        .map(|sequence| sequence.missing.clone())
        .unwrap_or_default();
    match missing.as_slice() {
        [] => "the sets".to_owned(),
        [one] => format!("the set of {one}"),
        many => {
            let sizes: Vec<String> = many.iter().map(ToString::to_string).collect();
            format!("the sets of {}", listed(&sizes))
        }
    }
}

/// Returns the leaves of one choice, `leaves 23 and 24 of flitch 3318`, and how many.
fn leaves_of_option(line: Option<&LineAnswer>, option: usize) -> Option<(String, usize)> {
    let sequence = line?.sequence.as_ref()?;
    let chosen: Vec<_> = sequence
        .would_complete
        .iter()
        .filter(|completion| completion.option == option)
        .collect();
    let count = chosen
        .iter()
        .map(|completion| completion.run.leaves.len())
        .sum();
    let parts: Vec<String> = chosen
        .iter()
        .map(|completion| {
            let word = if completion.run.leaves.len() == 1 {
                "leaf"
            } else {
                "leaves"
            };
            format!(
                "{word} {} of flitch {}",
                ranges(&completion.run.leaves),
                completion.run.flitch
            )
        })
        .collect();
    (!parts.is_empty()).then(|| (listed(&parts), count))
}

/// Returns leaves named `flitch/leaf` by flitch: `flitch 3318, leaves 14 to 17, 21 and 22`.
pub fn leaf_runs(leaves: &[String]) -> String {
    let mut flitches: Vec<(&str, Vec<String>)> = Vec::new();
    for leaf in leaves {
        let (flitch, name) = leaf.rsplit_once('/').unwrap_or(("", leaf));
        match flitches.iter_mut().find(|(known, _)| *known == flitch) {
            Some((_, names)) => names.push(name.to_owned()),
            None => flitches.push((flitch, vec![name.to_owned()])),
        }
    }
    let parts: Vec<String> = flitches
        .into_iter()
        .map(|(flitch, names)| {
            let word = if names.len() == 1 { "leaf" } else { "leaves" };
            if flitch.is_empty() {
                format!("{word} {}", ranges(&names))
            } else {
                format!("flitch {flitch}, {word} {}", ranges(&names))
            }
        })
        .collect();
    parts.join("; ")
}

/// Returns numbers that follow on as `14 to 17`, two as `23 and 24`; other names as they are.
fn ranges(names: &[String]) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut run: Vec<u64> = Vec::new();
    let close = |run: &mut Vec<u64>, parts: &mut Vec<String>| {
        match run.as_slice() {
            [] => {}
            [first, .., last] if run.len() > 2 => parts.push(format!("{first} to {last}")),
            few => parts.extend(few.iter().map(ToString::to_string)),
        }
        run.clear();
    };
    for name in names {
        match name.parse::<u64>() {
            Ok(number) => {
                if run
                    .last()
                    .is_some_and(|last| last.checked_add(1) != Some(number))
                {
                    close(&mut run, &mut parts);
                }
                run.push(number);
            }
            Err(_) => {
                close(&mut run, &mut parts);
                parts.push(name.clone());
            }
        }
    }
    close(&mut run, &mut parts);
    listed(&parts)
}

/// Returns whom a letter addresses: the person or desk, else the claims department.
pub fn salutation(contact: Option<&str>) -> String {
    match contact.map(str::trim).filter(|name| !name.is_empty()) {
        Some(name) => format!("Dear {name},"),
        None => "To the claims department,".to_owned(),
    }
}

/// Returns a text with a capital and a full stop.
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    let stop = if text.ends_with(['.', '!', '?']) {
        ""
    } else {
        "."
    };
    format!("{}{stop}", capital(text))
}

pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

fn one(amount: Quantity) -> bool {
    amount.amount == Decimal::ONE
}

fn is_are(amount: Quantity) -> &'static str {
    if one(amount) { "is" } else { "are" }
}

fn was_were(amount: Quantity) -> &'static str {
    if one(amount) { "was" } else { "were" }
}

fn they_are(amount: Quantity) -> &'static str {
    if one(amount) { "it is" } else { "they are" }
}

#[cfg(test)]
mod tests {
    use super::{leaf_runs, ranges, sentence};

    fn names(text: &str) -> Vec<String> {
        text.split(' ').map(String::from).collect()
    }

    #[test]
    fn leaves_that_follow_on_are_named_as_a_run() {
        assert_eq!(
            ranges(&names("14 15 16 17 21 22 30")),
            "14 to 17, 21, 22 and 30"
        );
        assert_eq!(ranges(&names("23 24")), "23 and 24");
        assert_eq!(ranges(&names("P1 P2 7")), "P1, P2 and 7");
        assert_eq!(
            leaf_runs(&names("3318/14 3318/15 3320/2")),
            "flitch 3318, leaves 14 and 15; flitch 3320, leaf 2"
        );
    }

    #[test]
    fn a_sentence_has_a_capital_and_one_stop() {
        assert_eq!(sentence("short by 2"), "Short by 2.");
        assert_eq!(sentence("corner crushed."), "Corner crushed.");
    }
}
