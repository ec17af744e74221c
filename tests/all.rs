//! All integration tests, one binary.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "all/grades.rs"]
mod grades;
#[path = "all/lumber.rs"]
mod lumber;
#[path = "all/measure.rs"]
mod measure;
#[path = "all/trade.rs"]
mod trade;
#[path = "all/units.rs"]
mod units;
