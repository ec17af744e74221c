//! What is asked of the supplier, by when, and how far it has come. Pure: reads no files and no clock.

pub mod calendar;
