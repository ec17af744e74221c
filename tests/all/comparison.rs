//! The comparison of suppliers: who is called out, in which words, and how often by chance alone.

use asordered::review::compare::{Comparison, Counted, Counting, Verdict, compare};
use asordered::review::statistics::Share;
use asordered::review::statistics::pchart::{Mark, pchart};

const LINES: Counting<'_> = Counting {
    what: "lines",
    bad: "not as ordered",
};

fn counted(supplier: &str, bad: u64, of: u64) -> Counted {
    Counted {
        supplier: supplier.to_owned(),
        bad: Share::new(bad, of).unwrap(),
    }
}

fn verdicts(found: &Comparison) -> Vec<(&str, Verdict)> {
    found
        .judged
        .iter()
        .map(|one| (one.supplier.as_str(), one.verdict))
        .collect()
}

#[test]
fn a_supplier_outside_the_limits_is_called_out_and_the_others_are_not() {
    let found = compare(
        &[
            counted("ash", 12, 240),
            counted("birch", 38, 240),
            counted("cherry", 11, 200),
            counted("elm", 1, 9),
        ],
        LINES,
    );
    assert_eq!(
        verdicts(&found),
        [
            ("ash", Verdict::AsOthers),
            ("birch", Verdict::Worse),
            ("cherry", Verdict::AsOthers),
            ("elm", Verdict::TooFew)
        ]
    );
    // scipy: binom.ppf([.001, .999], 240, 24/449) = 4, 25
    assert_eq!(
        found.judged[1].why,
        "38 of 240 lines not as ordered (15.8 %); at the shop's average without birch, 5.3 %, chance alone gives \
         4 to 25 of 240 (99.8 % limits)"
    );
    assert_eq!(
        found.judged[3].why,
        "1 of 9 lines not as ordered; below 20 lines only the counts are given"
    );
}

// With birch in the average, 8.3 %, ash at 4 % of 2,000 would be called better (scipy: binom.cdf(80, 2000, 1/12) = 8e-15),
// though it is exactly as cherry and elm are.
#[test]
fn one_bad_supplier_does_not_make_ordinary_ones_look_good() {
    let found = compare(
        &[
            counted("ash", 80, 2000),
            counted("birch", 300, 1000),
            counted("cherry", 40, 1000),
            counted("elm", 80, 2000),
        ],
        LINES,
    );
    assert_eq!(found.left_out, ["birch"]);
    assert_eq!(
        found
            .judged
            .iter()
            .map(|one| one.verdict)
            .collect::<Vec<_>>(),
        [
            Verdict::AsOthers,
            Verdict::Worse,
            Verdict::AsOthers,
            Verdict::AsOthers
        ]
    );
}

#[test]
fn below_twenty_lines_nobody_is_called_out_however_bad() {
    let found = compare(&[counted("ash", 19, 19), counted("birch", 4, 400)], LINES);
    assert_eq!(found.judged[0].verdict, Verdict::TooFew);
    assert_eq!(found.judged[0].interval, None);
}

#[test]
fn a_lone_supplier_has_nobody_to_be_compared_with() {
    let found = compare(&[counted("ash", 30, 100), counted("birch", 0, 19)], LINES);
    assert_eq!(found.judged[0].verdict, Verdict::TooFew);
    assert_eq!(
        found.judged[0].why,
        "30 of 100 lines not as ordered (30.0 %); the other suppliers together have fewer than 20 lines to compare with"
    );
    assert_eq!(compare(&[], LINES).judged, []);
}

#[test]
fn between_the_two_limits_a_supplier_is_worth_watching_and_no_more() {
    let found = compare(
        &[
            counted("ash", 20, 200),
            counted("birch", 20, 400),
            counted("cherry", 20, 400),
        ],
        LINES,
    );
    let ash = &found.judged[0];
    assert_eq!((ash.verdict, ash.watch), (Verdict::AsOthers, true));
    assert!(
        ash.why
            .ends_with("but as many as one supplier in twenty is there by chance"),
        "{}",
        ash.why
    );
}

#[test]
fn a_supplier_of_most_of_the_lines_is_said_to_make_the_average() {
    let found = compare(&[counted("ash", 50, 800), counted("birch", 8, 200)], LINES);
    let why = &found.judged[0].why;
    assert!(
        why.ends_with(
            "it has 800 of the 1,000 lines in the average, which is therefore mostly its own"
        ),
        "{why}"
    );
}

#[test]
fn none_bad_of_few_is_not_called_better_and_the_reason_is_given() {
    let found = compare(&[counted("ash", 0, 30), counted("birch", 10, 200)], LINES);
    let ash = &found.judged[0];
    assert_eq!(ash.verdict, Verdict::AsOthers);
    assert!(
        ash.why
            .ends_with("with this few, not even none not as ordered would show it to be better"),
        "{}",
        ash.why
    );
}

/// Splitmix64 (Vigna, public domain algorithm): small, seeded, the same everywhere.
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn bad_of(&mut self, n: u64, p: f64) -> Share {
        Share::count((0..n).map(|_| self.unit() < p))
    }

    /// Whole deliveries of `size` lines, of which all lines of some go wrong together.
    fn bad_in_deliveries(&mut self, n: u64, size: u64, p: f64) -> Share {
        (0..n / size)
            .map(|_| {
                if self.unit() < p {
                    Share::new(size, size)
                } else {
                    Share::new(0, size)
                }
                .unwrap()
            })
            .sum()
    }
}

#[derive(Default)]
struct Tally {
    suppliers: u64,
    worse: u64,
    better: u64,
    watched: u64,
    years_with_call_out: u64,
    years: u64,
}

impl Tally {
    fn year(&mut self, found: &Comparison) {
        self.years += 1;
        self.suppliers += found.judged.len() as u64;
        self.worse += found
            .judged
            .iter()
            .filter(|one| one.verdict == Verdict::Worse)
            .count() as u64;
        self.better += found
            .judged
            .iter()
            .filter(|one| one.verdict == Verdict::Better)
            .count() as u64;
        self.watched += found.judged.iter().filter(|one| one.watch).count() as u64;
        self.years_with_call_out +=
            u64::from(found.judged.iter().any(|one| one.verdict.is_call_out()));
    }

    fn print(&self, what: &str) {
        let share = |count: u64, of: u64| 100.0 * count as f64 / of as f64;
        write(&format!(
            "{what}: worse {} + better {} of {} suppliers ({:.3} %), in {} of {} years ({:.2} %); watched {:.2} %",
            self.worse,
            self.better,
            self.suppliers,
            share(self.worse + self.better, self.suppliers),
            self.years_with_call_out,
            self.years,
            share(self.years_with_call_out, self.years),
            share(self.watched, self.suppliers),
        ));
    }
}

#[expect(
    clippy::print_stdout,
    reason = "the figures are read with `--nocapture`"
)]
fn write(line: &str) {
    println!("{line}");
}

const NAMES: [&str; 5] = ["ash", "birch", "cherry", "elm", "fir"];

fn year(bad: impl FnMut(usize) -> Share) -> Comparison {
    let shares = (0..NAMES.len()).map(bad);
    let all: Vec<Counted> = NAMES
        .iter()
        .zip(shares)
        .map(|(name, bad)| Counted {
            supplier: (*name).to_owned(),
            bad,
        })
        .collect();
    compare(&all, LINES)
}

/// Lines a year of the five suppliers, and the rate they share.
const SHOPS: [(&str, [u64; 5], f64); 6] = [
    ("equal 240 lines, 5 %", [240; 5], 0.05),
    ("equal 60 lines, 5 %", [60; 5], 0.05),
    ("equal 25 lines, 2 %", [25; 5], 0.02),
    ("unequal 20 to 600 lines, 8 %", [20, 40, 90, 250, 600], 0.08),
    ("equal 1,000 lines, 20 %", [1_000; 5], 0.2),
    ("unequal, 1 %", [30, 60, 120, 240, 480], 0.01),
];

// The promise: at most 1 in 1,000 on each side for a supplier, so at most 1 in 100 for a year of five.
#[test]
fn over_1000_years_of_equal_suppliers_false_call_outs_keep_the_promise() {
    for (seed, (what, sizes, p)) in SHOPS.into_iter().enumerate() {
        let mut dice = Dice(seed as u64);
        let mut tally = Tally::default();
        for _ in 0..1_000 {
            tally.year(&year(|index| dice.bad_of(sizes[index], p)));
        }
        tally.print(what);
        assert_eq!(tally.suppliers, 5_000);
        assert!(
            tally.worse * 1_000 <= tally.suppliers,
            "{what}: {} called worse",
            tally.worse
        );
        assert!(
            tally.better * 1_000 <= tally.suppliers,
            "{what}: {} called better",
            tally.better
        );
        assert!(
            tally.years_with_call_out * 100 <= tally.years,
            "{what}: {} years",
            tally.years_with_call_out
        );
        assert!(
            tally.watched * 20 <= tally.suppliers,
            "{what}: {} watched",
            tally.watched
        );
    }
}

// Two that truly differ (15 % and 0.5 %) and three that do not (5 %), 400 lines each.
#[test]
fn two_suppliers_that_truly_differ_are_found_in_nearly_every_year() {
    let mut dice = Dice(99);
    let rates = [0.05, 0.15, 0.05, 0.005, 0.05];
    let mut exactly = 0;
    for _ in 0..300 {
        let found = year(|index| dice.bad_of(400, rates[index]));
        let expected = [
            Verdict::AsOthers,
            Verdict::Worse,
            Verdict::AsOthers,
            Verdict::Better,
            Verdict::AsOthers,
        ];
        exactly += u32::from(found.judged.iter().map(|one| one.verdict).eq(expected));
    }
    write(&format!(
        "two that differ, 400 lines each: exactly those two in {exactly} of 300 years"
    ));
    assert!(exactly >= 270, "{exactly} of 300");
}

// What the promise supposes: where 8 lines of a delivery go wrong together, lines counted one by one break it, and
// the same deliveries counted as deliveries keep it.
#[test]
fn deliveries_that_go_wrong_whole_have_to_be_counted_as_deliveries() {
    let mut dice = Dice(7);
    let (mut lines, mut deliveries) = (Tally::default(), Tally::default());
    for _ in 0..1_000 {
        let shares: Vec<Share> = (0..5)
            .map(|_| dice.bad_in_deliveries(400, 8, 0.05))
            .collect();
        lines.year(&year(|index| shares[index]));
        deliveries.year(&year(|index| {
            Share::new(shares[index].part() / 8, 50).unwrap()
        }));
    }
    lines.print("whole deliveries of 8 lines, counted as lines");
    deliveries.print("the same, counted as deliveries");
    assert!(lines.years_with_call_out > 100);
    assert!(deliveries.years_with_call_out * 100 <= deliveries.years);
}

// A review every month over the twelve months before it is twelve looks: at most twelve times the chance, and less,
// because the years overlap.
#[test]
fn twelve_monthly_looks_at_equal_suppliers_stay_within_twelve_chances() {
    let mut dice = Dice(12);
    let mut years_with_call_out = 0;
    for _ in 0..300 {
        let months: Vec<Vec<Share>> = (0..23)
            .map(|_| (0..5).map(|_| dice.bad_of(20, 0.05)).collect())
            .collect();
        let called = months.windows(12).any(|window| {
            let found = year(|index| window.iter().map(|month| month[index]).sum());
            found.judged.iter().any(|one| one.verdict.is_call_out())
        });
        years_with_call_out += u32::from(called);
    }
    write(&format!(
        "twelve looks at a rolling year: a false call-out in {years_with_call_out} of 300 years"
    ));
    assert!(years_with_call_out <= 36);
}

// Twelve months at 0.27 % each (0.135 % a side) are 3.2 % of years; 10 to 43 lines a month at one rate of 5 %.
#[test]
fn a_steady_supplier_has_a_month_outside_the_limits_no_more_often_than_three_sigma_stands_for() {
    let mut dice = Dice(3);
    let (mut outside, mut beyond_three_sigma, mut run) = (0, 0, 0);
    for _ in 0..1_000 {
        let months: Vec<Share> = (0..12)
            .map(|month| dice.bad_of(10 + 3 * month, 0.05))
            .collect();
        let Some(chart) = pchart(&months) else {
            continue;
        };
        let points = || chart.points.iter().flatten();
        outside += u32::from(points().any(|point| matches!(point.mark, Some(Mark::Outside(_)))));
        run += u32::from(points().any(|point| matches!(point.mark, Some(Mark::Run(..)))));
        beyond_three_sigma +=
            u32::from(points().any(|point| !point.three_sigma.holds(point.share.rate().unwrap())));
    }
    write(&format!(
        "steady supplier, 12 months: a month marked outside in {outside}, a run in {run} of 1000 years; \
         3 sigma alone would mark {beyond_three_sigma}"
    ));
    assert!(outside <= 32, "{outside}");
    assert!(run <= 31, "{run}");
    assert!(beyond_three_sigma > 2 * outside, "{beyond_three_sigma}");
}
