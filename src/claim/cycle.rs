//! The life of a claim: which states it has, which steps each allows, and what can be done instead. Moves nothing;
//! that is `book/`.

/// How far a claim has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum State {
    /// Written, not sent.
    Drafted,
    /// Sending was cut off: it may have reached them or not.
    MayHaveGone,
    /// Sent; their answer is awaited.
    Sent,
    /// They promised goods, money or collection.
    Promised,
    /// They said no.
    Refused,
    /// Part of it was made right.
    PartlyRight,
    /// What they sent to make it right is wrong again.
    WrongAgain,
    /// Made right; closed.
    Right,
    /// Taken back by us, with a reason; closed.
    Withdrawn,
}

/// What can be done with a claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
    /// Change the letter.
    Edit,
    /// Ask for another remedy.
    Remedy,
    /// Send the letter.
    Send,
    /// Send a reminder.
    Remind,
    /// Accept what they offered.
    Accept,
    /// Note what they answered.
    Answer,
    /// Note goods or money that make it right.
    Settle,
    /// Take it back.
    Withdraw,
    /// Thank them for making it right.
    Thank,
    /// Note that goods held for them were collected, also after the rest was made right.
    Collect,
}

impl State {
    /// Every state.
    pub const ALL: [State; 9] = [
        State::Drafted,
        State::MayHaveGone,
        State::Sent,
        State::Promised,
        State::Refused,
        State::PartlyRight,
        State::WrongAgain,
        State::Right,
        State::Withdrawn,
    ];

    /// Returns the name in the book, in the JSON and on the page.
    pub const fn name(self) -> &'static str {
        match self {
            State::Drafted => "drafted",
            State::MayHaveGone => "may have gone",
            State::Sent => "sent",
            State::Promised => "promised",
            State::Refused => "refused",
            State::PartlyRight => "partly made right",
            State::WrongAgain => "wrong again",
            State::Right => "made right",
            State::Withdrawn => "withdrawn",
        }
    }

    /// Returns the state of a name.
    pub fn named(name: &str) -> Option<State> {
        State::ALL.into_iter().find(|state| state.name() == name)
    }

    /// Returns whether nothing more is expected of anybody.
    pub const fn is_closed(self) -> bool {
        match self {
            State::Right | State::Withdrawn => true,
            State::Drafted
            | State::MayHaveGone
            | State::Sent
            | State::Promised
            | State::Refused
            | State::PartlyRight
            | State::WrongAgain => false,
        }
    }

    /// Returns whether the other side has been told, as far as we know.
    pub const fn is_told(self) -> bool {
        match self {
            State::Drafted | State::MayHaveGone | State::Withdrawn => false,
            State::Sent
            | State::Promised
            | State::Refused
            | State::PartlyRight
            | State::WrongAgain
            | State::Right => true,
        }
    }

    /// Returns whether the state allows the step.
    pub const fn allows(self, step: Step) -> bool {
        match (self, step) {
            (State::Drafted, Step::Edit | Step::Remedy | Step::Send | Step::Withdraw)
            | (
                State::MayHaveGone,
                Step::Send | Step::Answer | Step::Settle | Step::Withdraw | Step::Collect,
            )
            | (
                State::Sent | State::Promised | State::Refused | State::PartlyRight,
                Step::Remind
                | Step::Accept
                | Step::Answer
                | Step::Settle
                | Step::Withdraw
                | Step::Collect,
            )
            | (
                State::WrongAgain,
                Step::Edit
                | Step::Send
                | Step::Remind
                | Step::Accept
                | Step::Answer
                | Step::Settle
                | Step::Withdraw
                | Step::Collect,
            )
            | (State::Right, Step::Thank | Step::Collect) => true,
            (
                State::Drafted,
                Step::Remind
                | Step::Accept
                | Step::Answer
                | Step::Settle
                | Step::Thank
                | Step::Collect,
            )
            | (
                State::MayHaveGone,
                Step::Edit | Step::Remedy | Step::Remind | Step::Accept | Step::Thank,
            )
            | (
                State::Sent | State::Promised | State::Refused | State::PartlyRight,
                Step::Edit | Step::Remedy | Step::Send | Step::Thank,
            )
            | (State::WrongAgain, Step::Remedy | Step::Thank)
            | (State::Withdrawn, Step::Thank)
            | (State::Withdrawn, Step::Collect)
            | (
                State::Right | State::Withdrawn,
                Step::Edit
                | Step::Remedy
                | Step::Send
                | Step::Remind
                | Step::Accept
                | Step::Answer
                | Step::Settle
                | Step::Withdraw,
            ) => false,
        }
    }

    /// Returns what can be done now, as a command for a claim.
    pub fn next(self, claim: &str) -> String {
        match self {
            State::Drafted => format!("`asordered claim send {claim}` sends it, `claim edit` changes it"),
            State::MayHaveGone => format!(
                "ask them whether it came: `asordered claim answer {claim}` if it did, `claim send` again if not"
            ),
            State::Refused => format!(
                "`asordered claim remind {claim} --final` insists, `claim settle --enough` lets it go for a reason, \
                 `claim withdraw` takes it back"
            ),
            State::Sent => format!(
                "`asordered claim answer {claim}` notes their answer, `claim remind` reminds them, `claim settle` closes it"
            ),
            State::Promised | State::PartlyRight => format!(
                "`asordered claim settle {claim}` with the receipt, the credit or the pickup, `claim remind` reminds them"
            ),
            State::WrongAgain => format!(
                "`asordered claim send {claim}` tells them what is wrong again, `claim edit` changes that letter, \
                 `claim settle` notes what comes next"
            ),
            State::Right | State::Withdrawn => {
                "it is closed; `asordered claim draft PO` drafts a new one where something is still wrong".to_owned()
            }
        }
    }
}

impl Step {
    /// Every step.
    pub const ALL: [Step; 10] = [
        Step::Edit,
        Step::Remedy,
        Step::Send,
        Step::Remind,
        Step::Accept,
        Step::Answer,
        Step::Settle,
        Step::Withdraw,
        Step::Thank,
        Step::Collect,
    ];

    /// Returns what a claim whose state does not allow it cannot do: "it is ... and ...".
    pub const fn refused(self) -> &'static str {
        match self {
            Step::Edit => "cannot be edited",
            Step::Remedy => "cannot be asked for otherwise",
            Step::Send => "cannot be sent",
            Step::Remind => "cannot be reminded of",
            Step::Accept => "no offer for it can be accepted",
            Step::Answer => "cannot be answered",
            Step::Settle => "cannot be settled",
            Step::Withdraw => "cannot be withdrawn",
            Step::Thank => "cannot be thanked for",
            Step::Collect => "cannot be collected",
        }
    }
}

/// A step that a claim's state does not allow, and what can be done instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotNow {
    /// What cannot be done and why, lower case, no full stop.
    pub text: String,
    /// What can be done instead.
    pub hint: String,
}

/// Returns whether a claim in this state may take the step.
///
/// # Errors
/// It may not; the words say what can be done instead.
pub fn may(claim: &str, state: State, step: Step) -> Result<(), NotNow> {
    if state.allows(step) {
        return Ok(());
    }
    Err(NotNow {
        text: format!("claim `{claim}` is {} and {}", state.name(), step.refused()),
        hint: state.next(claim),
    })
}

#[cfg(test)]
mod tests {
    use super::{State, Step, may};
    use std::collections::HashSet;

    #[test]
    fn every_state_has_its_own_name_and_is_found_by_it() {
        let names: HashSet<_> = State::ALL.iter().map(|state| state.name()).collect();
        assert_eq!(names.len(), State::ALL.len());
        assert!(
            State::ALL
                .iter()
                .all(|state| State::named(state.name()) == Some(*state))
        );
    }

    #[test]
    fn a_closed_claim_takes_no_step_but_thanks_and_the_pickup_and_an_open_one_takes_some() {
        for state in State::ALL {
            let some = Step::ALL
                .iter()
                .any(|step| !matches!(step, Step::Thank | Step::Collect) && state.allows(*step));
            assert_eq!(some, !state.is_closed(), "{}", state.name());
        }
    }

    #[test]
    fn nothing_is_sent_twice_unless_it_may_not_have_gone_or_is_wrong_again() {
        let sendable: Vec<_> = State::ALL
            .into_iter()
            .filter(|state| state.allows(Step::Send))
            .collect();
        assert_eq!(
            sendable,
            [State::Drafted, State::MayHaveGone, State::WrongAgain]
        );
    }

    #[test]
    fn every_refusal_says_what_can_be_done_instead() {
        for state in State::ALL {
            for step in Step::ALL {
                if let Err(refused) = may("PO-1-C1", state, step) {
                    assert!(refused.text.contains(state.name()));
                    assert!(refused.hint.contains("claim "), "{}", refused.hint);
                }
            }
        }
    }
}
