//! The statistics against published tables and against scipy, statsmodels and lifelines.
//!
//! `review_statistics.json` is written by `python3 tests/reference/review_statistics.py`.

use asordered::review::statistics::cchart::cchart;
use asordered::review::statistics::exact::{clopper_pearson, poisson};
use asordered::review::statistics::funnel::limits;
use asordered::review::statistics::on_time::{Line, on_time};
use asordered::review::statistics::pareto::pareto;
use asordered::review::statistics::pchart::{Mark, Side, mark_words, pchart};
use asordered::review::statistics::ppm::{Amounts, by_unit};
use asordered::review::statistics::summary::{mean, median, quantile};
use asordered::review::statistics::survival::{Age, kaplan_meier};
use asordered::review::statistics::wilson::wilson;
use asordered::review::statistics::zero::{exact_bound, rule_of_three, words};
use asordered::review::statistics::{Interval, Level, Share, per_cent};
use rust_decimal::Decimal;
use serde_json::Value;

fn reference(part: &str) -> Value {
    let all: Value =
        serde_json::from_str(include_str!("../reference/review_statistics.json")).unwrap();
    all[part].clone()
}

fn rows(part: &str) -> Vec<Vec<Value>> {
    serde_json::from_value(reference(part)).unwrap()
}

fn level(name: &Value) -> Level {
    match name.as_str().unwrap() {
        "95" => Level::P95,
        "998" => Level::P998,
        other => panic!("level {other}"),
    }
}

fn share(part: u64, whole: u64) -> Share {
    Share::new(part, whole).unwrap()
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} is not within {within} of {expected}"
    );
}

#[track_caller]
fn four_places(found: Interval, low: f64, high: f64) {
    near(found.low, low, 0.000_05);
    near(found.high, high, 0.000_05);
}

// Newcombe 1998, Statistics in Medicine 17, 857-872, Table I, methods 3 and 5.
#[test]
fn wilson_gives_newcombes_table() {
    for (part, whole, low, high) in [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ] {
        four_places(wilson(share(part, whole), Level::P95).unwrap(), low, high);
    }
}

#[test]
fn the_exact_interval_gives_newcombes_table() {
    for (part, whole, low, high) in [(81, 263, 0.2527, 0.3676), (0, 20, 0.0, 0.1684)] {
        four_places(
            clopper_pearson(share(part, whole), Level::P95).unwrap(),
            low,
            high,
        );
    }
}

#[test]
fn both_intervals_agree_with_statsmodels_over_a_grid() {
    let rows = rows("intervals");
    assert!(rows.len() > 100);
    for row in rows {
        let found = share(row[1].as_u64().unwrap(), row[0].as_u64().unwrap());
        let score = wilson(found, level(&row[2])).unwrap();
        let exact = clopper_pearson(found, level(&row[2])).unwrap();
        for (value, expected) in [score.low, score.high, exact.low, exact.high]
            .into_iter()
            .zip(&row[3..])
        {
            near(value, expected.as_f64().unwrap(), 1e-9);
        }
    }
}

#[test]
fn nothing_counted_has_no_interval() {
    assert_eq!(wilson(Share::default(), Level::P95), None);
    assert_eq!(clopper_pearson(Share::default(), Level::P95), None);
}

// Published: count 25, 95 %: 16.18 to 36.90 (check-values).
#[test]
fn a_count_of_25_has_the_published_exact_interval() {
    let found = poisson(25, Level::P95);
    near(found.low, 16.18, 0.005);
    near(found.high, 36.90, 0.005);
}

#[test]
fn exact_count_intervals_agree_with_scipy() {
    for row in rows("poisson") {
        let found = poisson(row[0].as_u64().unwrap(), level(&row[1]));
        let (low, high) = (row[2].as_f64().unwrap(), row[3].as_f64().unwrap());
        near(found.low, low, 1e-9 * (1.0 + low));
        near(found.high, high, 1e-9 * (1.0 + high));
    }
}

// Frozen orange-juice cans, 30 samples of 50 (Montgomery 1991; data set of the R package qcc). The counts are from
// memory; their mean is checked against the published .2313333 and the limits .05242755 and .4102391.
const CANS: [u64; 30] = [
    12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12,
    7, 13, 9, 6,
];

#[test]
fn the_p_chart_gives_the_published_orange_juice_limits() {
    let chart = pchart(&CANS.map(|bad| share(bad, 50))).unwrap();
    near(chart.average, 0.231_333_3, 5e-8);
    for point in chart.points.iter().flatten() {
        near(point.three_sigma.low, 0.052_427_55, 5e-9);
        near(point.three_sigma.high, 0.410_239_1, 5e-8);
    }
}

// The upper limit drawn is the exact one, .4316 (scipy: brentq of betainc(x, 51-x, 347/1500) - 0.00135, over 50).
// Samples 15 (new cardboard) and 23 (a new operator) are the two that the published description names.
#[test]
fn the_p_chart_marks_the_two_samples_known_to_differ() {
    let chart = pchart(&CANS.map(|bad| share(bad, 50))).unwrap();
    let marked: Vec<(usize, Mark)> = chart
        .points
        .iter()
        .enumerate()
        .filter_map(|(index, point)| Some((index + 1, point.as_ref()?.mark?)))
        .collect();
    assert_eq!(
        marked,
        [
            (15, Mark::Outside(Side::Above)),
            (23, Mark::Outside(Side::Above))
        ]
    );
    let words = mark_words(chart.points[22].as_ref().unwrap(), chart.average).unwrap();
    assert_eq!(
        words,
        "24 of 50 (48.0 %) is above the limits of 5.2 to 43.2 % for this many"
    );
}

#[test]
fn p_chart_limits_widen_where_a_month_has_fewer_lines() {
    let chart = pchart(&[share(4, 40), share(40, 400)]).unwrap();
    let width = |index: usize| {
        chart.points[index]
            .map(|point| point.three_sigma.high - point.three_sigma.low)
            .unwrap()
    };
    // 3 √(.1 x .9 / n): 0.1423 for 40, cut at 0 below; 0.045 for 400.
    near(width(0), 0.1 + 0.142_302_5, 1e-7);
    near(width(1), 0.09, 1e-12);
}

// scipy: binom.sf(3, 15, 0.05) = 0.0055, four times the 0.00135 that 3 sigma stands for, though 4 of 15 is beyond it.
#[test]
fn a_small_month_is_not_marked_for_being_beyond_three_sigma_only() {
    let mut months = vec![share(4, 15)];
    months.extend([share(5, 133); 5]);
    let chart = pchart(&months).unwrap();
    let first = chart.points[0].unwrap();
    assert!(4.0 / 15.0 > first.three_sigma.high);
    assert_eq!(first.mark, None);
}

#[test]
fn nine_months_above_the_average_mark_a_change_and_eight_do_not() {
    let months = |above: usize| {
        let mut months = vec![share(18, 200); above];
        months.extend(vec![share(7, 200); above]);
        pchart(&months).unwrap()
    };
    let marks = |above| {
        months(above)
            .points
            .iter()
            .flatten()
            .filter(|point| point.mark.is_some())
            .count()
    };
    assert_eq!(marks(8), 0);
    assert!(
        months(9).points[..9]
            .iter()
            .flatten()
            .all(|point| point.mark == Some(Mark::Run(Side::Above, 9)))
    );
}

// With 10 lines a month at 1 %, nine of ten months have no bad line: a run below the average is the usual case.
#[test]
fn a_long_run_of_months_with_nothing_bad_is_no_change() {
    let mut months = vec![share(0, 10); 20];
    months[10] = share(2, 10);
    let chart = pchart(&months).unwrap();
    assert!(
        chart
            .points
            .iter()
            .flatten()
            .all(|point| !matches!(point.mark, Some(Mark::Run(..))))
    );
}

#[test]
fn a_month_with_nothing_received_is_no_point() {
    let chart = pchart(&[share(1, 40), Share::default(), share(2, 40)]).unwrap();
    assert_eq!(
        chart.points.iter().map(Option::is_some).collect::<Vec<_>>(),
        [true, false, true]
    );
    assert_eq!(pchart(&[Share::default()]), None);
}

// NIST/SEMATECH e-Handbook 6.3.3.1, 25 wafers. The counts are from memory; their mean is checked against the
// published 16 and the limits 4 and 28.
#[test]
fn the_c_chart_gives_the_nist_limits() {
    let wafers = [
        16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16,
        31, 13,
    ];
    let chart = cchart(&wafers).unwrap();
    assert_eq!(
        (chart.mean, chart.limits),
        (
            16.0,
            Interval {
                low: 4.0,
                high: 28.0
            }
        )
    );
    assert_eq!(
        wafers
            .iter()
            .filter(|count| !chart.limits.holds(**count as f64))
            .count(),
        1
    );
    assert_eq!(cchart(&[]), None);
}

#[test]
fn funnel_limits_agree_with_scipys_binomial() {
    let rows = rows("funnel");
    assert_eq!(rows.len(), 120);
    for row in rows {
        let found = limits(
            row[1].as_u64().unwrap(),
            row[0].as_f64().unwrap(),
            level(&row[2]),
        );
        assert_eq!(
            (found.fewest, found.most),
            (row[3].as_u64().unwrap(), row[4].as_u64().unwrap()),
            "{row:?}"
        );
        for (line, expected) in [(found.low, row[5].as_f64()), (found.high, row[6].as_f64())] {
            assert_eq!(line.is_some(), expected.is_some(), "{row:?}");
            near(line.unwrap_or(0.0), expected.unwrap_or(0.0), 1e-8);
        }
    }
}

#[test]
fn a_point_is_outside_exactly_where_it_is_on_or_beyond_the_drawn_line() {
    for n in [1, 7, 20, 50, 133] {
        for average in [0.01, 0.08, 0.5] {
            let found = limits(n, average, Level::P998);
            for x in 0..=n {
                let rate = x as f64 / n as f64;
                let beyond = found.low.is_some_and(|low| rate <= low)
                    || found.high.is_some_and(|high| rate >= high);
                assert_eq!(!beyond, found.hold(x), "{x} of {n} at {average}");
            }
        }
    }
}

#[test]
fn a_shop_without_anything_bad_calls_nobody_out() {
    let found = limits(400, 0.0, Level::P998);
    assert_eq!((found.fewest, found.most), (0, 0));
    let found = limits(400, 1.0, Level::P998);
    assert_eq!((found.fewest, found.most), (400, 400));
}

fn ages(value: &Value) -> Vec<Age> {
    let rows: Vec<(u32, u32)> = serde_json::from_value(value.clone()).unwrap();
    rows.into_iter()
        .map(|(days, settled)| Age {
            days,
            settled: settled == 1,
        })
        .collect()
}

// Freireich and others 1963, Blood 21: medians 23 and 8 weeks; data and curves from lifelines' load_leukemia().
#[test]
fn kaplan_meier_agrees_with_lifelines_on_freireichs_trial() {
    let arms: Vec<(String, Value)> =
        serde_json::from_value::<serde_json::Map<String, Value>>(reference("survival"))
            .unwrap()
            .into_iter()
            .collect();
    assert_eq!(arms.len(), 3);
    for (name, arm) in arms {
        let found = kaplan_meier(&ages(&arm["ages"]));
        assert_eq!(
            found.median.map(f64::from),
            arm["median"].as_f64(),
            "{name}"
        );
        let curve: Vec<(f64, f64)> = serde_json::from_value(arm["curve"].clone()).unwrap();
        for (day, open) in curve {
            let here = found
                .steps
                .iter()
                .rev()
                .find(|step| f64::from(step.days) <= day)
                .map_or(1.0, |step| step.open);
            near(here, open, 1e-12);
        }
    }
}

#[test]
fn settling_is_said_in_plain_words() {
    let survival = reference("survival");
    assert_eq!(
        kaplan_meier(&ages(&survival["6-MP"]["ages"])).words(),
        "half of the claims are settled within about 23 days (an estimate: 9 settled, 12 still open and counted at their age)"
    );
    assert_eq!(
        kaplan_meier(&ages(&survival["mostly open"]["ages"])).words(),
        "fewer than half are settled so far (2 settled, 3 still open)"
    );
    assert_eq!(
        kaplan_meier(&ages(&survival["placebo"]["ages"])).words(),
        "half of the claims were settled within 8 days (21 settled, none open)"
    );
    assert_eq!(kaplan_meier(&[]).words(), "no claims");
}

// Two of two settled on different days: half are settled by the first day, exactly, in spite of rounding.
#[test]
fn half_settled_counts_as_half() {
    let even = |count: u32| {
        (1..=count)
            .map(|days| Age {
                days,
                settled: true,
            })
            .collect::<Vec<_>>()
    };
    for count in (2..200).step_by(2) {
        assert_eq!(
            kaplan_meier(&even(count)).median,
            Some(count / 2),
            "{count} claims"
        );
    }
}

// Plain arithmetic, from here to the Pareto shares.
#[test]
fn twenty_seven_of_thirty_is_90_per_cent() {
    assert_eq!(share(27, 30).words(), "27 of 30 (90.0 %)");
    assert_eq!(share(3, 30), share(27, 30).rest());
}

#[test]
fn below_twenty_only_counts_are_given() {
    assert_eq!(share(15, 18).words(), "15 of 18");
    assert_eq!(share(15, 18).rate().map(per_cent).unwrap(), "83.3 %");
    assert_eq!(share(19, 20).words(), "19 of 20 (95.0 %)");
    assert_eq!(Share::default().words(), "0 of 0");
}

#[test]
fn a_part_is_never_more_than_its_whole() {
    assert_eq!(Share::new(4, 3), None);
}

#[test]
fn twelve_of_4800_is_2500_ppm() {
    let found = Amounts {
        received: Decimal::from(4_800),
        rejected: Decimal::from(12),
    };
    assert_eq!(found.ppm(), Some(Decimal::from(2_500)));
    assert_eq!(Amounts::default().ppm(), None);
}

#[test]
fn sheets_and_board_feet_are_never_added() {
    let line = |received, rejected| Amounts {
        received: Decimal::from(received),
        rejected: Decimal::from(rejected),
    };
    let found = by_unit([
        ("sheet", line(100, 1)),
        ("board foot", line(900, 9)),
        ("sheet", line(300, 1)),
    ]);
    let ppm: Vec<(&str, Decimal)> = found
        .iter()
        .map(|(unit, sum)| (*unit, sum.ppm().unwrap()))
        .collect();
    assert_eq!(
        ppm,
        [
            ("board foot", Decimal::from(10_000)),
            ("sheet", Decimal::from(5_000))
        ]
    );
}

// 20 lines: 17 on time, 18 in full, 16 both; the product .85 x .90 = .765 would be another number.
#[test]
fn on_time_in_full_is_counted_line_by_line() {
    let mut lines = vec![
        Line {
            on_time: Some(true),
            in_full: true
        };
        16
    ];
    lines.push(Line {
        on_time: Some(true),
        in_full: false,
    });
    lines.push(Line {
        on_time: Some(false),
        in_full: false,
    });
    lines.extend(
        [Line {
            on_time: Some(false),
            in_full: true,
        }; 2],
    );
    let found = on_time(&lines);
    assert_eq!(
        (found.on_time, found.in_full, found.both),
        (share(17, 20), share(18, 20), share(16, 20))
    );
    assert_eq!(found.both.words(), "16 of 20 (80.0 %)");
}

#[test]
fn a_line_without_a_promised_day_counts_in_full_only() {
    let found = on_time(&[
        Line {
            on_time: None,
            in_full: true,
        },
        Line {
            on_time: Some(true),
            in_full: false,
        },
    ]);
    assert_eq!(
        (found.on_time, found.in_full, found.both),
        (share(1, 1), share(1, 2), share(0, 1))
    );
}

#[test]
fn pareto_shares_add_up_from_the_largest() {
    let amounts = [
        ("papers", 100),
        ("short", 1_100),
        ("damaged", 2_400),
        ("lower", 600),
        ("sequence", 300),
    ];
    let rows = pareto(amounts.map(|(kind, amount)| (kind, Decimal::from(amount))));
    let shown: Vec<(&str, String)> = rows
        .iter()
        .map(|row| (row.kind.as_str(), format!("{:.1}", row.cumulative * 100.0)))
        .collect();
    let expected = [
        ("damaged", "53.3"),
        ("short", "77.8"),
        ("lower", "91.1"),
        ("sequence", "97.8"),
        ("papers", "100.0"),
    ];
    assert_eq!(
        shown,
        expected.map(|(kind, cumulative)| (kind, cumulative.to_owned()))
    );
}

#[test]
fn a_kind_that_cost_nothing_has_no_bar() {
    let rows = pareto([
        ("late", Decimal::ZERO),
        ("short", Decimal::from(-5)),
        ("lower", Decimal::TEN),
    ]);
    assert_eq!(
        rows.iter()
            .map(|row| (row.kind.as_str(), row.share))
            .collect::<Vec<_>>(),
        [("lower", 1.0)]
    );
    assert_eq!(pareto([("late", Decimal::ZERO)]), []);
}

#[test]
fn twelve_twenty_and_forty_six_days_have_median_20_and_mean_26() {
    let days = [46.0, 12.0, 20.0];
    assert_eq!((median(&days), mean(&days)), (Some(20.0), Some(26.0)));
    assert_eq!((median(&[]), mean(&[])), (None, None));
}

#[test]
fn quantiles_agree_with_numpy() {
    let expected = reference("quantiles");
    let values: Vec<f64> = serde_json::from_value(expected["values"].clone()).unwrap();
    let at: Vec<(f64, f64)> = serde_json::from_value(expected["at"].clone()).unwrap();
    for (q, value) in at {
        near(quantile(&values, q).unwrap(), value, 1e-12);
    }
    assert_eq!(quantile(&values, 1.01), None);
}

// Exact: (1 - p)^n = 5 %; the rule of three is a little above it, never below.
#[test]
fn none_of_n_allows_up_to_about_three_in_n() {
    assert_eq!(
        words(60),
        "none of 60, which still allows up to about 5.0 %"
    );
    for n in [1_u64, 3, 30, 60, 300, 10_000] {
        let (rule, exact) = (rule_of_three(n).unwrap(), exact_bound(n).unwrap());
        near((1.0 - exact).powf(n as f64), 0.05, 1e-9);
        assert!(rule >= exact, "{n}");
        assert!(n < 30 || rule / exact < 1.06, "{n}");
    }
    assert_eq!(rule_of_three(0), None);
}
