//! Is this delivery as ordered?
//!
//! | module | does |
//! |---|---|
//! | [`model`] | the records and the table of findings |
//! | [`trade`] | data of the trade: grade scales, units, notice periods |
//! | [`intake`] | text to records, with every problem at its place |
//! | [`check`] | compares what arrived with what was ordered |
//! | [`claim`] | remedy, value, deadlines, letters, a claim's life |
//! | [`review`] | the supplier review |
//! | [`report`] | data to text |
//! | [`files`] | edge: the disk |
//! | [`book`] | edge: SQLite |
//! | [`post`] | edge: the mail server |
//! | [`cli`] | edge: the command line |
//!
//! Everything above the edges is pure: no disk, no clock, no environment, no network.

pub mod book;
pub mod check;
pub mod claim;
pub mod cli;
pub mod files;
pub mod intake;
pub mod model;
pub mod post;
pub mod report;
pub mod review;
pub mod trade;
