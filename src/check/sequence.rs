//! Sequence: do the leaves make the sets that were ordered?
