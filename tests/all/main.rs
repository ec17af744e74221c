//! All integration tests, one binary.
#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
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
mod book_claims;
mod book_cli;
mod book_editions;
mod book_record;
mod book_safety;
mod book_settle;
mod book_stories;
mod book_support;
mod causes;
mod charts;
mod claim_draft;
mod claim_value;
mod comparison;
mod contract;
mod files_evidence;
mod files_output;
mod grades;
mod hostile;
mod letter_away;
mod letter_command;
mod letter_page;
mod letter_templates;
mod letter_words;
mod lumber;
mod mail_reader;
mod mail_send;
mod mail_server;
mod measure;
mod pairing;
mod review_command;
mod review_measures;
mod sequence_complete;
mod sequence_count;
mod sequence_deliveries;
mod sequence_dice;
mod sequence_sets;
mod sequence_unmarked;
mod sequence_window;
mod situations;
mod smoke;
mod statistics;
mod tape;
mod trade;
mod units;
