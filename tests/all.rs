//! All integration tests, one binary.
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

#[path = "all/sequence_complete.rs"]
mod sequence_complete;
#[path = "all/sequence_count.rs"]
mod sequence_count;
#[path = "all/sequence_dice.rs"]
mod sequence_dice;
#[path = "all/sequence_sets.rs"]
mod sequence_sets;
#[path = "all/sequence_unmarked.rs"]
mod sequence_unmarked;
#[path = "all/sequence_window.rs"]
mod sequence_window;
