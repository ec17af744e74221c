//! The supplier review: measures and honest comparison. Pure: reads no book, no clock.
//!
//! Imports go one way here too: `statistics <- compare <- charts`, `month <- facts <- measures <- pages`. Does not write
//! SVG or pages; that is the report.

pub mod charts;
pub mod compare;
pub mod facts;
pub mod letter;
pub mod measures;
pub mod month;
pub mod pages;
pub mod sentences;
pub mod statistics;
