//! The names of figures: what `review --why` takes, with title and formula in words. Works nothing out.

use crate::model::kind::Kind;
use crate::review::measures::kinds;
use std::fmt;

/// A figure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Name {
    /// Deliveries as ordered.
    Deliveries,
    /// Lines as ordered.
    Lines,
    /// Rejected of a unit of measure.
    Rejected(String),
    /// Findings of a kind.
    Found(Kind),
    /// Orders on time.
    OnTime,
    /// Orders in full.
    InFull,
    /// Orders with both.
    OnTimeInFull,
    /// Sets filled.
    Sets,
    /// Claims opened.
    Opened,
    /// Claims settled.
    Settled,
    /// Claims open.
    Open,
    /// Notice given in time.
    NoticeInTime,
    /// Days to settle.
    DaysToSettle,
    /// Replacements as ordered.
    ReplacementsRight,
    /// Value claimed, in a currency.
    Claimed(String),
    /// Costs entered, in a currency.
    Costs(String),
    /// Value recovered, in a currency.
    Recovered(String),
    /// Net cost, in a currency.
    Net(String),
}

/// Returns a currency's code as it is kept.
pub fn currency_of(code: &str) -> String {
    code.to_ascii_uppercase()
}

impl fmt::Display for Name {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Name::Deliveries => out.write_str("deliveries-as-ordered"),
            Name::Lines => out.write_str("lines-as-ordered"),
            Name::Rejected(unit) => write!(out, "rejected-{}", unit.replace(' ', "-")),
            Name::Found(kind) => write!(out, "found-{}", kinds::slug(*kind)),
            Name::OnTime => out.write_str("on-time"),
            Name::InFull => out.write_str("in-full"),
            Name::OnTimeInFull => out.write_str("on-time-in-full"),
            Name::Sets => out.write_str("sets-filled"),
            Name::Opened => out.write_str("claims-opened"),
            Name::Settled => out.write_str("claims-settled"),
            Name::Open => out.write_str("claims-open"),
            Name::NoticeInTime => out.write_str("notice-in-time"),
            Name::DaysToSettle => out.write_str("days-to-settle"),
            Name::ReplacementsRight => out.write_str("replacements-right"),
            Name::Claimed(currency) => write!(out, "claimed-{}", currency.to_ascii_lowercase()),
            Name::Costs(currency) => write!(out, "entered-costs-{}", currency.to_ascii_lowercase()),
            Name::Recovered(currency) => write!(out, "recovered-{}", currency.to_ascii_lowercase()),
            Name::Net(currency) => write!(out, "net-cost-{}", currency.to_ascii_lowercase()),
        }
    }
}

impl Name {
    /// Returns the figure of a name as it is printed.
    pub fn named(text: &str) -> Option<Name> {
        let plain = [
            Name::Deliveries,
            Name::Lines,
            Name::OnTime,
            Name::InFull,
            Name::OnTimeInFull,
            Name::Sets,
            Name::Opened,
            Name::Settled,
            Name::Open,
            Name::NoticeInTime,
            Name::DaysToSettle,
            Name::ReplacementsRight,
        ];
        if let Some(name) = plain.into_iter().find(|name| name.to_string() == text) {
            return Some(name);
        }
        if let Some(unit) = text.strip_prefix("rejected-") {
            return crate::model::unit::Unit::ALL
                .into_iter()
                .map(|unit| Name::Rejected(unit.name().to_owned()))
                .find(|name| name.to_string() == format!("rejected-{unit}"));
        }
        if let Some(kind) = text.strip_prefix("found-") {
            return Kind::ALL
                .into_iter()
                .find(|known| kinds::slug(*known) == kind)
                .map(Name::Found);
        }
        let (what, currency) = text.rsplit_once('-')?;
        if currency.len() != 3 || !currency.bytes().all(|b| b.is_ascii_lowercase()) {
            return None;
        }
        let currency = currency_of(currency);
        match what {
            "claimed" => Some(Name::Claimed(currency)),
            "entered-costs" => Some(Name::Costs(currency)),
            "recovered" => Some(Name::Recovered(currency)),
            "net-cost" => Some(Name::Net(currency)),
            _ => None,
        }
    }

    /// Returns what it is.
    pub fn title(&self) -> String {
        match self {
            Name::Deliveries => "deliveries as ordered, the first time".to_owned(),
            Name::Lines => "lines as ordered, the first time".to_owned(),
            Name::Rejected(unit) => format!("{unit} rejected"),
            Name::Found(kind) => format!("found: {}", kinds::short(*kind)),
            Name::OnTime => "orders on time".to_owned(),
            Name::InFull => "orders in full".to_owned(),
            Name::OnTimeInFull => "orders on time and in full".to_owned(),
            Name::Sets => "matched sets that can be made".to_owned(),
            Name::Opened => "claims opened".to_owned(),
            Name::Settled => "claims settled".to_owned(),
            Name::Open => "claims open at the end".to_owned(),
            Name::NoticeInTime => "notice given in time".to_owned(),
            Name::DaysToSettle => "days until a claim is settled".to_owned(),
            Name::ReplacementsRight => "replacements that made it right".to_owned(),
            Name::Claimed(currency) => format!("claimed, {currency}"),
            Name::Costs(currency) => format!("labour and other costs entered, {currency}"),
            Name::Recovered(currency) => format!("recovered, {currency}"),
            Name::Net(currency) => format!("net cost, {currency}"),
        }
    }

    /// Returns how it is worked out.
    pub fn formula(&self) -> String {
        match self {
            Name::Deliveries => "receipts with nothing wrong on the day they came / receipts; replacements for a claim \
                are counted apart"
                .to_owned(),
            Name::Lines => "receipt lines with nothing wrong on the day they came / receipt lines, without replacements; \
                shown, not judged: lines of one delivery go wrong together"
                .to_owned(),
            Name::Rejected(unit) => format!(
                "{unit} rejected / {unit} received x 1,000,000, on lines counted in {unit} only, without replacements"
            ),
            Name::Found(kind) => format!(
                "findings of this kind{}, and what they touch",
                match kind.effect() {
                    crate::model::kind::Effect::Claimed => "",
                    crate::model::kind::Effect::LookAgain => ", which is ours to look at again and never claimed",
                    crate::model::kind::Effect::Informs => ", which inform and claim nothing",
                    crate::model::kind::Effect::Logged => ", which are logged and not claimed",
                }
            ),
            Name::OnTime => {
                "orders of which goods first came by the promised day / orders promised for these months".to_owned()
            }
            Name::InFull => "orders of which all came and conformed with the first delivery / orders promised for these \
                months, or first received in them where no day was promised"
                .to_owned(),
            Name::OnTimeInFull => {
                "orders that were both, counted order by order / orders promised for these months".to_owned()
            }
            Name::Sets => "sets that can be made from what came / sets ordered, of orders due".to_owned(),
            Name::Opened => "claims on the supplier drafted, without those taken back".to_owned(),
            Name::Settled => "claims made right, whenever they were opened".to_owned(),
            Name::Open => "claims neither made right nor taken back by the last day, with their age in days".to_owned(),
            Name::NoticeInTime => {
                "claims sent by the last day for notice / claims opened that have such a day and were sent or are past it"
                    .to_owned()
            }
            Name::DaysToSettle => "days from drafting to made right, of claims opened; open ones count as not yet settled \
                (Kaplan-Meier); below 20 claims the days themselves"
                .to_owned(),
            Name::ReplacementsRight => {
                "replacements that made right what they were claimed for / replacements".to_owned()
            }
            Name::Claimed(_) => "value of the claims opened, entered costs included".to_owned(),
            Name::Costs(_) => "labour and freight of ours entered on the claims opened".to_owned(),
            Name::Recovered(_) => "of the claims opened: money credited, and the value where goods made them right".to_owned(),
            Name::Net(_) => "claimed, entered costs included, less recovered".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Name;
    use crate::model::kind::Kind;
    use crate::model::unit::Unit;

    #[test]
    fn every_figure_is_found_by_the_name_it_prints() {
        let mut names: Vec<Name> = Unit::ALL
            .into_iter()
            .map(|unit| Name::Rejected(unit.name().to_owned()))
            .chain(Kind::ALL.into_iter().map(Name::Found))
            .collect();
        names.extend([
            Name::Deliveries,
            Name::DaysToSettle,
            Name::Claimed("USD".to_owned()),
            Name::Costs("EUR".to_owned()),
            Name::Recovered("USD".to_owned()),
            Name::Net("USD".to_owned()),
        ]);
        for name in names {
            assert_eq!(Name::named(&name.to_string()), Some(name.clone()), "{name}");
        }
        assert_eq!(Name::named("claimed-1"), None);
        assert_eq!(Name::named("found-grade"), None);
    }
}
