//! The supplier review: measures and honest comparison. Pure: reads no book, no clock.
