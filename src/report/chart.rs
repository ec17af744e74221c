//! Charts as SVG: one text each that stands alone or in a page. Computes no figure and chooses no words but axis labels.
//!
//! Every mark has a shape and a label of its own, so that nothing rests on colour; every chart carries its title and
//! the same facts in words for those who do not see it. Colours follow light, dark and print, and a page may set
//! `--chart-ink`, `--chart-quiet`, `--chart-rule`, `--chart-paper`, `--chart-worse` and `--chart-better`.

mod funnel;
mod intervals;
mod labels;
mod marks;
mod pareto;
mod scale;
mod svg;
mod trend;

pub use funnel::funnel;
pub use intervals::intervals;
pub use pareto::pareto;
pub use trend::trend;

/// The width of every chart in its own units.
const WIDTH: f64 = 720.0;
