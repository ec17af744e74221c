//! Sequence: do the leaves make the sets that were ordered?

pub mod leaves;
pub mod sets;
pub mod window;
