//! All integration tests, one binary.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    missing_docs,
    unreachable_pub,
    reason = "a test stops at the first surprise, and starts programs and reads files"
)]

mod support;

mod accounting;
mod answers;
mod architecture;
mod billing;
mod causes;
mod claim_draft;
mod grades;
mod hostile;
mod lumber;
mod measure;
mod pairing;
mod sequence_complete;
mod sequence_dice;
mod sequence_sets;
mod sequence_window;
mod situations;
mod tape;
mod trade;
mod units;
