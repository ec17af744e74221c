//! The charts: what they say in words, that marks stand where their numbers are, and that nothing hides anything.

use asordered::report::chart;
use asordered::review::charts::funnel::Funnel;
use asordered::review::charts::intervals::Intervals;
use asordered::review::charts::pareto::Pareto;
use asordered::review::charts::trend::Trend;
use asordered::review::compare::{Comparison, Counted, Counting, compare};
use asordered::review::statistics::Share;
use asordered::review::statistics::pareto::pareto;
use rust_decimal::Decimal;

const LINES: Counting<'_> = Counting {
    what: "lines",
    bad: "not as ordered",
};

/// One element of an SVG: its name, its attributes and the text right inside it.
#[derive(Debug, Clone, Default)]
struct Element {
    name: String,
    attributes: Vec<(String, String)>,
    text: String,
}

impl Element {
    fn get(&self, name: &str) -> &str {
        self.attributes
            .iter()
            .find(|(key, _)| key == name)
            .map_or("", |(_, value)| value)
    }

    fn number(&self, name: &str) -> f64 {
        self.get(name).parse().unwrap()
    }

    fn places(&self) -> Vec<(f64, f64)> {
        let pair = |place: &str| {
            place
                .split_once(',')
                .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
                .unwrap()
        };
        self.get("points").split(' ').map(pair).collect()
    }

    /// The middle of a mark, from the first place of its path: an up triangle starts 7 above it, a circle 4.5 left.
    fn middle(&self) -> (f64, f64) {
        let path = self.get("d");
        let mut numbers = path[1..]
            .split(|c: char| c != '.' && !c.is_ascii_digit())
            .filter(|text| !text.is_empty());
        let (x, y): (f64, f64) = (
            numbers.next().unwrap().parse().unwrap(),
            numbers.next().unwrap().parse().unwrap(),
        );
        match self.get("class") {
            "mark worse" => (x, y + 7.0),
            "mark better" => (x, y - 7.0),
            _ => (x + 4.5, y),
        }
    }
}

/// Reads an SVG strictly, in the order in which elements begin; panics where it is not well formed.
fn read(svg: &str) -> Vec<Element> {
    let mut elements: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = svg.trim_end();
    while let Some(start) = rest.find('<') {
        let text = plain(&rest[..start]);
        if let Some(index) = open.last() {
            elements[*index].text.push_str(&text);
        } else {
            assert_eq!(text, "", "text outside the svg");
        }
        let end = rest.find('>').expect("a tag ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let index = open.pop().expect("an end tag has a start");
            assert_eq!(elements[index].name, name);
            continue;
        }
        let (tag, is_empty) = tag
            .strip_suffix('/')
            .map_or((tag, false), |tag| (tag, true));
        let mut element = Element::default();
        let mut parts = tag.splitn(2, ' ');
        element.name = parts.next().unwrap().to_owned();
        let mut attributes = parts.next().unwrap_or("").trim();
        while !attributes.is_empty() {
            let (key, value) = attributes
                .split_once("=\"")
                .expect("an attribute has a quoted value");
            let (value, more) = value.split_once('"').expect("a quote ends");
            element.attributes.push((key.to_owned(), plain(value)));
            attributes = more.trim();
        }
        if !is_empty {
            open.push(elements.len());
        }
        elements.push(element);
    }
    assert!(open.is_empty() && rest.is_empty(), "{rest}");
    elements
}

fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(start) = rest.find('&') {
        out.push_str(&rest[..start]);
        let end = start + rest[start..].find(';').expect("an entity ends");
        out.push(match &rest[start..=end] {
            "&amp;" => '&',
            "&lt;" => '<',
            "&gt;" => '>',
            "&quot;" => '"',
            "&#39;" => '\'',
            other => panic!("unknown entity {other}"),
        });
        rest = &rest[end + 1..];
    }
    out + rest
}

fn counted(supplier: &str, bad: u64, of: u64) -> Counted {
    Counted {
        supplier: supplier.to_owned(),
        bad: Share::new(bad, of).unwrap(),
    }
}

fn five() -> Comparison {
    compare(
        &[
            counted("ash", 12, 240),
            counted("birch", 38, 240),
            counted("cherry", 11, 200),
            counted("elm", 1, 9),
            counted("fir", 0, 310),
        ],
        LINES,
    )
}

fn year(change: (u64, u64)) -> Vec<(String, Share)> {
    let mut months: Vec<(String, Share)> = (1..=12)
        .map(|month| {
            (
                format!("2026-{month:02}"),
                Share::new(2, 40 + month).unwrap(),
            )
        })
        .collect();
    months[4].1 = Share::default();
    months[6].1 = Share::new(change.0, change.1).unwrap();
    months
}

fn costs(first: &str) -> Pareto {
    let amounts = [
        (first, 2_400),
        ("short", 1_100),
        ("lower", 600),
        ("sets-missing", 300),
        ("missing", 100),
    ];
    Pareto::new(
        "Cost by kind",
        "USD",
        pareto(amounts.map(|(kind, amount)| (kind, Decimal::from(amount)))),
    )
    .unwrap()
}

fn every_chart(
    found: &Comparison,
    months: &[(String, Share)],
    kind: &str,
) -> Vec<(String, String)> {
    let title = "Lines & more";
    let funnel = Funnel::new(title, LINES, found).unwrap();
    let intervals = Intervals::new(title, LINES, found).unwrap();
    let trend = Trend::new(title, LINES, months).unwrap();
    let costs = costs(kind);
    vec![
        (chart::funnel(&funnel, "a"), funnel.words()),
        (chart::intervals(&intervals, "b"), intervals.words()),
        (chart::trend(&trend, "c"), trend.words()),
        (chart::pareto(&costs, "d"), costs.words()),
    ]
}

#[test]
fn every_chart_is_an_image_with_its_title_and_its_facts_in_words() {
    let mut ids = Vec::new();
    for (svg, words) in every_chart(&five(), &year((14, 44)), "damaged") {
        let elements = read(&svg);
        assert_eq!(
            (elements[0].name.as_str(), elements[0].get("role")),
            ("svg", "img")
        );
        let (title, desc) = (&elements[1], &elements[2]);
        assert_eq!((title.name.as_str(), desc.name.as_str()), ("title", "desc"));
        assert_eq!(
            elements[0].get("aria-labelledby"),
            format!("{} {}", title.get("id"), desc.get("id"))
        );
        assert!(!title.text.is_empty());
        assert_eq!(desc.text, words);
        ids.extend([title.get("id").to_owned(), desc.get("id").to_owned()]);
    }
    let all = ids.len();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), all, "ids of one page differ");
}

#[test]
fn names_can_not_break_out_of_a_chart() {
    let hostile = "</text><script>alert('&\"')</script>\u{0}\u{1b}";
    let shown = "</text><script>alert('&\"')</script>";
    let found = compare(
        &[
            counted(hostile, 12, 240),
            counted("ash", 60, 240),
            counted("elm", 11, 240),
        ],
        LINES,
    );
    let mut months = year((14, 44));
    months[0].0 = hostile.to_owned();
    for (svg, _) in every_chart(&found, &months, hostile) {
        let elements = read(&svg);
        assert!(elements.iter().all(|element| element.name != "script"));
        assert!(elements.iter().any(|element| element.text.contains(shown)));
        assert!(!svg.contains('\u{0}') && !svg.contains('\u{1b}'));
    }
}

#[test]
fn a_chart_needs_nothing_from_outside_and_follows_light_dark_and_print() {
    for (svg, _) in every_chart(&five(), &year((14, 44)), "damaged") {
        let without_name = svg.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for outside in ["http", "url(", "href", "@import", "<script"] {
            assert!(!without_name.contains(outside), "{outside}");
        }
        assert!(svg.contains("@media (prefers-color-scheme:dark)") && svg.contains("@media print"));
        let style = read(&svg)
            .into_iter()
            .find(|element| element.name == "style")
            .unwrap()
            .text;
        let rules = style
            .replace("@media (prefers-color-scheme:dark){", "")
            .replace("@media print{", "");
        for rule in rules.split('}').filter(|rule| !rule.is_empty()) {
            assert!(
                rule.starts_with("svg.chart"),
                "`{rule}` would reach outside of the chart"
            );
        }
    }
}

#[test]
fn the_funnel_is_said_in_words() {
    let funnel = Funnel::new("Suppliers", LINES, &five()).unwrap();
    assert_eq!(
        funnel.words(),
        "Share of lines not as ordered, by how many lines each supplier had; the average is 5.3 %. \
         ash: 12 of 240 (5.0 %), as the others. birch: 38 of 240 (15.8 %), worse than the others. \
         cherry: 11 of 200 (5.5 %), as the others. elm: 1 of 9, too few to say. \
         fir: 0 of 310 (0.0 %), better than the others."
    );
}

/// The place of a value on an axis, from the places of two of its tick labels.
fn on_axis(
    elements: &[Element],
    side: &str,
    ticks: (&str, f64),
    more: (&str, f64),
    value: f64,
) -> f64 {
    let place = |words: &str| {
        elements
            .iter()
            .find(|element| element.name == "text" && element.text == words)
            .unwrap()
            .number(side)
    };
    let (from, to) = (place(ticks.0), place(more.0));
    from + (to - from) * (value - ticks.1) / (more.1 - ticks.1)
}

#[test]
fn each_supplier_stands_at_its_n_and_its_rate() {
    let found = five();
    let elements = read(&chart::funnel(
        &Funnel::new("Suppliers", LINES, &found).unwrap(),
        "x",
    ));
    let tips: Vec<(usize, &Element)> = elements
        .iter()
        .enumerate()
        .filter(|(_, element)| element.name == "title")
        .collect();
    for (name, n, rate) in [
        ("ash", 240.0, 0.05),
        ("birch", 240.0, 38.0 / 240.0),
        ("fir", 310.0, 0.0),
    ] {
        let (index, _) = tips
            .iter()
            .find(|(_, tip)| tip.text.starts_with(&format!("{name}: ")))
            .unwrap();
        let (x, y) = elements[index - 1].middle();
        assert!(
            (x - on_axis(&elements, "x", ("0", 0.0), ("200", 200.0), n)).abs() < 0.2,
            "{name}"
        );
        // The words of a tick stand 4 below its line.
        assert!(
            (y - on_axis(&elements, "y", ("0 %", 0.0), ("10 %", 0.1), rate) + 4.0).abs() < 0.2,
            "{name}"
        );
    }
}

#[test]
fn verdicts_differ_in_shape_and_are_written_out() {
    let svg = chart::funnel(&Funnel::new("Suppliers", LINES, &five()).unwrap(), "x");
    let elements = read(&svg);
    let shape = |class: &str| {
        let path = elements
            .iter()
            .find(|element| element.get("class") == class)
            .unwrap()
            .get("d");
        path.split_once(['l', 'a']).unwrap().1.to_owned()
    };
    let shapes = [shape("mark worse"), shape("mark better"), shape("mark")];
    assert!(shapes[0] != shapes[1] && shapes[1] != shapes[2] && shapes[0] != shapes[2]);
    for label in [
        "birch, worse",
        "fir, better",
        "ash",
        "too few to say: elm 1 of 9",
    ] {
        assert!(
            elements
                .iter()
                .any(|element| element.name == "text" && element.text == label),
            "{label}"
        );
    }
}

#[test]
fn a_supplier_of_few_lines_gets_no_place_in_the_funnel() {
    let elements = read(&chart::funnel(
        &Funnel::new("Suppliers", LINES, &five()).unwrap(),
        "x",
    ));
    assert!(
        !elements
            .iter()
            .any(|element| element.name == "title" && element.text.starts_with("elm"))
    );
}

/// The box of a text, a little narrower and lower than letters are, so that touching is no overlap.
fn text_box(element: &Element) -> (f64, f64, f64, f64) {
    let wide = element.text.chars().count() as f64 * 5.6;
    let (x, y) = (element.number("x"), element.number("y"));
    let left = match element.get("text-anchor") {
        "" => x,
        "middle" => x - wide / 2.0,
        "end" => x - wide,
        other => panic!("anchor {other}"),
    };
    (left, y - 9.0, left + wide, y)
}

#[track_caller]
fn no_text_covers_another(svg: &str) {
    let texts: Vec<Element> = read(svg)
        .into_iter()
        .filter(|element| element.name == "text")
        .collect();
    for (index, one) in texts.iter().enumerate() {
        let a = text_box(one);
        assert!(
            a.0 >= 0.0 && a.2 <= 720.0,
            "`{}` leaves the picture",
            one.text
        );
        for other in &texts[index + 1..] {
            let b = text_box(other);
            let meet = a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3;
            assert!(!meet, "`{}` and `{}`", one.text, other.text);
        }
    }
}

#[test]
fn no_label_covers_another_in_a_crowd() {
    let crowd: Vec<Counted> = (0..40)
        .map(|i| counted(&format!("supplier {i} of board"), 3 + i % 4, 60 + i % 7))
        .collect();
    let crowd = compare(&crowd, LINES);
    for found in [five(), crowd] {
        for months in [
            year((14, 44)),
            [year((14, 44)), year((9, 50)), year((2, 40))].concat(),
        ] {
            for (svg, _) in every_chart(
                &found,
                &months,
                "a kind with a name that is far too long for its column",
            ) {
                no_text_covers_another(&svg);
            }
        }
    }
}

#[test]
fn who_is_called_out_is_named_even_in_a_crowd() {
    let mut crowd: Vec<Counted> = (0..40)
        .map(|i| counted(&format!("supplier {i}"), 3 + i % 4, 60 + i % 7))
        .collect();
    crowd.push(counted("birch", 25, 62));
    let found = compare(&crowd, LINES);
    let svg = chart::funnel(&Funnel::new("Suppliers", LINES, &found).unwrap(), "x");
    assert!(svg.contains(">birch, worse</text>"));
    assert!(svg.contains("not named for want of room: "));
}

#[test]
fn a_month_with_nothing_received_leaves_a_gap() {
    let trend = Trend::new("Months", LINES, &year((2, 44))).unwrap();
    let elements = read(&chart::trend(&trend, "x"));
    let runs: Vec<usize> = elements
        .iter()
        .filter(|element| element.get("class") == "data")
        .map(|element| element.places().len())
        .collect();
    assert_eq!(runs, [4, 7]);
}

#[test]
fn a_change_is_marked_in_the_chart_and_said() {
    let trend = Trend::new("Months", LINES, &year((14, 44))).unwrap();
    let changes = trend.changes();
    assert_eq!(changes.len(), 1);
    assert!(
        changes[0].starts_with("2026-07: 14 of 44 (31.8 %) is above the limits of 0.0 to "),
        "{}",
        changes[0]
    );
    let svg = chart::trend(&trend, "x");
    assert!(svg.contains("class=\"mark worse\"") && svg.contains("class=\"called\">above</text>"));
    let calm = Trend::new("Months", LINES, &year((2, 44))).unwrap();
    assert_eq!(calm.changes(), [] as [String; 0]);
    assert!(calm.words().ends_with("No month marks a change."));
    assert!(!chart::trend(&calm, "x").contains("class=\"mark worse\""));
}

#[test]
fn a_run_is_said_once_for_all_of_its_months() {
    let months: Vec<(String, Share)> = (0..21)
        .map(|month| {
            let label = format!("{}-{:02}", 2025 + month / 12, month % 12 + 1);
            (
                label,
                Share::new(if month < 9 { 18 } else { 7 }, 200).unwrap(),
            )
        })
        .collect();
    let trend = Trend::new("Months", LINES, &months).unwrap();
    assert_eq!(
        trend.changes(),
        [
            "2025-01 to 2025-09: 9 points in a row above the average of 5.9 %",
            "2025-10 to 2026-09: 12 points in a row below the average of 5.9 %"
        ]
    );
    let svg = chart::trend(&trend, "x");
    assert!(svg.contains(">9 in a row above</text>") && svg.contains(">12 in a row below</text>"));
}

#[test]
fn bars_are_as_long_as_their_shares() {
    let elements = read(&chart::pareto(&costs("damaged"), "x"));
    let bars: Vec<f64> = elements
        .iter()
        .filter(|element| element.get("class") == "bar")
        .map(|element| element.number("width"))
        .collect();
    assert_eq!(bars.len(), 5);
    for (bar, amount) in bars.iter().zip([2_400.0, 1_100.0, 600.0, 300.0, 100.0]) {
        assert!((bar / bars[0] - amount / 2_400.0).abs() < 0.002, "{bar}");
    }
    assert!(
        elements
            .iter()
            .any(|element| element.text == "2,400.00, 53.3 %, 53.3 % so far")
    );
}

// statsmodels: proportion_confint(38, 240, method="wilson") = 0.1176, 0.2099
#[test]
fn whiskers_end_where_the_intervals_do() {
    let elements = read(&chart::intervals(
        &Intervals::new("Suppliers", LINES, &five()).unwrap(),
        "x",
    ));
    let birch = elements
        .iter()
        .position(|element| element.name == "title" && element.text.starts_with("birch"))
        .unwrap();
    let whisker = elements[..birch]
        .iter()
        .rev()
        .filter(|element| element.get("class") == "data")
        .find(|element| element.places()[0].1 == element.places()[1].1)
        .unwrap()
        .places();
    for (place, value) in whisker.iter().zip([0.1176, 0.2099]) {
        let expected = on_axis(&elements, "x", ("0 %", 0.0), ("10 %", 0.1), value);
        assert!((place.0 - expected).abs() < 0.3, "{place:?} for {expected}");
    }
    // Four suppliers with an interval of three lines each, and none for elm's nine lines.
    assert_eq!(
        elements
            .iter()
            .filter(|element| element.get("class") == "data")
            .count(),
        12
    );
}

#[test]
fn there_is_no_chart_of_nothing() {
    assert_eq!(Funnel::new("x", LINES, &compare(&[], LINES)), None);
    assert_eq!(Intervals::new("x", LINES, &compare(&[], LINES)), None);
    assert_eq!(
        Trend::new("x", LINES, &[("2026-01".to_owned(), Share::default())]),
        None
    );
    assert_eq!(Pareto::new("x", "USD", pareto([])), None);
}
