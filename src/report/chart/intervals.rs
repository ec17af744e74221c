//! Draws the suppliers' rates with their intervals, one row a supplier, in the order given: it is no rank.

use crate::review::charts::intervals::Intervals;
use crate::review::statistics::per_cent;

use super::WIDTH;
use super::marks::Mark;
use super::scale::Scale;
use super::svg::{Anchor, Svg, width};

const TOP: f64 = 62.0;
const ROW: f64 = 38.0;

/// Returns the chart of intervals as SVG; `id` tells charts of one page apart.
pub fn intervals(chart: &Intervals, id: &str) -> String {
    let mut svg = Svg::default();
    let names = chart
        .rows
        .iter()
        .map(|row| width(&row.supplier))
        .fold(40.0, f64::max)
        .min(180.0);
    let figures = chart
        .rows
        .iter()
        .map(|row| width(&Intervals::figures(row)).max(width(Intervals::verdict(row))))
        .fold(60.0, f64::max)
        .min(270.0);
    let left = 8.0 + names + 18.0;
    let most = chart
        .rows
        .iter()
        .filter_map(|row| row.interval)
        .map(|interval| interval.high);
    let across = Scale::round(
        most.fold(chart.average * 1.5, f64::max).min(1.0),
        left,
        WIDTH - figures - 28.0,
    );
    let bottom = TOP + ROW * chart.rows.len() as f64;
    svg.text((8.0, 20.0), Anchor::Start, "head", &chart.title);
    for (value, words) in across.rates() {
        let x = across.at(value);
        svg.line((x, TOP), (x, bottom), "rule");
        svg.text((x, bottom + 16.0), Anchor::Middle, "small", &words);
    }
    let average = across.at(chart.average);
    svg.line((average, TOP - 6.0), (average, bottom), "average");
    let words = format!("average {}", per_cent(chart.average));
    svg.text((average, TOP - 11.0), Anchor::Middle, "small", &words);
    for (index, row) in chart.rows.iter().enumerate() {
        let y = TOP + ROW * (index as f64 + 0.5);
        svg.cut_text(
            (left - 14.0, y + 4.0),
            Anchor::End,
            "",
            &row.supplier,
            names,
        );
        if let (Some(interval), Some(rate)) = (row.interval, row.bad.rate()) {
            let (low, high) = (across.at(interval.low), across.at(interval.high));
            svg.line((low, y), (high, y), "data");
            svg.line((low, y - 5.0), (low, y + 5.0), "data");
            svg.line((high, y - 5.0), (high, y + 5.0), "data");
            let tip = format!("{}: {}", row.supplier, Intervals::figures(row));
            Mark::of(row.verdict, row.watch).draw(&mut svg, (across.at(rate), y), &tip);
        }
        let x = WIDTH - figures - 8.0;
        svg.text((x, y - 3.0), Anchor::Start, "", &Intervals::figures(row));
        let class = if row.verdict.is_call_out() {
            "called"
        } else {
            "small"
        };
        svg.text((x, y + 12.0), Anchor::Start, class, Intervals::verdict(row));
    }
    svg.line((left, bottom), (WIDTH - figures - 28.0, bottom), "axis");
    let words = format!(
        "share of {} {}, with its 95 % interval (Wilson)",
        chart.what, chart.bad
    );
    svg.text((8.0, bottom + 34.0), Anchor::Start, "small", &words);
    svg.finish(id, &chart.title, &chart.words(), bottom + 44.0)
}
