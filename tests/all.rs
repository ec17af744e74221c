//! All integration tests, one binary.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "all/grades.rs"]
mod grades;
#[path = "all/units.rs"]
mod units;
