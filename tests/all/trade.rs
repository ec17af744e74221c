//! Finishes, tolerances, notice periods and figures of lumber.

use asordered::model::length::Length;
use asordered::trade::finishes::{Likeness, compare, finishes, meanings};
use asordered::trade::notices::{Of, Span, Standing, Term, named as notice, notices};
use asordered::trade::{lumber, tolerances};

const INCH: i64 = 25_400_000;

fn inches(above: i64, below: i64) -> Length {
    Length::from_nm(INCH * above / below)
}

fn mm(thousandths: i64) -> Length {
    Length::from_nm(thousandths * 1000)
}

#[test]
fn every_row_has_a_source() {
    let sources = finishes()
        .iter()
        .map(|row| &row.source)
        .chain(tolerances::standards().iter().map(|row| &row.source))
        .chain(notices().iter().map(|row| &row.source))
        .chain(lumber::scants().iter().map(|row| &row.source))
        .chain(lumber::yields().iter().map(|row| &row.source))
        .chain([&lumber::shrinkage().source]);
    let mut rows = 0;
    for source in sources {
        assert!(!source.trim().is_empty());
        rows += 1;
    }
    assert!(rows > 40, "{rows} rows");
}

/// BHMA and US numbers of one finish (check values, from published charts).
#[test]
fn published_equivalents_are_one_finish() {
    for (bhma, us) in [
        ("606", "US4"),
        ("612", "US10"),
        ("613", "US10B"),
        ("618", "US14"),
        ("619", "US15"),
        ("622", "US19"),
        ("625", "US26"),
        ("628", "US28"),
        ("629", "US32"),
        ("630", "US32D"),
    ] {
        assert_eq!(compare(bhma, us), Some(Likeness::Same), "{bhma} {us}");
        assert_eq!(compare(us, bhma), Some(Likeness::Same), "{us} {bhma}");
    }
}

#[test]
fn a_us_number_that_stands_for_several_bhma_numbers_is_unsure() {
    for (bhma, us) in [
        ("605", "US3"),
        ("632", "US3"),
        ("626", "US26D"),
        ("652", "US26D"),
    ] {
        assert_eq!(compare(bhma, us), Some(Likeness::Unsure), "{bhma} {us}");
        assert_eq!(compare(us, bhma), Some(Likeness::Unsure), "{us} {bhma}");
    }
    let on: Vec<&str> = meanings("US26D").map(|row| row.bhma.as_str()).collect();
    assert_eq!(on, ["626", "652"]);
    assert_eq!(compare("640", "US10B"), Some(Likeness::Unsure));
    assert_eq!(compare("626", "652"), Some(Likeness::Different));
    assert_eq!(compare("US26D", "us 26d"), Some(Likeness::Same));
}

#[test]
fn different_finishes_differ_and_words_are_left_to_the_text() {
    assert_eq!(compare("626", "630"), Some(Likeness::Different));
    assert_eq!(compare("US26D", "US26"), Some(Likeness::Different));
    assert_eq!(compare("613", "US10"), Some(Likeness::Different));
    for words in [
        "satin nickel",
        "",
        "626 or 630",
        "US3 US4",
        "613 US10",
        "us",
        "999",
    ] {
        assert_eq!(compare(words, "626"), None, "{words}");
        assert_eq!(compare("US26D", words), None, "{words}");
    }
}

#[test]
fn finish_numbers_are_read_as_people_write_them() {
    for text in ["613", "BHMA 613", "bhma613 ", "613 / US10B", "US10B (613)"] {
        let expected = (text != "bhma613 ").then_some(Likeness::Same);
        assert_eq!(compare(text, "613"), expected, "{text}");
    }
}

#[test]
fn no_bhma_number_stands_twice() {
    for row in finishes() {
        let alike = finishes().iter().filter(|other| other.bhma == row.bhma);
        assert_eq!(alike.count(), 1, "{}", row.bhma);
    }
}

#[test]
fn tolerances_are_those_of_the_standards() {
    let ps1 = tolerances::named("ps1").unwrap();
    assert_eq!(
        (ps1.sides.under, ps1.sides.over),
        (inches(1, 16), Length::ZERO)
    );
    assert_eq!(ps1.thickness, None);
    let mdf = tolerances::named("MDF").unwrap();
    assert_eq!((mdf.sides.under, mdf.sides.over), (mm(2000), mm(2000)));
    let thickness = mdf.thickness.unwrap();
    assert_eq!((thickness.under, thickness.over), (mm(125), mm(125)));
    // From memory, as the row says.
    let hp1 = tolerances::named("HP-1").unwrap();
    assert_eq!(
        (hp1.sides.under, hp1.sides.over),
        (inches(1, 32), inches(1, 32))
    );
    assert_eq!(hp1.square, Some(inches(3, 32)));
    assert_eq!(tolerances::named("ps2").map(|row| &row.name), None);
    assert_eq!(tolerances::near("hp-1"), Some("hp1"));
}

/// NHLA 2023, check values: 4/4 at least 15/16, 5/4 at least 1 3/16, 8/4 at least 1 7/8 in.
#[test]
fn kiln_dried_lumber_may_be_scant() {
    for (quarters, least) in [(4, inches(15, 16)), (5, inches(19, 16)), (8, inches(15, 8))] {
        let nominal = lumber::nominal(quarters);
        assert_eq!(nominal - lumber::scant(nominal), least, "{quarters}/4");
    }
    assert_eq!(lumber::scant(inches(3, 8)), inches(1, 16));
    assert_eq!(lumber::scant(inches(7, 4)), inches(1, 16));
    assert_eq!(lumber::scant(inches(1, 4)), Length::ZERO);
}

/// Check values: FAS 83 1/3 per cent, 1C 66 2/3, 2A 50, 3A 33 1/3, 3B 25; 2B is 50 per cent sound.
#[test]
fn yields_are_those_of_the_rules() {
    let found: Vec<(&str, u32, bool)> = lumber::yields()
        .iter()
        .map(|row| (row.grade.as_str(), row.twelfths(), row.sound))
        .collect();
    assert_eq!(
        found,
        [
            ("FAS", 10, false),
            ("1C", 8, false),
            ("2A", 6, false),
            ("2B", 6, true),
            ("3A", 4, false),
            ("3B", 3, false),
        ]
    );
}

#[test]
fn notice_periods_are_those_of_the_check_values() {
    let term = |count, unit| Some(Term { count, unit });
    for (id, of, standing, period) in [
        ("ucc", Of::Any, Standing::Law, None),
        ("cisg", Of::Any, Standing::Law, None),
        (
            "carrier-concealed",
            Of::Concealed,
            Standing::Rules,
            term(5, Span::BusinessDays),
        ),
        (
            "carrier-claim",
            Of::Claim,
            Standing::Law,
            term(9, Span::Months),
        ),
        (
            "carrier-acknowledges",
            Of::Answer,
            Standing::Law,
            term(30, Span::Days),
        ),
        (
            "carrier-answers",
            Of::Answer,
            Standing::Law,
            term(120, Span::Days),
        ),
        ("nhla", Of::Any, Standing::Rules, term(14, Span::Days)),
        (
            "practice-visible",
            Of::Visible,
            Standing::Practice,
            term(2, Span::BusinessDays),
        ),
        (
            "practice-concealed",
            Of::Concealed,
            Standing::Practice,
            term(5, Span::BusinessDays),
        ),
        (
            "practice-shortage",
            Of::Shortage,
            Standing::Practice,
            term(5, Span::BusinessDays),
        ),
        (
            "practice-early",
            Of::Early,
            Standing::Practice,
            term(2, Span::Days),
        ),
    ] {
        let row = notice(id).unwrap_or_else(|| panic!("no notice {id}"));
        assert_eq!(
            (row.of, row.standing, row.period),
            (of, standing, period),
            "{id}"
        );
        assert_eq!(row.hold_whole, id == "nhla", "{id}");
        assert!(!row.says.is_empty() && !row.jurisdiction.is_empty(), "{id}");
    }
    assert_eq!(notice("cisg").unwrap().longest, term(2, Span::Years));
    assert_eq!(notices().len(), 11);
}
