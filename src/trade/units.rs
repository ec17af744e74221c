//! stub
use crate::model::unit::{Dimension, Unit};
use rust_decimal::Decimal;
pub fn named(t: &str) -> Option<Unit> {
    Unit::ALL
        .into_iter()
        .find(|u| u.name() == t || u.plural() == t)
}
pub fn near(_: &str) -> Option<&'static str> {
    None
}
pub fn dimension(u: Unit) -> Dimension {
    if matches!(u, Unit::Inch | Unit::Foot) {
        Dimension::Length
    } else {
        Dimension::Count
    }
}
pub fn factor(u: Unit) -> Option<Decimal> {
    Some(if u == Unit::Inch {
        Decimal::new(254, 4)
    } else {
        Decimal::ONE
    })
}
