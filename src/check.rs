//! Compares what arrived with what was ordered. Pure: reads no files, no clock.

pub mod sequence;
