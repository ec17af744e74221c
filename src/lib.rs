//! Is this delivery as ordered? The crate map is in DEVELOPERS.md.

pub mod check;
pub mod model;
pub mod report;
pub mod review;
