//! `asordered review` over a book, as a shop runs it.

use crate::book_support::{Shop, receipt};
use crate::support::{Run, program};
use serde_json::Value;
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// The demo's year, filled once for all tests.
fn year() -> &'static Path {
    static YEAR: OnceLock<TempDir> = OnceLock::new();
    YEAR.get_or_init(|| {
        let folder = TempDir::new().unwrap();
        let output = program()
            .args(["demo", "shop", "--year"])
            .current_dir(folder.path())
            .output()
            .unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert_eq!(output.stderr, b"", "no progress where there is no terminal");
        folder
    })
    .path()
}

fn ask(args: &[&str]) -> String {
    let output = program()
        .args(args)
        .args(["--today", "2026-04-02", "--shop"])
        .arg(year().join("shop"))
        .output()
        .unwrap();
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
    String::from_utf8(output.stdout).unwrap()
}

fn json(args: &[&str]) -> Value {
    let mut all = args.to_vec();
    all.push("--json");
    serde_json::from_str(&ask(&all)).unwrap()
}

#[test]
fn in_the_invented_year_exactly_the_two_that_differ_are_called_out() {
    let review = json(&["review"]);
    assert_eq!(review["month"], "2026-03");
    let said: Vec<(&str, &str)> = review["suppliers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            (
                one["supplier"].as_str().unwrap(),
                one["verdict"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        said,
        [
            ("bramblegate", "as the others"),
            ("copperfinch", "worse than the others"),
            ("gorsewick", "better than the others"),
            ("quillfeather", "as the others"),
            ("tallowmere", "as the others"),
        ]
    );
    for supplier in review["suppliers"].as_array().unwrap() {
        let lines = figure(supplier, "lines-as-ordered")["n"].as_u64().unwrap();
        assert!(lines >= 400, "{lines} lines");
    }
}

fn figure<'v>(page: &'v Value, name: &str) -> &'v Value {
    let figures = page["figures"].as_array().unwrap();
    &figures
        .iter()
        .find(|figure| figure["name"] == name)
        .unwrap()["twelve_months"]
}

#[test]
fn what_stands_behind_every_figure_adds_up_to_it() {
    let review = json(&["review", "--supplier", "quillfeather"]);
    let page = &review["suppliers"][0];
    let figures = page["figures"].as_array().unwrap();
    assert!(figures.len() > 20, "{}", figures.len());
    for figure in figures {
        let name = figure["name"].as_str().unwrap();
        for (args, period) in [(&[][..], "twelve_months"), (&["--month-only"][..], "month")] {
            let mut all = vec!["review", "--why", name, "--supplier", "quillfeather"];
            all.extend(args);
            let why = json(&all);
            let reading = &figure[period];
            assert_eq!(&why["reading"], reading, "{name}");
            let rows = why["rows"].as_array().unwrap();
            let part = rows.iter().filter(|row| row["in_part"] == true).count() as u64;
            let words = reading["words"].as_str().unwrap();
            let whole = rows.len() as u64;
            if name.starts_with("found-") {
                let findings: u64 = reading["value"].as_str().unwrap().parse().unwrap();
                assert_eq!(whole, findings, "{name}");
            } else if name == "sets-filled" {
                // Counted in sets, listed by order line.
                let sets = |place: usize| -> u64 {
                    rows.iter()
                        .map(|row| {
                            let counted = row["counted"].as_str().unwrap();
                            counted
                                .split(' ')
                                .nth(place)
                                .unwrap()
                                .parse::<u64>()
                                .unwrap()
                        })
                        .sum()
                };
                assert!(
                    words.starts_with(&format!("{} of {} sets", sets(0), sets(2))),
                    "{words}"
                );
            } else {
                assert_eq!(whole, reading["n"].as_u64().unwrap(), "{name} {period}");
                if words.contains(" of ")
                    && !name.starts_with("rejected-")
                    && name != "days-to-settle"
                {
                    assert!(
                        words.starts_with(&format!("{part} of {whole} ")),
                        "{name}: {words}"
                    );
                }
            }
            if let Some((what, "usd")) = name.rsplit_once('-') {
                let sum: rust_decimal::Decimal = rows
                    .iter()
                    .map(|row| {
                        let counted = row["counted"].as_str().unwrap().replace(',', "");
                        counted
                            .trim_end_matches(" USD")
                            .parse::<rust_decimal::Decimal>()
                            .unwrap()
                    })
                    .sum();
                assert_eq!(
                    reading["value"].as_str().unwrap().parse(),
                    Ok(sum),
                    "{what}"
                );
            }
        }
    }
}

#[test]
fn the_pages_fit_80_columns_without_colour() {
    for args in [
        &["review"][..],
        &["review", "--supplier", "copperfinch"],
        &["review", "--why", "claims-open"],
    ] {
        let text = ask(args);
        assert!(!text.contains('\u{1b}'));
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn the_year_is_a_sound_book() {
    let text = ask(&["verify"]);
    assert!(text.contains("sound"), "{text}");
}

#[test]
fn the_letter_has_the_months_facts_and_the_shops_own_wording_wins() {
    let letter = ask(&["review", "letter", "copperfinch"]);
    for part in [
        "Your deliveries in March 2026",
        "April 2, 2026",
        "Copperfinch Hardware",
        "deliveries as ordered, the first time: 9 of 14 deliveries",
        "59 of your 160 deliveries",
    ] {
        assert!(letter.contains(part), "{part}\n{letter}");
    }
    let shop = TempDir::new().unwrap();
    crate::support::copy(&year().join("shop"), shop.path());
    let own = shop.path().join("templates");
    std::fs::create_dir(&own).unwrap();
    let run = |text: &str| {
        std::fs::write(own.join("review-letter.txt.hbs"), text).unwrap();
        let output = program()
            .args([
                "review",
                "letter",
                "copperfinch",
                "--today",
                "2026-04-02",
                "--shop",
            ])
            .arg(shop.path())
            .output()
            .unwrap();
        (
            output.status.code(),
            String::from_utf8(output.stdout).unwrap(),
            String::from_utf8(output.stderr).unwrap(),
        )
    };
    let (status, out, _) = run("{{to.name}}, {{month}}{{#each claims}} {{number}}{{/each}}\n");
    assert_eq!(status, Some(0));
    assert!(
        out.starts_with("Copperfinch Hardware, March 2026 PO-"),
        "{out}"
    );
    let (status, _, errors) = run("{{order_date}}\n");
    assert_eq!(status, Some(2));
    assert!(errors.contains("unknown name `order_date`"), "{errors}");
}

fn small() -> Shop {
    let shop = Shop::with_order();
    shop.put("receipts/RG-1.yaml", receipt("RG-1", 19, 28, 10, "A"));
    shop.ends(1, &["receive", "PO-1", "receipts/RG-1.yaml"]);
    shop.good(&[
        "claim",
        "draft",
        "PO-1",
        "--today",
        "2026-03-20",
        "--return-freight",
        "15",
    ]);
    shop
}

#[test]
fn a_small_book_gives_counts_and_calls_out_nobody() {
    let shop = small();
    let text = shop.good(&["review", "--month", "2026-03", "--today", "2026-04-02"]);
    assert_eq!(text, include_str!("review_small.txt"));
}

#[test]
fn the_page_of_one_supplier_of_a_small_book() {
    let shop = small();
    let text = shop.good(&["review", "--supplier", "s", "--today", "2026-04-02"]);
    assert_eq!(text, include_str!("review_small_supplier.txt"));
}

#[test]
fn why_lists_the_receipt_its_findings_and_its_claim() {
    let shop = small();
    let text = shop.good(&[
        "review",
        "--why",
        "deliveries-as-ordered",
        "--today",
        "2026-04-02",
    ]);
    assert_eq!(text, include_str!("review_small_why.txt"));
}

#[test]
fn the_kept_sums_follow_a_receipt_that_is_replaced_and_verify_tells_when_they_do_not() {
    let shop = small();
    shop.put("receipts/RG-1.yaml", receipt("RG-1", 19, 30, 9, "A"));
    shop.ends(1, &["receive", "PO-1", "receipts/RG-1.yaml", "--replace"]);
    assert_eq!(shop.wrong(), Vec::<String>::new());
    let review = shop.json(0, &["review", "--supplier", "s", "--today", "2026-04-02"]);
    assert_eq!(
        figure(&review["suppliers"][0], "rejected-sheet")["words"],
        "0 of 39 sheet, 2 lines"
    );
    shop.book()
        .connection()
        .execute("UPDATE line_months SET lines = lines + 1", [])
        .unwrap();
    assert_eq!(
        shop.wrong(),
        ["the lines added up month by month, which reviews read, are not those of the lines"]
    );
}

/// 30 sheets at 10.01 for 10.00 are billed 0.30 above the order, whatever the goods are worth.
#[test]
fn a_price_error_costs_what_is_billed_too_much_and_not_the_whole_bill() {
    let shop = Shop::with_order();
    shop.put("receipts/RG-1.yaml", receipt("RG-1", 19, 30, 10, "A"));
    shop.good(&["receive", "PO-1", "receipts/RG-1.yaml"]);
    shop.put(
        "i.yaml",
        "invoice: I-1\norder: PO-1\ndate: 2026-03-21\n\
         lines: [{line: 1, quantity: 30 sheet, unit_price: 10.01, amount: 300.30}]\n",
    );
    shop.good(&["invoice", "add", "i.yaml"]);
    let ask = ["review", "--supplier", "s", "--today", "2026-04-02"];
    let text = shop.good(&ask);
    assert!(
        text.contains("billed above the order: 1 time, 0.30 USD"),
        "{text}"
    );
    let why = shop.good(&[
        "review",
        "--why",
        "found-price-above",
        "--today",
        "2026-04-02",
    ]);
    assert!(why.contains("30 sheet, 0.30 USD"), "{why}");
    assert_eq!(shop.wrong(), Vec::<String>::new());
    shop.book()
        .connection()
        .execute("UPDATE findings SET cost_cents = 30030", [])
        .unwrap();
    assert_eq!(
        shop.wrong(),
        ["order `PO-1`: the findings of its bills are not what its documents say"]
    );
}

#[test]
fn what_is_not_there_is_told_with_what_is() {
    let shop = small();
    for (args, error) in [
        (
            &["review", "--supplier", "sx"][..],
            "error: nothing is known of supplier `sx` in March 2026 and the twelve months from April 2025\n",
        ),
        (
            &["review", "--why", "lines-as-orderd"],
            "error: no figure is called `lines-as-orderd`\n  hint: did you mean `lines-as-ordered`?\n",
        ),
        (
            &["review", "--month", "2026-05"],
            "error: May 2026 has not begun\n",
        ),
    ] {
        let mut all = args.to_vec();
        all.extend(["--today", "2026-04-02"]);
        let errors = shop.ends(2, &all);
        assert!(errors.starts_with(error), "{errors}");
    }
}

#[test]
fn a_book_without_receipts_has_an_empty_review() {
    let shop = Shop::with_order();
    let text = shop.good(&["review", "--today", "2026-03-02"]);
    assert!(
        text.ends_with("The book has nothing received, due or claimed in these months.\n"),
        "{text}"
    );
}

#[test]
fn a_review_needs_a_book() {
    Run::new(&["review"])
        .stderr(
            "error: there is no book at `./asordered.db`\n  hint: `asordered order add FILE` makes one; `--shop DIR` or \
             `--book PATH` name another\n",
        )
        .status(2)
        .check();
}

#[test]
fn the_csv_has_a_row_a_supplier_figure_and_period() {
    let shop = small();
    let file = shop.file("review.csv");
    let path = file.to_str().unwrap();
    shop.good(&["review", "--csv", path, "--today", "2026-04-02"]);
    let csv = std::fs::read_to_string(&file).unwrap();
    let mut lines = csv.split("\r\n");
    assert_eq!(
        lines.next().unwrap(),
        "supplier,name,verdict,figure,period,from,to,n,value,unit,words,formula"
    );
    assert!(csv.contains(
        "\r\ns,Sawdust Supply,too few to say,lines-as-ordered,twelve months,2025-04,2026-03,2,,,1 of 2 lines,"
    ));
}
