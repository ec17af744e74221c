//! The letter: data, templates, text and HTML. Chooses no remedy, sends nothing.

pub mod build;
pub mod check;
pub mod clean;
pub mod data;
pub(crate) mod held;
pub mod locale;
pub(crate) mod purpose;
pub mod render;
pub mod shape;
pub mod since;
pub(crate) mod table;
pub mod templates;
pub mod words;

pub use build::data;
pub use render::{Letter, render, render_review};
pub use templates::Templates;

use crate::claim::letter::since::{Made, PartSince, Reply};
use crate::claim::remedy::Against;

use chrono::NaiveDate;

/// The letters of a claim's life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LetterKind {
    /// The first notice to a supplier.
    Notice,
    /// The claim on a carrier.
    CarrierClaim,
    /// A reminder.
    Reminder,
    /// The last reminder.
    FinalReminder,
    /// What came to make it right is wrong again.
    WrongAgain,
    /// The other side's offer is accepted.
    Acceptance,
    /// The claim is settled.
    Thanks,
}

impl LetterKind {
    /// Every kind.
    pub const ALL: [LetterKind; 7] = [
        LetterKind::Notice,
        LetterKind::CarrierClaim,
        LetterKind::Reminder,
        LetterKind::FinalReminder,
        LetterKind::WrongAgain,
        LetterKind::Acceptance,
        LetterKind::Thanks,
    ];

    /// Returns the name used on the command line and in the book.
    pub const fn name(self) -> &'static str {
        match self {
            LetterKind::Notice => "notice",
            LetterKind::CarrierClaim => "carrier-claim",
            LetterKind::Reminder => "reminder",
            LetterKind::FinalReminder => "final-reminder",
            LetterKind::WrongAgain => "wrong-again",
            LetterKind::Acceptance => "acceptance",
            LetterKind::Thanks => "thanks",
        }
    }

    /// Returns the kind of a name.
    pub fn named(name: &str) -> Option<LetterKind> {
        LetterKind::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Returns the name of its template, without `.txt` or `.html`.
    pub const fn template(self) -> &'static str {
        match self {
            LetterKind::Notice => "letter",
            LetterKind::CarrierClaim
            | LetterKind::Reminder
            | LetterKind::FinalReminder
            | LetterKind::WrongAgain
            | LetterKind::Acceptance
            | LetterKind::Thanks => self.name(),
        }
    }

    /// Returns the subject.
    pub(crate) fn subject(self, order: &str, claim: Option<&str>, against: Against) -> String {
        let number = claim
            .map(|claim| format!(" (our claim {claim})"))
            .unwrap_or_default();
        let about = match against {
            Against::Supplier => format!("order {order}, goods not as ordered"),
            Against::Carrier => format!("claim for loss in transit, order {order}"),
        };
        match self {
            LetterKind::Notice => format!("Order {order}: goods not as ordered{number}"),
            LetterKind::CarrierClaim => format!("Claim for loss in transit, order {order}{number}"),
            LetterKind::Reminder => format!("Reminder: {about}{number}"),
            LetterKind::FinalReminder => format!("Final reminder: {about}{number}"),
            LetterKind::WrongAgain => {
                format!("Order {order}: what came since is not as ordered again{number}")
            }
            LetterKind::Acceptance => format!("Order {order}: we accept your offer{number}"),
            LetterKind::Thanks => format!("Order {order}: settled, with thanks{number}"),
        }
    }
}

/// What a letter says beside the draft.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Beside {
    /// The claim's number, once it is recorded.
    pub claim: Option<String>,
    /// What goes with the letter.
    pub enclosures: Vec<Enclosure>,
    /// What was written before, oldest first.
    pub earlier: Vec<(NaiveDate, String)>,
    /// What they answered, oldest first.
    pub replies: Vec<Reply>,
    /// What came to make it right, oldest first.
    pub made: Vec<(NaiveDate, Made)>,
    /// Where each part of the draft stands, in its order; empty in a first letter.
    pub since: Vec<PartSince>,
    /// The offer that is accepted, in the owner's words.
    pub offer: Option<String>,
    /// The carrier's address for claims, where the owner gave one.
    pub carrier_email: Option<String>,
}

impl Beside {
    /// Returns whether the goods that were held are gone.
    fn is_collected(&self) -> bool {
        self.made
            .iter()
            .any(|(_, made)| matches!(made, Made::Collection))
    }
}

/// An enclosure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Enclosure {
    /// The file's name as it is attached.
    pub name: String,
    /// What it shows.
    pub about: String,
    /// SHA-256 of the file as it is kept, in hexadecimal, once it was read.
    pub hash: Option<String>,
}
