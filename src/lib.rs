//! Is this delivery as ordered? The crate map is in DEVELOPERS.md.

pub mod check;
pub mod intake;
pub mod model;
pub mod review;
pub mod trade;
