//! The charts of the review as data: what is drawn, and the same in words. Draws nothing and sets no colour.

pub mod funnel;
pub mod intervals;
pub mod pareto;
pub mod trend;
