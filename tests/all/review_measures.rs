//! The figures of a page, from rows the book has added up.

use asordered::claim::cycle::State;
use asordered::model::kind::Kind;
use asordered::model::money::Money;
use asordered::report::review as report;
use asordered::review::facts::{ClaimFact, Deliveries, Due, Facts, Found, Lines};
use asordered::review::measures::reading::Reading;
use asordered::review::measures::{Figure, figures};
use asordered::review::month::{Month, Period};
use asordered::review::pages::{Review, review};
use asordered::review::statistics::FEW;
use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

fn month(text: &str) -> Month {
    text.parse().unwrap()
}

fn period() -> Period {
    Period::new(month("2026-03"), "2026-04-02".parse().unwrap())
}

fn supplier(name: &str) -> Facts {
    Facts {
        supplier: name.to_owned(),
        ..Facts::default()
    }
}

fn lines(unit: &str, good: u64, bad: u64, arrived: i64, rejected: i64) -> Vec<Lines> {
    let one = |as_ordered, lines, arrived: i64, rejected: i64| Lines {
        month: month("2026-03"),
        unit: unit.to_owned(),
        as_ordered,
        lines,
        arrived: Decimal::from(arrived),
        rejected: Decimal::from(rejected),
    };
    vec![
        one(true, good, arrived - rejected, 0),
        one(false, bad, rejected, rejected),
    ]
}

fn delivered(month: Month, good: u64, bad: u64) -> Vec<Deliveries> {
    let one = |as_ordered, deliveries| Deliveries {
        month,
        as_ordered,
        replacement: false,
        deliveries,
    };
    vec![one(true, good), one(false, bad)]
}

fn claim(number: usize, drafted: NaiveDate, days: Option<u64>) -> ClaimFact {
    ClaimFact {
        number: format!("PO-{number}-C1"),
        order: format!("PO-{number}"),
        on_supplier: true,
        state: if days.is_some() {
            State::Right
        } else {
            State::Sent
        },
        drafted,
        sent: Some(drafted),
        notify_by: None,
        closed: days.map(|days| drafted + Days::new(days)),
        currency: "USD".to_owned(),
        value: Some(Money(Decimal::from(100))),
        costs: Money::ZERO,
        credited: Money::ZERO,
        let_go: Money::ZERO,
        goods: days.is_some(),
        about: "short 2 sheet".to_owned(),
    }
}

#[track_caller]
fn figure(facts: &Facts, name: &str) -> Figure {
    figures(&[facts], period())
        .into_iter()
        .find(|figure| figure.name == name)
        .unwrap_or_else(|| panic!("no figure `{name}`"))
}

#[test]
fn plain_rates_are_those_of_arithmetic() {
    // check-values: 27/30 = 90 %; 12/4,800 = 2,500 ppm.
    let facts = Facts {
        lines: lines("sheet", 27, 3, 4_800, 12),
        ..supplier("s")
    };
    let share = figure(&facts, "lines-as-ordered").year;
    assert_eq!(share.words(), "27 of 30 lines (90.0 %)");
    assert_eq!(
        share.number().unwrap(),
        ("90.0".to_owned(), "per cent".to_owned())
    );
    let ppm = figure(&facts, "rejected-sheet").year;
    assert_eq!(ppm.words(), "2,500 ppm (12 of 4,800 sheet, 30 lines)");
    assert_eq!(ppm.number().unwrap().0, "2500");
}

#[test]
fn on_time_and_in_full_is_counted_and_not_a_product() {
    // check-values: 17 of 20 on time, 18 of 20 in full, 16 of 20 both; .85 x .90 would be 76.5 %.
    let facts = Facts {
        due: vec![Due {
            month: month("2026-02"),
            promised: true,
            orders: 20,
            on_time: 17,
            in_full: 18,
            both: 16,
        }],
        ..supplier("s")
    };
    assert_eq!(
        figure(&facts, "on-time").year.words(),
        "17 of 20 orders (85.0 %)"
    );
    assert_eq!(
        figure(&facts, "in-full").year.words(),
        "18 of 20 orders (90.0 %)"
    );
    assert_eq!(
        figure(&facts, "on-time-in-full").year.words(),
        "16 of 20 orders (80.0 %)"
    );
    assert_eq!(figure(&facts, "on-time").month.words(), "no orders");
}

#[test]
fn an_order_without_a_promised_day_is_never_on_time_or_late() {
    let facts = Facts {
        due: vec![Due {
            month: month("2026-03"),
            promised: false,
            orders: 30,
            on_time: 0,
            in_full: 29,
            both: 0,
        }],
        ..supplier("s")
    };
    assert_eq!(figure(&facts, "on-time").year.n(), 0);
    assert_eq!(figure(&facts, "on-time-in-full").year.n(), 0);
    assert_eq!(figure(&facts, "in-full").year.n(), 30);
}

#[test]
fn units_of_measure_are_never_mixed() {
    let mut facts = supplier("s");
    facts.lines = lines("sheet", 20, 1, 100, 1);
    facts.lines.extend(lines("bdft", 20, 1, 9_000, 450));
    assert_eq!(
        figure(&facts, "rejected-sheet").year.words(),
        "10,000 ppm (1 of 100 sheet, 21 lines)"
    );
    assert_eq!(
        figure(&facts, "rejected-bdft").year.words(),
        "50,000 ppm (450 of 9,000 bdft, 21 lines)"
    );
}

#[test]
fn below_twenty_there_are_counts_and_no_rate() {
    let mut facts = Facts {
        lines: lines("sheet", 15, 4, 400, 8),
        deliveries: delivered(month("2026-03"), 18, 1),
        ..supplier("s")
    };
    facts.claims = (0..19)
        .map(|n| claim(n, "2026-01-05".parse().unwrap(), Some(12)))
        .collect();
    for figure in figures(&[&facts], period()) {
        let is_rate = matches!(
            figure.year,
            Reading::Share { .. } | Reading::Rejected { .. } | Reading::Settling { .. }
        );
        assert!(figure.year.n() < FEW, "{}", figure.name);
        if is_rate {
            assert_eq!(figure.year.number(), None, "{}", figure.name);
            let words = figure.year.words();
            assert!(
                !words.contains('%') && !words.contains("ppm") && !words.contains("half"),
                "{words}"
            );
        }
    }
    assert_eq!(
        figure(&facts, "deliveries-as-ordered").year.words(),
        "18 of 19 deliveries"
    );
}

#[test]
fn every_figure_has_its_own_name_a_formula_and_its_n() {
    let mut facts = Facts {
        lines: lines("sheet", 30, 3, 100, 3),
        deliveries: delivered(month("2026-03"), 30, 3),
        ..supplier("s")
    };
    facts.claims = vec![claim(1, "2026-03-05".parse().unwrap(), None)];
    facts.found = Kind::ALL
        .into_iter()
        .map(|kind| Found {
            month: month("2026-03"),
            kind,
            unit: "sheet".to_owned(),
            findings: 2,
            amount: Decimal::TWO,
            priced: 1,
            cost: Money(Decimal::TEN),
            currency: "USD".to_owned(),
        })
        .collect();
    let all = figures(&[&facts], period());
    let mut names: Vec<&str> = all.iter().map(|figure| figure.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all.len());
    for figure in &all {
        assert!(figure.formula.len() > 20, "{}", figure.name);
        assert!(!figure.title.is_empty() && !figure.year.words().is_empty());
    }
}

/// Freireich and others 1963, 6-mercaptopurine in acute leukaemia, weeks in remission; `+` is still open. The data as
/// printed in Kaplan-Meier examples everywhere (from memory); the median of 23 is that of check-values.
const REMISSION: [(u64, bool); 21] = [
    (6, true),
    (6, true),
    (6, true),
    (6, false),
    (7, true),
    (9, false),
    (10, true),
    (10, false),
    (11, false),
    (13, true),
    (16, true),
    (17, false),
    (19, false),
    (20, false),
    (22, true),
    (23, true),
    (25, false),
    (32, false),
    (32, false),
    (34, false),
    (35, false),
];

#[test]
fn open_claims_count_as_not_yet_settled() {
    let as_of = period().as_of;
    let facts = Facts {
        claims: REMISSION
            .into_iter()
            .enumerate()
            .map(|(n, (days, settled))| {
                // A claim that is open today was drafted as long ago as it is open.
                let drafted = if settled {
                    as_of - Days::new(60)
                } else {
                    as_of - Days::new(days)
                };
                claim(n, drafted, settled.then_some(days))
            })
            .collect(),
        ..supplier("s")
    };
    let days = figure(&facts, "days-to-settle").year;
    assert_eq!(
        days.number().unwrap(),
        ("23".to_owned(), "days, median".to_owned())
    );
    assert_eq!(
        days.words(),
        "half of the claims are settled within about 23 days (an estimate: 9 settled, 12 still open and counted at \
         their age)"
    );
    // The mean of the settled alone would say 12: it forgets those that take longest.
    assert_eq!(figure(&facts, "claims-open").year.n(), 12);
}

#[test]
fn money_is_what_was_claimed_less_what_came_back_in_its_own_currency() {
    let day = "2026-02-10".parse().unwrap();
    let credited = ClaimFact {
        credited: Money(Decimal::from(60)),
        costs: Money(Decimal::from(25)),
        goods: false,
        ..claim(1, day, None)
    };
    let by_goods = claim(2, day, Some(10));
    let withdrawn = ClaimFact {
        state: State::Withdrawn,
        ..claim(3, day, Some(1))
    };
    let on_carrier = ClaimFact {
        on_supplier: false,
        ..claim(4, day, None)
    };
    let euros = ClaimFact {
        currency: "EUR".to_owned(),
        ..claim(5, day, None)
    };
    let later = claim(6, "2026-04-01".parse().unwrap(), None);
    let unpriced = ClaimFact {
        value: None,
        ..claim(7, day, None)
    };
    let facts = Facts {
        claims: vec![
            credited, by_goods, withdrawn, on_carrier, euros, later, unpriced,
        ],
        ..supplier("s")
    };
    assert_eq!(
        figure(&facts, "claimed-usd").year.words(),
        "200.00 USD (3 claims, 1 of them without a price)"
    );
    assert_eq!(
        figure(&facts, "entered-costs-usd").year.number().unwrap().0,
        "25.00"
    );
    assert_eq!(
        figure(&facts, "recovered-usd").year.number().unwrap().0,
        "160.00"
    );
    assert_eq!(
        figure(&facts, "net-cost-usd").year.number().unwrap().0,
        "40.00"
    );
    assert_eq!(
        figure(&facts, "claimed-eur").year.number().unwrap().0,
        "100.00"
    );
    assert_eq!(figure(&facts, "claims-opened").year.n(), 4);
}

#[test]
fn notice_is_judged_only_where_the_day_is_past_or_something_was_sent() {
    let day: NaiveDate = "2026-03-10".parse().unwrap();
    let with = |number, sent: Option<NaiveDate>, last: Option<NaiveDate>| ClaimFact {
        sent,
        notify_by: last,
        ..claim(number, day, None)
    };
    let last = Some(day + Days::new(3));
    let facts = Facts {
        claims: vec![
            with(1, last, last),
            with(2, Some(day + Days::new(4)), last),
            with(3, None, last),
            with(4, None, Some(period().as_of)),
            with(5, Some(day), None),
        ],
        ..supplier("s")
    };
    assert_eq!(
        figure(&facts, "notice-in-time").year.words(),
        "1 of 3 claims"
    );
}

/// A year of five suppliers whose deliveries go wrong alike, each month the same number.
fn equal_year(dice: &mut Dice, deliveries: u64, rate: f64) -> Review {
    let facts: Vec<Facts> = (0..5)
        .map(|place| {
            let mut facts = supplier(&format!("supplier {place}"));
            for back in 0..12 {
                let bad = (0..deliveries).filter(|_| dice.next() < rate).count() as u64;
                facts.deliveries.extend(delivered(
                    month("2026-03").back(back),
                    deliveries - bad,
                    bad,
                ));
            }
            facts
        })
        .collect();
    review(&facts, period(), None)
}

struct Dice(u64);

impl Dice {
    /// SplitMix64, as a number from 0 to below 1.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[test]
fn over_1000_years_of_equal_suppliers_wrong_call_outs_keep_to_the_promise() {
    let mut dice = Dice(2026);
    let (mut called, mut years_with_one) = (0, 0);
    for _ in 0..1_000 {
        let year = equal_year(&mut dice, 13, 0.12);
        let wrong = year
            .suppliers
            .iter()
            .filter(|page| page.judged.verdict.is_call_out())
            .count();
        called += wrong;
        years_with_one += usize::from(wrong > 0);
    }
    println!(
        "equal suppliers: {called} of 5,000 supplier years called out wrongly, in {years_with_one} of 1,000 reviews"
    );
    // 99.8 % limits promise at most 2 in 1,000 suppliers, and so at most 1 in 100 reviews of five.
    assert!(
        called <= 10 && years_with_one <= 10,
        "{called} {years_with_one}"
    );
}

#[test]
fn a_supplier_is_called_out_only_outside_the_limits_and_else_it_is_said_why_not() {
    let facts = [
        ("worse", 60, 60),
        ("usual", 110, 10),
        ("plain", 108, 12),
        ("new", 3, 3),
    ]
    .map(|(name, good, bad)| Facts {
        deliveries: delivered(month("2026-01"), good, bad),
        ..supplier(name)
    });
    let review = review(&facts, period(), None);
    let said: Vec<(&str, &str)> = review
        .suppliers
        .iter()
        .map(|page| (page.name.as_str(), page.judged.verdict.words()))
        .collect();
    assert_eq!(
        said,
        [
            ("new", "too few to say"),
            ("plain", "as the others"),
            ("usual", "as the others"),
            ("worse", "worse than the others")
        ]
    );
    let few = review.page("new").unwrap();
    assert_eq!(few.judged.interval, None);
    assert_eq!(
        few.sentences[0],
        "In twelve months 3 of your 6 deliveries were not as ordered, too few to compare with others."
    );
}

#[test]
fn three_sentences_are_drawn_from_the_data_and_thank_who_did_well() {
    let good = Facts {
        deliveries: delivered(month("2026-01"), 30, 0),
        lines: lines("sheet", 60, 0, 500, 0),
        ..supplier("good")
    };
    let other = Facts {
        deliveries: delivered(month("2026-01"), 30, 2),
        ..supplier("other")
    };
    let review = review(&[good, other], period(), None);
    assert_eq!(
        review.page("good").unwrap().sentences,
        [
            "In twelve months 0 of your 30 deliveries were not as ordered, as with our other suppliers.",
            "Counted by line it was as ordered on 60 of 60 lines (100.0 %).",
            "We had nothing to claim from you in these months; thank you.",
        ]
    );
}

#[test]
fn a_name_from_outside_cannot_change_the_page_or_the_table() {
    let evil = "<script>alert(1)</script>\"=1+1,\u{202e}";
    let facts = Facts {
        name: Some(evil.to_owned()),
        deliveries: delivered(month("2026-01"), 30, 2),
        claims: vec![ClaimFact {
            about: evil.to_owned(),
            ..claim(1, "2026-03-05".parse().unwrap(), None)
        }],
        ..supplier("=cmd")
    };
    let review = review(&[facts], period(), Some(evil));
    let pages: Vec<_> = review.suppliers.iter().collect();
    let html = report::page::page(&review, true, &pages).unwrap();
    assert!(!html.contains("<script"), "a name became markup");
    let csv = report::csv::csv(&review);
    assert!(csv.lines().skip(1).all(|line| !line.starts_with('=')));
    assert!(csv.contains("\"'=cmd\""));
}

#[test]
fn nothing_is_fetched_by_the_page_and_every_chart_has_words() {
    let facts = [("a", 30, 5), ("b", 40, 4)].map(|(name, good, bad)| Facts {
        deliveries: delivered(month("2026-01"), good, bad),
        ..supplier(name)
    });
    let review = review(&facts, period(), None);
    let pages: Vec<_> = review.suppliers.iter().collect();
    let html = report::page::page(&review, true, &pages).unwrap();
    assert!(
        !html.contains("http://")
            || html.matches("http://").count() == html.matches("http://www.w3.org/").count()
    );
    assert!(!html.contains("https://") && !html.contains("<link") && !html.contains("src="));
    let charts = html.matches("<svg").count();
    assert_eq!(
        charts, 5,
        "funnel, intervals and months for all, months for each"
    );
    assert_eq!(html.matches("role=\"img\"").count(), charts);
    assert_eq!(html.matches("<desc").count(), charts);
}
