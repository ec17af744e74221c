//! Data to text: terminal, JSON, HTML, SVG. Prints nothing itself; decides nothing and computes no figure.

pub mod chart;
pub mod flitch;
pub mod ics;
pub mod ink;
pub mod json;
pub mod page;
pub mod review;
pub mod sets;
pub mod tag;
pub mod terminal;
pub mod todo;
