//! The facts of a page as the data of the covering letter. Renders nothing and sends nothing.

use crate::claim::letter::data::{PartyData, ReviewClaimData, ReviewLetterData, SignsData};
use crate::claim::letter::locale::Locale;
use crate::claim::letter::words::salutation;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use crate::review::measures::claims;
use crate::review::measures::names::Name;
use crate::review::month::Period;
use crate::review::pages::SupplierPage;
use chrono::NaiveDate;

/// What a covering letter tells of: deliveries, time, claims; money stands in the sentences and the claims.
const TOLD: [Name; 5] = [
    Name::Deliveries,
    Name::Lines,
    Name::OnTimeInFull,
    Name::Opened,
    Name::Settled,
];

/// Returns what the covering letter says, dated `today`.
pub fn letter(
    page: &SupplierPage,
    period: Period,
    shop: &Shop,
    supplier: &Supplier,
    today: NaiveDate,
) -> ReviewLetterData {
    let locale = Locale::of(shop.locale.as_deref());
    ReviewLetterData {
        subject: format!("Your deliveries in {}", period.month.words()),
        date: locale.date(today),
        month: period.month.words(),
        from: period.from().words(),
        shop: PartyData {
            name: shop.name.clone(),
            contact: None,
            address: shop.address.clone(),
            email: shop.mail.as_ref().map(|mail| mail.from.clone()),
        },
        to: PartyData {
            name: supplier.name.clone(),
            contact: supplier.contact.name.clone(),
            address: supplier.address.clone(),
            email: supplier.contact.email.clone(),
        },
        salutation: salutation(supplier.contact.name.as_deref()),
        closing: locale.closing().to_owned(),
        facts: page
            .figures
            .iter()
            .filter(|figure| TOLD.iter().any(|name| name.to_string() == figure.name))
            .map(|figure| format!("{}: {}", figure.title, figure.month.words()))
            .collect(),
        year: page
            .figures
            .iter()
            .filter(|figure| TOLD.iter().any(|name| name.to_string() == figure.name))
            .map(|figure| format!("{}: {}", figure.title, figure.year.words()))
            .collect(),
        sentences: page
            .sentences
            .iter()
            .map(|text| locale.grouped(text))
            .collect(),
        claims: page
            .claims
            .iter()
            .filter(|claim| {
                claim.on_supplier && !claim.withdrawn() && claims::is_open(claim, period.as_of)
            })
            .map(|claim| ReviewClaimData {
                number: claim.number.clone(),
                order: claim.order.clone(),
                date: locale.date(claim.drafted),
                about: claim.about.clone(),
                value: claim
                    .value
                    .map(|value| locale.money(value, &claim.currency)),
            })
            .collect(),
        signs: shop.signs.as_ref().map(|signs| SignsData {
            name: signs.name.clone(),
            role: signs.role.clone(),
        }),
    }
}
