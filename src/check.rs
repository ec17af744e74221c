//! Compares what arrived with what was ordered. Pure: reads no files, no clock.

pub mod lumber;
pub mod measure;
pub mod ratio;
pub mod sequence;
