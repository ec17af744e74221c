//! All integration tests, one binary.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "all/charts.rs"]
mod charts;
#[path = "all/comparison.rs"]
mod comparison;
#[path = "all/statistics.rs"]
mod statistics;
