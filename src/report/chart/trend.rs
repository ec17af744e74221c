//! Draws the p-chart over months. Marks what the rules marked and nothing else.

use crate::review::charts::trend::Trend;
use crate::review::statistics::pchart::{self, Point, Side};
use crate::review::statistics::{per_cent, thousands};

use super::WIDTH;
use super::labels::{Room, spread};
use super::marks::{Mark, legend};
use super::scale::Scale;
use super::svg::{Anchor, Svg, width};

const LEFT: f64 = 76.0;
const RIGHT: f64 = WIDTH - 96.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 280.0;
/// How wide the small letters are beside the others.
const SMALL: f64 = 11.0 / 12.0;

/// Returns the chart over months as SVG; `id` tells charts of one page apart.
pub fn trend(chart: &Trend, id: &str) -> String {
    let mut svg = Svg::default();
    let up = Scale::round(highest(chart), BOTTOM, TOP);
    let slot = (RIGHT - LEFT) / chart.months.len() as f64;
    svg.text((8.0, 20.0), Anchor::Start, "head", &chart.title);
    for (value, words) in up.rates() {
        let y = up.at(value);
        svg.line((LEFT, y), (RIGHT, y), "rule");
        svg.text((LEFT - 8.0, y + 4.0), Anchor::End, "small", &words);
    }
    svg.line((LEFT, BOTTOM), (RIGHT, BOTTOM), "axis");
    months(&mut svg, chart, slot);
    let y = up.at(chart.average);
    svg.line((LEFT, y), (RIGHT, y), "average");
    let mut ends = vec![(y, format!("average {}", per_cent(chart.average)))];
    ends.extend(limits(&mut svg, chart, &up, slot));
    spread(&mut ends, 14.0, BOTTOM);
    for (y, words) in ends {
        svg.text((RIGHT + 6.0, y + 4.0), Anchor::Start, "small", &words);
    }
    let entries = points(&mut svg, chart, &up, slot);
    legend(&mut svg, LEFT, BOTTOM + 76.0, &entries);
    svg.finish(id, &chart.title, &chart.words(), BOTTOM + 90.0)
}

fn highest(chart: &Trend) -> f64 {
    let points = || chart.months.iter().filter_map(|(_, point)| point.as_ref());
    let rates = points()
        .filter_map(|point| point.share.rate())
        .fold(chart.average * 1.5, f64::max);
    let mut limits: Vec<f64> = points().map(|point| point.limits.high).collect();
    limits.sort_by(f64::total_cmp);
    // A month of two or three lines has a limit near 100 %; it may leave the picture, half of the limits may not.
    let middle = limits.get(limits.len() / 2).copied().unwrap_or(0.0);
    (rates * 1.05).max(middle * 1.1).min(1.0)
}

/// Writes month, n and, where it begins, the year below the axis; months and n as many as there is room for.
fn months(svg: &mut Svg, chart: &Trend, slot: f64) {
    let n_words = |point: &Option<Point>| {
        point
            .as_ref()
            .map_or("0".to_owned(), |point| thousands(point.share.whole()))
    };
    let widest = chart
        .months
        .iter()
        .map(|(month, point)| SMALL * width(year_and_month(month).1).max(width(&n_words(point))))
        .fold(1.0, f64::max);
    let each = ((widest + 5.0) / slot).ceil().max(1.0) as usize;
    svg.text((LEFT - 8.0, BOTTOM + 20.0), Anchor::End, "small", "month");
    svg.text(
        (LEFT - 8.0, BOTTOM + 36.0),
        Anchor::End,
        "small",
        &chart.what,
    );
    let mut before = None;
    for (index, (month, point)) in chart.months.iter().enumerate() {
        let x = middle(index, slot);
        let (year, month) = year_and_month(month);
        svg.line((x, BOTTOM), (x, BOTTOM + 4.0), "axis");
        if index % each == 0 {
            svg.text((x, BOTTOM + 20.0), Anchor::Middle, "small", month);
            svg.text((x, BOTTOM + 36.0), Anchor::Middle, "small", &n_words(point));
        }
        if year.is_some() && year != before {
            svg.text(
                (x, BOTTOM + 52.0),
                Anchor::Middle,
                "small",
                year.unwrap_or_default(),
            );
            before = year;
        }
    }
}

/// Cuts `2026-03` into its year and its month; what is no such month has no year.
fn year_and_month(label: &str) -> (Option<&str>, &str) {
    label
        .split_once('-')
        .map_or((None, label), |(year, month)| (Some(year), month))
}

fn middle(index: usize, slot: f64) -> f64 {
    LEFT + (index as f64 + 0.5) * slot
}

/// Draws the limits as steps, one a month, and returns what to write at their ends.
fn limits(svg: &mut Svg, chart: &Trend, up: &Scale, slot: f64) -> Vec<(f64, String)> {
    let mut ends = Vec::new();
    let mut steps = |name: &str, rate: &dyn Fn(&Point) -> f64| {
        let mut path = Vec::new();
        let mut last = None;
        for (index, (_, point)) in chart.months.iter().enumerate() {
            let (left, right) = (
                middle(index, slot) - slot / 2.0,
                middle(index, slot) + slot / 2.0,
            );
            // A limit at 0 or 100 % can not be crossed and is not drawn.
            let crossed = point
                .as_ref()
                .map(rate)
                .filter(|rate| *rate > 0.0 && *rate < 1.0);
            match crossed {
                // A limit above the picture leaves it and comes back, so that its edge is not taken for the limit.
                Some(rate) if rate > up.most() => {
                    path.push((left, TOP));
                    svg.path(&std::mem::take(&mut path), "outer");
                    path.push((right, TOP));
                    last = Some(TOP);
                }
                Some(rate) => {
                    let y = up.at(rate);
                    path.extend([(left, y), (right, y)]);
                    last = Some(y);
                }
                None => svg.path(&std::mem::take(&mut path), "outer"),
            }
        }
        svg.path(&path, "outer");
        if let Some(y) = last {
            ends.push((y, name.to_owned()));
        }
    };
    steps("upper limit", &|point| point.limits.high);
    steps("lower limit", &|point| point.limits.low);
    ends
}

/// Draws the points and their labels; returns what the legend has to say.
fn points(svg: &mut Svg, chart: &Trend, up: &Scale, slot: f64) -> Vec<(Mark, &'static str)> {
    let mut path = Vec::new();
    let mut found = Vec::new();
    for (index, (month, point)) in chart.months.iter().enumerate() {
        match point
            .as_ref()
            .and_then(|point| Some((point, point.share.rate()?)))
        {
            Some((point, rate)) => {
                let place = (middle(index, slot), up.at(rate));
                path.push(place);
                found.push((month, point, place));
            }
            None => svg.path(&std::mem::take(&mut path), "data"),
        }
    }
    svg.path(&path, "data");
    let places: Vec<(f64, f64)> = found.iter().map(|(_, _, place)| *place).collect();
    let mut room = Room::new((LEFT + 2.0, TOP - 8.0, RIGHT, BOTTOM - 1.0), &places);
    let mut entries = Vec::new();
    let mut before = None;
    for (month, point, place) in &found {
        let (mark, legend_words, label) = match point.mark {
            Some(pchart::Mark::Outside(Side::Above)) => {
                (Mark::Worse, "above the limits", Some("above".to_owned()))
            }
            Some(pchart::Mark::Outside(Side::Below)) => {
                (Mark::Better, "below the limits", Some("below".to_owned()))
            }
            Some(pchart::Mark::Run(side, length)) => {
                let side = match side {
                    Side::Above => "above",
                    Side::Below => "below",
                };
                let label = (point.mark != before).then(|| format!("{length} in a row {side}"));
                (Mark::Run, "nine or more in a row on one side", label)
            }
            None => (Mark::AsOthers, "no change", None),
        };
        before = point.mark;
        mark.draw(svg, *place, &format!("{month}: {}", point.share.words()));
        if let Some((label, at)) =
            label.and_then(|label| room.place(*place, &label, 120.0).map(|at| (label, at)))
        {
            at.draw(svg, *place, "called", &label);
        }
        if !entries.contains(&(mark, legend_words)) {
            entries.push((mark, legend_words));
        }
    }
    entries
}
