//! The supplier review: measures and honest comparison. Pure: reads no book, no clock.
//!
//! Imports go one way here too: `statistics <- compare <- charts`. Does not write SVG or pages; that is the report.

pub mod charts;
pub mod compare;
pub mod statistics;
