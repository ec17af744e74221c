//! The records of the job and the words for what is found. Holds no rule of the trade, reads and prints nothing.

pub mod answer;
pub mod finding;
pub mod invoice;
pub mod kind;
pub mod leaf;
pub mod length;
pub mod money;
pub mod order;
pub mod problem;
pub mod quantity;
pub mod receipt;
pub mod rect;
pub mod shop;
pub mod size;
pub mod spot;
pub mod supplier;
pub mod unit;
pub mod visible;
pub mod words;
