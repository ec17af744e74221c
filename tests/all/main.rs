//! All integration tests, one binary.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    missing_docs,
    reason = "a test stops at the first surprise, and starts programs and reads files"
)]

mod support;

mod accounting;
mod answers;
mod claim_draft;
mod hostile;
