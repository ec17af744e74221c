//! Draws the Pareto chart of kinds, one row a kind. Leaves no kind out.

use crate::review::charts::pareto::Pareto;

use super::WIDTH;
use super::scale::Scale;
use super::svg::{Anchor, Svg, width};

const TOP: f64 = 60.0;
const ROW: f64 = 26.0;

/// Returns the Pareto chart as SVG; `id` tells charts of one page apart.
pub fn pareto(chart: &Pareto, id: &str) -> String {
    let mut svg = Svg::default();
    let names = chart
        .rows
        .iter()
        .map(|row| width(&row.kind))
        .fold(40.0, f64::max)
        .min(190.0);
    let figures = chart
        .rows
        .iter()
        .map(|row| width(&Pareto::figures(row)))
        .fold(60.0, f64::max)
        .min(260.0);
    let left = 8.0 + names + 10.0;
    let across = Scale::round(1.0, left, WIDTH - figures - 24.0);
    let bottom = TOP + ROW * chart.rows.len() as f64;
    svg.text((8.0, 20.0), Anchor::Start, "head", &chart.title);
    let words = format!(
        "bar: share of the cost in {}; dot: share of this and all above",
        chart.currency
    );
    svg.text((8.0, 40.0), Anchor::Start, "small", &words);
    for (value, words) in across.rates() {
        let x = across.at(value);
        svg.line((x, TOP), (x, bottom), "rule");
        svg.text((x, bottom + 16.0), Anchor::Middle, "small", &words);
    }
    let mut so_far = Vec::new();
    for (index, row) in chart.rows.iter().enumerate() {
        let y = TOP + ROW * (index as f64 + 0.5);
        svg.rect((left, y - 8.0), across.at(row.share) - left, 16.0, "bar");
        svg.cut_text((left - 10.0, y + 4.0), Anchor::End, "", &row.kind, names);
        svg.text(
            (WIDTH - figures - 8.0, y + 4.0),
            Anchor::Start,
            "",
            &Pareto::figures(row),
        );
        so_far.push((across.at(row.cumulative), y));
    }
    svg.path(&so_far, "inner");
    for ((x, y), row) in so_far.iter().zip(&chart.rows) {
        let dot = format!(
            "M{:.1} {y:.1}a3.5 3.5 0 1 1 7 0a3.5 3.5 0 1 1 -7 0z",
            x - 3.5
        );
        svg.shape(
            "mark full",
            &dot,
            &format!("{}: {}", row.kind, Pareto::figures(row)),
        );
    }
    svg.line((left, TOP), (left, bottom), "axis");
    svg.finish(id, &chart.title, &chart.words(), bottom + 28.0)
}
