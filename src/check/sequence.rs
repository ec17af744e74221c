//! Sequence: do the leaves make the sets that were ordered?

pub mod complete;
pub mod count;
pub mod leaves;
pub mod sets;
pub mod unmarked;
pub mod window;
