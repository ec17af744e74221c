//! Data of the trade, embedded: grade scales, units, finishes, tolerances, notice periods. Each row names its source.

pub mod grades;
pub mod units;
