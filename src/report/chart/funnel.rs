//! Draws the funnel of suppliers. Those of whom it is too few to say are named below it, as counts.

use crate::review::charts::funnel::{Band, Funnel, Point};
use crate::review::compare::Verdict;
use crate::review::statistics::per_cent;

use super::WIDTH;
use super::labels::{Room, spread};
use super::marks::{Mark, legend};
use super::scale::Scale;
use super::svg::{Anchor, Svg, width};

const LEFT: f64 = 56.0;
const RIGHT: f64 = WIDTH - 116.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = 340.0;

/// Returns the funnel as SVG; `id` tells charts of one page apart.
pub fn funnel(chart: &Funnel, id: &str) -> String {
    let mut svg = Svg::default();
    let (shown, few): (Vec<&Point>, Vec<&Point>) = chart
        .points
        .iter()
        .partition(|point| point.verdict != Verdict::TooFew);
    let across = Scale::exact(
        chart.bands.last().map_or(1.0, |band| band.n as f64),
        LEFT,
        RIGHT,
    );
    let up = Scale::round(highest(chart, &shown), BOTTOM, TOP);
    svg.text((8.0, 20.0), Anchor::Start, "head", &chart.title);
    axes(&mut svg, chart, &across, &up);
    lines(&mut svg, chart, &across, &up);
    let unnamed = points(&mut svg, &shown, &across, &up);
    let mut y = BOTTOM + 62.0;
    let entries = entries(&shown);
    if !entries.is_empty() {
        legend(&mut svg, LEFT, y, &entries);
        y += 20.0;
    }
    let unnamed =
        (unnamed > 0).then(|| format!("not named for want of room: {unnamed}, all as the others"));
    for line in unnamed.into_iter().chain(few_words(&few)) {
        svg.text((LEFT, y), Anchor::Start, "small", &line);
        y += 16.0;
    }
    svg.finish(id, &chart.title, &chart.words(), y - 4.0)
}

/// Returns the rate that has to be in view: every point, and the limits from about a fifth of the width on.
fn highest(chart: &Funnel, shown: &[&Point]) -> f64 {
    let points = shown
        .iter()
        .map(|point| point.rate * 1.05)
        .fold(chart.average * 1.5, f64::max);
    let end = chart.bands.last().map_or(0, |band| band.n);
    let limits = chart
        .bands
        .iter()
        .filter(|band| band.n * 5 >= end)
        .filter_map(|band| band.outer.1)
        .fold(0.0, f64::max);
    points.max(limits).min(1.0)
}

fn axes(svg: &mut Svg, chart: &Funnel, across: &Scale, up: &Scale) {
    for (value, words) in up.rates() {
        let y = up.at(value);
        svg.line((LEFT, y), (RIGHT, y), "rule");
        svg.text((LEFT - 8.0, y + 4.0), Anchor::End, "small", &words);
    }
    for (value, words) in across.counts() {
        let x = across.at(value);
        svg.line((x, BOTTOM), (x, BOTTOM + 5.0), "axis");
        svg.text((x, BOTTOM + 20.0), Anchor::Middle, "small", &words);
    }
    svg.line((LEFT, BOTTOM), (RIGHT, BOTTOM), "axis");
    let words = format!(
        "{} of the supplier in the period; up the side, the share of them {}",
        chart.what, chart.bad
    );
    svg.text((LEFT, BOTTOM + 38.0), Anchor::Start, "small", &words);
}

fn lines(svg: &mut Svg, chart: &Funnel, across: &Scale, up: &Scale) {
    let y = up.at(chart.average);
    svg.line((LEFT, y), (RIGHT, y), "average");
    let mut ends = vec![(y, format!("average {}", per_cent(chart.average)))];
    let mut draw = |class: &str, name: &str, rate: &dyn Fn(&Band) -> Option<f64>| {
        let places: Vec<(f64, f64)> = chart
            .bands
            .iter()
            .filter_map(|band| Some((band.n as f64, rate(band)?)))
            .collect();
        let places: Vec<(f64, f64)> = below(&places, up.most())
            .into_iter()
            .map(|(n, rate)| (across.at(n), up.at(rate)))
            .collect();
        svg.path(&places, class);
        if let Some((_, y)) = places.last() {
            ends.push((*y, name.to_owned()));
        }
    };
    draw("outer", "99.8 % limit", &|band| band.outer.0);
    draw("outer", "99.8 % limit", &|band| band.outer.1);
    draw("inner", "95 % limit", &|band| band.inner.0);
    draw("inner", "95 % limit", &|band| band.inner.1);
    spread(&mut ends, 14.0, BOTTOM);
    for (y, words) in ends {
        svg.text((RIGHT + 6.0, y + 4.0), Anchor::Start, "small", &words);
    }
}

/// Cuts a line off where it comes down from above `most`.
fn below(places: &[(f64, f64)], most: f64) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    for (index, (n, rate)) in places.iter().enumerate() {
        if *rate > most {
            continue;
        }
        if let (true, Some((n0, rate0))) = (
            out.is_empty(),
            index.checked_sub(1).and_then(|before| places.get(before)),
        ) {
            out.push((n0 + (n - n0) * (rate0 - most) / (rate0 - rate), most));
        }
        out.push((*n, *rate));
    }
    out
}

/// Draws the points and the labels there is room for; returns how many got none.
fn points(svg: &mut Svg, shown: &[&Point], across: &Scale, up: &Scale) -> usize {
    let place = |point: &Point| (across.at(point.bad.whole() as f64), up.at(point.rate));
    let places: Vec<(f64, f64)> = shown.iter().map(|point| place(point)).collect();
    let mut room = Room::new((LEFT + 2.0, TOP - 8.0, RIGHT, BOTTOM - 1.0), &places);
    // Who is called out is named first and wherever there is room; of many others some may stay without a name.
    let mut order = shown.to_vec();
    order.sort_by_key(|point| (!point.verdict.is_call_out(), !point.watch));
    let mut labels = Vec::new();
    for point in order {
        let (words, class, reach) = match (point.verdict, point.watch) {
            (Verdict::Worse, _) => (format!("{}, worse", point.name), "called", 220.0),
            (Verdict::Better, _) => (format!("{}, better", point.name), "called", 220.0),
            (Verdict::AsOthers | Verdict::TooFew, true) => {
                (format!("{}, watch", point.name), "", 220.0)
            }
            (Verdict::AsOthers | Verdict::TooFew, false) => (point.name.clone(), "", 24.0),
        };
        let Some(found) = room.place(place(point), &words, reach) else {
            continue;
        };
        labels.push((found, place(point), words, class));
    }
    for point in shown {
        let tip = format!(
            "{}: {}, {}",
            point.name,
            point.bad.words(),
            point.verdict.words()
        );
        Mark::of(point.verdict, point.watch).draw(svg, place(point), &tip);
    }
    let unnamed = shown.len() - labels.len();
    for (found, at, words, class) in labels {
        found.draw(svg, at, class, &words);
    }
    unnamed
}

fn entries(shown: &[&Point]) -> Vec<(Mark, &'static str)> {
    [
        (Mark::Worse, "worse, outside 99.8 %"),
        (Mark::Better, "better, outside 99.8 %"),
        (Mark::Watch, "watch, outside 95 %"),
        (Mark::AsOthers, "as the others"),
    ]
    .into_iter()
    .filter(|(mark, _)| {
        shown
            .iter()
            .any(|point| Mark::of(point.verdict, point.watch) == *mark)
    })
    .collect()
}

/// Returns the suppliers that are too few to say, in as many lines as they need.
fn few_words(few: &[&Point]) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for point in few {
        let words = format!("{} {}", point.name, point.bad);
        if line.is_empty() {
            line = if lines.is_empty() {
                format!("too few to say: {words}")
            } else {
                words
            };
        } else if width(&line) + width(&words) < WIDTH - LEFT {
            line = format!("{line}; {words}");
        } else {
            lines.push(format!("{line};"));
            line = words;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}
