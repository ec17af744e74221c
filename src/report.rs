//! Data to text: terminal, page, chart, table. Decides nothing and computes no figure.

pub mod chart;
