//! Data to text: terminal, JSON, HTML, SVG. Prints nothing itself; decides nothing.

pub mod flitch;
pub mod ink;
pub mod json;
pub mod page;
pub mod sets;
pub mod terminal;
pub mod todo;
