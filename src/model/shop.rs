//! Who we are. Holds no password.

use crate::model::money::Money;
use crate::model::spot::Spot;
use chrono::NaiveDate;

/// The shop.
#[derive(Debug, Clone)]
pub struct Shop {
    /// Its name.
    pub name: String,
    /// Postal address, line by line.
    pub address: Vec<String>,
    /// Who signs letters.
    pub signs: Option<Signatory>,
    /// ISO 4217 code, for orders that name none.
    pub currency: String,
    /// Days that are no business days, besides weekends.
    pub holidays: Vec<NaiveDate>,
    /// What an hour of shop labour costs.
    pub labour_rate: Option<Money>,
    /// How letters write dates and money.
    pub locale: Option<String>,
    /// The mail server.
    pub mail: Option<Mail>,
    /// Where it was read.
    pub spot: Spot,
}

/// Who signs letters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signatory {
    /// Name.
    pub name: String,
    /// Role.
    pub role: Option<String>,
}

/// How a mail connection is secured. There is no insecure way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Security {
    /// Plain connection upgraded before anything is said.
    StartTls,
    /// TLS from the first byte.
    Tls,
}

/// The mail server.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mail {
    /// Host name.
    pub server: String,
    /// Port.
    pub port: u16,
    /// How it is secured.
    pub security: Security,
    /// User name.
    pub user: Option<String>,
    /// From address.
    pub from: String,
    /// A command that prints the password.
    pub password_command: Option<String>,
}
