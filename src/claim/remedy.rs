//! Remedies: what can be asked for, and which one is asked unless the owner says otherwise. Values nothing.
//!
//! The defaults are common practice at the dock (design, table of situations); a seller's right to cure is UCC 2-508.

use crate::model::kind::Kind;

/// Who is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Against {
    /// The supplier.
    Supplier,
    /// The carrier.
    Carrier,
}

impl Against {
    /// Returns the name used in the book and in the JSON answer.
    pub const fn name(self) -> &'static str {
        match self {
            Against::Supplier => "supplier",
            Against::Carrier => "carrier",
        }
    }

    /// Returns who goes by a name.
    pub fn named(name: &str) -> Option<Against> {
        [Against::Supplier, Against::Carrier]
            .into_iter()
            .find(|against| against.name() == name)
    }
}

/// What is asked for one loss.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Remedy {
    /// Send what is short.
    Send,
    /// Send the missing leaves that complete the sets.
    SendLeaves,
    /// Send a new set from one flitch and take the broken one back.
    NewSet,
    /// Replace, and collect what came.
    Replace,
    /// Collect at the seller's cost.
    Collect,
    /// The shop keeps the goods and pays the order price.
    Buy,
    /// The shop keeps the goods at the order price, no more.
    Keep,
    /// Credit at the order price.
    Credit,
    /// The shop keeps the goods at a reduced price.
    Reduce,
    /// Correct the invoice, or cancel it where it bills a second time.
    CorrectInvoice,
    /// Send the papers.
    SendPapers,
    /// Pay the loss (a carrier).
    Pay,
    /// Answer for it in words; no goods and no money are asked.
    Explain,
}

impl Remedy {
    /// Every remedy.
    pub const ALL: [Remedy; 13] = [
        Remedy::Send,
        Remedy::SendLeaves,
        Remedy::NewSet,
        Remedy::Replace,
        Remedy::Collect,
        Remedy::Buy,
        Remedy::Keep,
        Remedy::Credit,
        Remedy::Reduce,
        Remedy::CorrectInvoice,
        Remedy::SendPapers,
        Remedy::Pay,
        Remedy::Explain,
    ];

    /// Returns the name used on the command line and in the book.
    pub const fn name(self) -> &'static str {
        match self {
            Remedy::Send => "send",
            Remedy::SendLeaves => "send-leaves",
            Remedy::NewSet => "new-set",
            Remedy::Replace => "replace",
            Remedy::Collect => "collect",
            Remedy::Buy => "buy",
            Remedy::Keep => "keep",
            Remedy::Credit => "credit",
            Remedy::Reduce => "reduce",
            Remedy::CorrectInvoice => "correct-invoice",
            Remedy::SendPapers => "send-papers",
            Remedy::Pay => "pay",
            Remedy::Explain => "explain",
        }
    }

    /// Returns the remedy of a name.
    pub fn named(name: &str) -> Option<Remedy> {
        Remedy::ALL.into_iter().find(|remedy| remedy.name() == name)
    }

    /// Returns whether a word is enough: neither goods nor money can be held against it.
    pub const fn is_words(self) -> bool {
        match self {
            Remedy::Buy | Remedy::Keep | Remedy::SendPapers | Remedy::Explain => true,
            Remedy::Send
            | Remedy::SendLeaves
            | Remedy::NewSet
            | Remedy::Replace
            | Remedy::Collect
            | Remedy::Credit
            | Remedy::Reduce
            | Remedy::CorrectInvoice
            | Remedy::Pay => false,
        }
    }

    /// Returns whether goods are to be sent.
    pub const fn sends_goods(self) -> bool {
        match self {
            Remedy::Send | Remedy::SendLeaves | Remedy::NewSet | Remedy::Replace => true,
            Remedy::Collect
            | Remedy::Buy
            | Remedy::Keep
            | Remedy::Credit
            | Remedy::Reduce
            | Remedy::CorrectInvoice
            | Remedy::SendPapers
            | Remedy::Pay
            | Remedy::Explain => false,
        }
    }

    /// Returns whether it is made right with money.
    pub const fn is_money(self) -> bool {
        match self {
            Remedy::Credit | Remedy::Reduce | Remedy::CorrectInvoice | Remedy::Pay => true,
            Remedy::Send
            | Remedy::SendLeaves
            | Remedy::NewSet
            | Remedy::Replace
            | Remedy::Collect
            | Remedy::Buy
            | Remedy::Keep
            | Remedy::SendPapers
            | Remedy::Explain => false,
        }
    }

    /// Returns in a few words what it means, for the owner's terminal.
    pub const fn about(self) -> &'static str {
        match self {
            Remedy::Send => "send what is short",
            Remedy::SendLeaves => "send the missing leaves",
            Remedy::NewSet => "send a new set from one flitch",
            Remedy::Replace => "replace and collect what came",
            Remedy::Collect => "collect at the seller's cost",
            Remedy::Buy => "keep and pay the order price",
            Remedy::Keep => "keep at the order price, no more",
            Remedy::Credit => "credit at the order price",
            Remedy::Reduce => "keep at a reduced price",
            Remedy::CorrectInvoice => "correct the invoice, or cancel it",
            Remedy::SendPapers => "send the papers",
            Remedy::Pay => "pay the loss",
            Remedy::Explain => "explain; nothing else is asked",
        }
    }
}

/// Returns the remedies that fit a kind of finding, the default first; empty for a kind that is never claimed.
pub const fn fitting(kind: Kind, against: Against) -> &'static [Remedy] {
    match (kind, against) {
        (Kind::Damaged, Against::Carrier) | (Kind::SetsMissing, Against::Carrier) => &[Remedy::Pay],
        (Kind::NotOrdered | Kind::Over, _) => &[Remedy::Collect, Remedy::Buy],
        (Kind::Short, _) => &[Remedy::Send, Remedy::Credit],
        (Kind::SetsMissing, _) => &[Remedy::SendLeaves, Remedy::NewSet, Remedy::Credit],
        (Kind::WrongItem | Kind::GrainTurned | Kind::NotClear | Kind::Damaged, _) => {
            &[Remedy::Replace, Remedy::Credit]
        }
        (
            Kind::GradeLower
            | Kind::GradeNotComparable
            | Kind::Undersize
            | Kind::Oversize
            | Kind::FinishDiffers,
            _,
        ) => &[Remedy::Replace, Remedy::Reduce, Remedy::Credit],
        (Kind::GradeHigher, _) => &[Remedy::Keep, Remedy::Replace],
        (Kind::PaperMissing, _) => &[Remedy::SendPapers, Remedy::Replace, Remedy::Credit],
        (Kind::PriceAbove | Kind::PriceBelow, _) => &[Remedy::CorrectInvoice],
        // Logged; here only when the owner says that they are to be claimed.
        (Kind::Late | Kind::Early, _) => &[Remedy::Explain],
        (
            Kind::BackOrdered
            | Kind::SlipDiffers
            | Kind::GradeNotRecorded
            | Kind::SizeNotRecorded
            | Kind::FinishNotRecorded
            | Kind::SequenceNotRecorded,
            _,
        ) => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::{Against, Remedy, fitting};
    use crate::model::kind::{Effect, Kind};

    #[test]
    fn every_claimable_kind_has_a_remedy_and_no_other_has() {
        for kind in Kind::ALL {
            let claimable = matches!(kind.effect(), Effect::Claimed | Effect::Logged);
            assert_eq!(
                !fitting(kind, Against::Supplier).is_empty(),
                claimable,
                "{kind:?}"
            );
        }
    }

    #[test]
    fn every_name_leads_back_to_its_remedy() {
        for remedy in Remedy::ALL {
            assert_eq!(Remedy::named(remedy.name()), Some(remedy));
        }
        assert_eq!(Remedy::named("refund"), None);
    }
}
