//! What must be done by when: tell a supplier, expect an answer, a replacement, a credit, the goods themselves. Looks
//! at one order at a time; knows no clock: `today` comes in.

use crate::claim::cycle::State;
use crate::claim::deadlines::Deadline;
use chrono::NaiveDate;

/// What is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DueKind {
    /// The other side must be told.
    Notify,
    /// A drafted claim must go.
    Send,
    /// Their answer is expected.
    Answer,
    /// What they promised is expected.
    Promise,
    /// A carrier's days by rule.
    Rule,
    /// Goods are expected.
    Goods,
    /// Goods stand here to be collected.
    Pickup,
}

impl DueKind {
    /// Returns the name in the JSON and in stable identifiers.
    pub const fn name(self) -> &'static str {
        match self {
            DueKind::Notify => "notify",
            DueKind::Send => "send",
            DueKind::Answer => "answer",
            DueKind::Promise => "promise",
            DueKind::Rule => "rule",
            DueKind::Goods => "goods",
            DueKind::Pickup => "pickup",
        }
    }
}

/// One thing due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// The last day.
    pub day: NaiveDate,
    /// What kind of thing.
    pub kind: DueKind,
    /// The order.
    pub order: String,
    /// The claim, where there is one.
    pub claim: Option<String>,
    /// One sentence.
    pub text: String,
    /// What to do about it, a command.
    pub todo: String,
}

impl Due {
    /// Returns an identifier that stays the same while the thing is due, whatever day it moves to.
    pub fn uid(&self) -> String {
        let of = self.claim.as_ref().unwrap_or(&self.order);
        format!("{}-{}@asordered", of, self.kind.name())
    }

    /// Returns by how many days it is overdue; `None` on the day itself and before.
    pub fn days_over(&self, today: NaiveDate) -> Option<i64> {
        (self.day < today).then(|| (today - self.day).num_days())
    }
}

/// A claim, as far as it matters here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ClaimDue {
    /// Its number.
    pub number: String,
    /// How far it has come.
    pub state: State,
    /// Who is asked, by name.
    pub whom: String,
    /// The last day to tell them.
    pub notify_by: Option<NaiveDate>,
    /// The day by which an answer was asked.
    pub answer_by: Option<NaiveDate>,
    /// What was promised by when, the newest: in words.
    pub promised: Option<(NaiveDate, String)>,
    /// The day they refused, where that is their newest answer.
    pub refused: Option<NaiveDate>,
    /// What is still to come, once something has: a sentence each.
    pub open: Vec<String>,
    /// What stands here to be collected though the rest is made right, in words, and since when.
    pub pickup: Option<(NaiveDate, String)>,
    /// Days by rule, a carrier's, counted from the day it was sent.
    pub rules: Vec<Deadline>,
}

/// An order, as far as it matters here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderDue {
    /// Its number.
    pub order: String,
    /// The supplier, in words.
    pub supplier: String,
    /// The day goods were promised for, while some are owed.
    pub goods: Option<NaiveDate>,
    /// The last day to tell somebody what no claim asks for yet.
    pub unclaimed: Option<Deadline>,
    /// Its claims.
    pub claims: Vec<ClaimDue>,
}

/// Returns what is due, overdue first, each group by day, then by order. Nothing that is done or closed is due.
pub fn due(orders: &[OrderDue], today: NaiveDate) -> Vec<Due> {
    let mut all: Vec<Due> = orders.iter().flat_map(of_order).collect();
    all.sort_by(|a, b| {
        (a.day >= today, a.day, &a.order, a.kind, &a.claim).cmp(&(
            b.day >= today,
            b.day,
            &b.order,
            b.kind,
            &b.claim,
        ))
    });
    all
}

fn of_order(order: &OrderDue) -> Vec<Due> {
    let mut out = Vec::new();
    if let Some(deadline) = &order.unclaimed {
        out.push(Due {
            day: deadline.date,
            kind: DueKind::Notify,
            order: order.order.clone(),
            claim: None,
            text: format!(
                "tell {} what is not as ordered on {} ({})",
                order.supplier, order.order, deadline.why
            ),
            todo: format!("asordered claim draft {}", order.order),
        });
    }
    if let Some(day) = order.goods {
        out.push(Due {
            day,
            kind: DueKind::Goods,
            order: order.order.clone(),
            claim: None,
            text: format!("goods of {} promised by {}", order.order, order.supplier),
            todo: format!("asordered receive {}", order.order),
        });
    }
    for claim in &order.claims {
        of_claim(order, claim, &mut out);
    }
    out
}

fn of_claim(order: &OrderDue, claim: &ClaimDue, out: &mut Vec<Due>) {
    let number = &claim.number;
    let mut push = |day: NaiveDate, kind: DueKind, text: String, todo: String| {
        out.push(Due {
            day,
            kind,
            order: order.order.clone(),
            claim: Some(number.clone()),
            text,
            todo,
        });
    };
    match claim.state {
        State::Drafted => {
            if let Some(day) = claim.notify_by {
                push(
                    day,
                    DueKind::Send,
                    format!("claim {number} is drafted and not sent to {}", claim.whom),
                    format!("asordered claim send {number}"),
                );
            }
        }
        State::MayHaveGone => {
            if let Some(day) = claim.notify_by {
                push(
                    day,
                    DueKind::Send,
                    format!(
                        "claim {number} may have gone: ask {} whether it came",
                        claim.whom
                    ),
                    format!("asordered claim show {number}"),
                );
            }
        }
        State::Sent => {
            if let Some(day) = claim.answer_by {
                push(
                    day,
                    DueKind::Answer,
                    format!("{} is to answer claim {number}", claim.whom),
                    format!("asordered claim remind {number}"),
                );
            }
        }
        State::Promised | State::PartlyRight => {
            let open = if claim.open.is_empty() {
                String::new()
            } else {
                format!("still open: {}", claim.open.join("; "))
            };
            let promised = match &claim.promised {
                Some((day, what)) if open.is_empty() => Some((*day, what.clone())),
                Some((day, what)) => Some((*day, format!("{what}; {open}"))),
                None if open.is_empty() => claim.answer_by.map(|day| (day, "an answer".to_owned())),
                None => claim.answer_by.map(|day| (day, open)),
            };
            if let Some((day, what)) = promised {
                push(
                    day,
                    DueKind::Promise,
                    format!("claim {number}: {what}"),
                    format!("asordered claim settle {number}"),
                );
            }
        }
        State::WrongAgain => {
            if let Some(day) = claim.answer_by {
                push(
                    day,
                    DueKind::Answer,
                    format!("claim {number} is wrong again: tell {}", claim.whom),
                    format!("asordered claim send {number}"),
                );
            }
        }
        State::Refused => {
            // Their refusal leaves the next word to us: on the day an answer was asked by, else the day they said no.
            if let Some(day) = claim.refused.max(claim.answer_by) {
                push(
                    day,
                    DueKind::Answer,
                    format!(
                        "claim {number} was refused: insist, let it go for a reason, or withdraw it"
                    ),
                    format!("asordered claim remind {number} --final"),
                );
            }
        }
        State::Right => {
            if let Some((day, what)) = claim.pickup.clone() {
                push(
                    day,
                    DueKind::Pickup,
                    format!("{} is to collect {what} (claim {number})", order.supplier),
                    format!("asordered claim settle {number} --collected"),
                );
            }
        }
        State::Withdrawn => {}
    }
    if claim.state.is_told() && !claim.state.is_closed() {
        for rule in &claim.rules {
            push(
                rule.date,
                DueKind::Rule,
                format!("claim {number}: {}", rule.why),
                format!("asordered claim show {number}"),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ClaimDue, DueKind, OrderDue, due};
    use crate::claim::cycle::State;
    use crate::claim::deadlines::Deadline;
    use chrono::NaiveDate;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn order(number: &str, goods: Option<&str>, notify: Option<&str>) -> OrderDue {
        OrderDue {
            order: number.to_owned(),
            supplier: "Quillfeather".to_owned(),
            goods: goods.map(day),
            unclaimed: notify.map(|notify| Deadline {
                date: day(notify),
                why: "their terms".to_owned(),
            }),
            claims: Vec::new(),
        }
    }

    fn claim(state: State) -> ClaimDue {
        ClaimDue {
            number: "PO-1-C1".to_owned(),
            state,
            whom: "Quillfeather".to_owned(),
            notify_by: Some(day("2026-03-23")),
            answer_by: Some(day("2026-04-02")),
            promised: Some((day("2026-04-10"), "replacement promised".to_owned())),
            refused: None,
            open: Vec::new(),
            pickup: None,
            rules: Vec::new(),
        }
    }

    #[test]
    fn what_is_overdue_comes_first_and_each_group_is_by_day() {
        let orders = [
            order("PO-1", Some("2026-03-30"), None),
            order("PO-2", None, Some("2026-03-20")),
            order("PO-3", Some("2026-03-10"), Some("2026-03-24")),
        ];
        let days: Vec<String> = due(&orders, day("2026-03-24"))
            .iter()
            .map(|due| due.day.to_string())
            .collect();
        assert_eq!(
            days,
            ["2026-03-10", "2026-03-20", "2026-03-24", "2026-03-30"]
        );
    }

    #[test]
    fn the_day_itself_is_not_overdue() {
        let all = due(
            &[order("PO-2", None, Some("2026-03-20"))],
            day("2026-03-20"),
        );
        assert_eq!(all[0].days_over(day("2026-03-20")), None);
        assert_eq!(all[0].days_over(day("2026-03-23")), Some(3));
    }

    #[test]
    fn every_open_state_has_a_day_and_no_closed_one() {
        for state in State::ALL {
            let mut order = order("PO-1", None, None);
            order.claims = vec![claim(state)];
            let some = !due(&[order], day("2026-03-01")).is_empty();
            assert_eq!(some, !state.is_closed(), "{}", state.name());
        }
    }

    #[test]
    fn goods_to_be_collected_are_due_though_their_claim_is_made_right() {
        let mut order = order("PO-1", None, None);
        let mut right = claim(State::Right);
        right.pickup = Some((day("2026-04-02"), "4 sheets of line 2".to_owned()));
        order.claims = vec![right];
        let all = due(&[order], day("2026-04-05"));
        assert_eq!(all[0].kind, DueKind::Pickup);
        assert_eq!(
            all[0].text,
            "Quillfeather is to collect 4 sheets of line 2 (claim PO-1-C1)"
        );
    }

    #[test]
    fn the_identifier_stays_while_the_day_moves() {
        let uid = |notify| due(&[order("PO-2", None, Some(notify))], day("2026-03-01"))[0].uid();
        assert_eq!(uid("2026-03-20"), uid("2026-03-27"));
        assert_eq!(uid("2026-03-20"), "PO-2-notify@asordered");
    }

    #[test]
    fn a_carrier_has_its_days_once_it_was_told() {
        let mut order = order("PO-1", None, None);
        let mut told = claim(State::Sent);
        told.rules = crate::claim::deadlines::carrier_follow_up(day("2026-03-20")).to_vec();
        order.claims = vec![told];
        let kinds: Vec<DueKind> = due(&[order], day("2026-03-01"))
            .iter()
            .map(|due| due.kind)
            .collect();
        assert_eq!(kinds, [DueKind::Answer, DueKind::Rule, DueKind::Rule]);
    }
}
