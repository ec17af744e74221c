//! Data to text: terminal, JSON, HTML, SVG. Prints nothing itself; decides nothing.

pub mod ink;
pub mod json;
pub mod terminal;
