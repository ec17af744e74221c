//! Units of measure and what they measure. Factors, other names and codes stand in `trade/units.yaml`.

use serde::Deserialize;
use std::fmt::{Display, Formatter, Result};

/// What a unit measures. Amounts are compared only within one dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Dimension {
    /// Things counted one by one; base: one piece.
    Count,
    /// Packs, whose content the order line states (`pack: 50 each`).
    Pack,
    /// Length; base: metre.
    Length,
    /// Area; base: square metre.
    Area,
    /// Volume of solids, board feet among them; base: cubic metre.
    Volume,
    /// Mass; base: kilogram.
    Mass,
    /// Volume of liquids; base: litre.
    Liquid,
}

/// A unit of measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(
    missing_docs,
    reason = "the names are the trade's own words; trade/units.yaml describes each"
)]
pub enum Unit {
    Each,
    Pair,
    Dozen,
    Gross,
    Hundred,
    Thousand,
    Sheet,
    Leaf,
    Board,
    Panel,
    Set,
    Box,
    Carton,
    Pack,
    Bundle,
    Pallet,
    Roll,
    Inch,
    Foot,
    LinearFoot,
    Yard,
    Millimetre,
    Centimetre,
    Metre,
    SquareInch,
    SquareFoot,
    SquareYard,
    SquareMetre,
    BoardFoot,
    CubicInch,
    CubicFoot,
    CubicMetre,
    Ounce,
    Pound,
    Gram,
    Kilogram,
    FluidOunce,
    Pint,
    Quart,
    Gallon,
    Millilitre,
    Litre,
}

impl Unit {
    /// Every unit, in the order of the table.
    pub const ALL: [Unit; 42] = [
        Unit::Each,
        Unit::Pair,
        Unit::Dozen,
        Unit::Gross,
        Unit::Hundred,
        Unit::Thousand,
        Unit::Sheet,
        Unit::Leaf,
        Unit::Board,
        Unit::Panel,
        Unit::Set,
        Unit::Box,
        Unit::Carton,
        Unit::Pack,
        Unit::Bundle,
        Unit::Pallet,
        Unit::Roll,
        Unit::Inch,
        Unit::Foot,
        Unit::LinearFoot,
        Unit::Yard,
        Unit::Millimetre,
        Unit::Centimetre,
        Unit::Metre,
        Unit::SquareInch,
        Unit::SquareFoot,
        Unit::SquareYard,
        Unit::SquareMetre,
        Unit::BoardFoot,
        Unit::CubicInch,
        Unit::CubicFoot,
        Unit::CubicMetre,
        Unit::Ounce,
        Unit::Pound,
        Unit::Gram,
        Unit::Kilogram,
        Unit::FluidOunce,
        Unit::Pint,
        Unit::Quart,
        Unit::Gallon,
        Unit::Millilitre,
        Unit::Litre,
    ];

    /// Returns the name used in files and in the JSON answer, singular.
    pub const fn name(self) -> &'static str {
        match self {
            Unit::Each => "each",
            Unit::Pair => "pair",
            Unit::Dozen => "dozen",
            Unit::Gross => "gross",
            Unit::Hundred => "hundred",
            Unit::Thousand => "thousand",
            Unit::Sheet => "sheet",
            Unit::Leaf => "leaf",
            Unit::Board => "board",
            Unit::Panel => "panel",
            Unit::Set => "set",
            Unit::Box => "box",
            Unit::Carton => "carton",
            Unit::Pack => "pack",
            Unit::Bundle => "bundle",
            Unit::Pallet => "pallet",
            Unit::Roll => "roll",
            Unit::Inch => "in",
            Unit::Foot => "ft",
            Unit::LinearFoot => "linear ft",
            Unit::Yard => "yd",
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Metre => "m",
            Unit::SquareInch => "sq in",
            Unit::SquareFoot => "sq ft",
            Unit::SquareYard => "sq yd",
            Unit::SquareMetre => "sq m",
            Unit::BoardFoot => "bd ft",
            Unit::CubicInch => "cu in",
            Unit::CubicFoot => "cu ft",
            Unit::CubicMetre => "cu m",
            Unit::Ounce => "oz",
            Unit::Pound => "lb",
            Unit::Gram => "g",
            Unit::Kilogram => "kg",
            Unit::FluidOunce => "fl oz",
            Unit::Pint => "pt",
            Unit::Quart => "qt",
            Unit::Gallon => "gal",
            Unit::Millilitre => "ml",
            Unit::Litre => "l",
        }
    }

    /// Returns the word for an amount of one, as it reads in a sentence.
    pub const fn singular(self) -> &'static str {
        if matches!(self, Unit::Each) {
            "piece"
        } else {
            self.name()
        }
    }

    /// Returns the word for an amount other than one, as it reads in a sentence.
    pub const fn plural(self) -> &'static str {
        match self {
            Unit::Each => "pieces",
            Unit::Pair => "pairs",
            Unit::Sheet => "sheets",
            Unit::Leaf => "leaves",
            Unit::Board => "boards",
            Unit::Panel => "panels",
            Unit::Set => "sets",
            Unit::Box => "boxes",
            Unit::Carton => "cartons",
            Unit::Pack => "packs",
            Unit::Bundle => "bundles",
            Unit::Pallet => "pallets",
            Unit::Roll => "rolls",
            Unit::Dozen
            | Unit::Gross
            | Unit::Hundred
            | Unit::Thousand
            | Unit::Inch
            | Unit::Foot
            | Unit::LinearFoot
            | Unit::Yard
            | Unit::Millimetre
            | Unit::Centimetre
            | Unit::Metre
            | Unit::SquareInch
            | Unit::SquareFoot
            | Unit::SquareYard
            | Unit::SquareMetre
            | Unit::BoardFoot
            | Unit::CubicInch
            | Unit::CubicFoot
            | Unit::CubicMetre
            | Unit::Ounce
            | Unit::Pound
            | Unit::Gram
            | Unit::Kilogram
            | Unit::FluidOunce
            | Unit::Pint
            | Unit::Quart
            | Unit::Gallon
            | Unit::Millilitre
            | Unit::Litre => self.name(),
        }
    }
}

impl Display for Unit {
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        f.write_str(self.name())
    }
}
