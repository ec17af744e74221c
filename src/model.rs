//! The records of the job and the words for what is found. Holds no rule of the trade, reads and prints nothing.

pub mod length;
pub mod rect;
