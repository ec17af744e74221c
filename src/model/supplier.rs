//! A supplier and its terms. Does not decide deadlines.

use crate::model::spot::Spot;

/// A period in calendar or business days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// How many.
    pub days: u32,
    /// Whether weekends and the shop's holidays do not count.
    pub business: bool,
}

/// The notice periods that a supplier's terms state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Notice {
    /// For damage and nonconformity that can be seen.
    pub visible: Option<Period>,
    /// For what is found later.
    pub concealed: Option<Period>,
    /// For shortages.
    pub shortage: Option<Period>,
}

/// A supplier.
#[derive(Debug, Clone)]
pub struct Supplier {
    /// Its identifier, the name of its file.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Whom to write to.
    pub contact: Contact,
    /// Postal address, line by line.
    pub address: Vec<String>,
    /// Notice periods of its terms.
    pub notice: Notice,
    /// When we ask for an answer, where its terms are silent.
    pub reply: Option<Period>,
    /// Its grade names on a scale of ours.
    pub grades: Vec<(String, String)>,
    /// Its item codes to ours.
    pub items: Vec<(String, String)>,
    /// Where it was read.
    pub spot: Spot,
}

/// Whom to write to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Contact {
    /// Name.
    pub name: Option<String>,
    /// E-mail address.
    pub email: Option<String>,
    /// Telephone.
    pub phone: Option<String>,
}
