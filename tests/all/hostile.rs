//! Bad input ends in a clear error, exit 2, with file, line, found, expected, hint; never in a panic, never in an answer.

use crate::support::Run;

const ORDER: &str = "\
order: PO-1
supplier: s
date: 2026-03-02
lines:
  - {line: 1, item: A, quantity: 8 sheet}
";

fn receipt(lines: &str) -> String {
    format!("receipt: R-1\norder: PO-1\ndate: 2026-03-19\nlines:\n{lines}")
}

#[track_caller]
fn refused_order(order: &str, stderr: &str) {
    Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", order)
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"))
        .stderr(stderr)
        .status(2)
        .check();
}

#[track_caller]
fn refused_receipt(receipt: &str, stderr: &str) {
    Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", ORDER)
        .file("r.yaml", receipt)
        .stderr(stderr)
        .status(2)
        .check();
}

#[test]
fn every_problem_of_every_file_is_shown_at_once_with_its_place() {
    Run::new(&["check", "o.yaml", "r.yaml"])
        .file(
            "o.yaml",
            "order: PO-1\nsuplier: s\ndate: 2026-02-30\nlines:\n  - {line: 1, quantity: 8 shet}\n",
        )
        .file("r.yaml", receipt("  - {line: 1, quantity: -8 sheet}\n"))
        .stderr(
            "\
o.yaml:2:1: unknown key `suplier` in an order
  hint: did you mean `supplier`?
o.yaml:3:7: found `2026-02-30`, expected a date as `2026-03-19`
  hint: year, month, day; the day must exist
o.yaml:5:25: unknown unit `shet`
  hint: did you mean `sheet`?
r.yaml:5:25: found `-8 sheet`, expected an amount with its unit, as `8 sheet`
  hint: an amount is never negative; what was sent back is a receipt of its own
4 problems; nothing was recorded or answered
",
        )
        .status(2)
        .check();
}

#[test]
fn a_duplicate_key_is_refused() {
    refused_order(
        &format!("{ORDER}currency: USD\ncurrency: CAD\n"),
        "\
o.yaml:7:1: `currency` stands twice
  hint: keep one of them; nothing is chosen for you
1 problem; nothing was recorded or answered
",
    );
}

#[test]
fn an_anchor_is_refused() {
    refused_order(
        "order: &a PO-1\nsupplier: *a\n",
        "\
o.yaml:1:8: an anchor or alias (`&name`, `*name`), expected plain values
  hint: write the value out; text that starts with & or * goes in quotes
1 problem; nothing was recorded or answered
",
    );
}

#[test]
fn nesting_is_refused_before_it_costs_anything() {
    let deep = "{a: ".repeat(60_000);
    let run = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", deep)
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"));
    let output = run.output();
    assert_eq!(output.status, 2);
    assert!(
        output
            .stderr
            .contains("nested too deep, at most 64 levels are read"),
        "{}",
        output.stderr
    );
}

#[test]
fn a_file_over_two_megabytes_is_refused() {
    let run = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", "#".repeat(2 * 1024 * 1024 + 1))
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"));
    let output = run.output();
    assert_eq!(output.status, 2);
    assert!(
        output.stderr.contains("more than 2097152 bytes"),
        "{}",
        output.stderr
    );
}

#[test]
fn bytes_that_are_no_text_are_refused_where_they_stand() {
    Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", b"order: PO-1\nsupplier: \xff\n")
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"))
        .stderr(
            "\
o.yaml:2:11: not UTF-8 text from here on
  hint: save the file as UTF-8
1 problem; nothing was recorded or answered
",
        )
        .status(2)
        .check();
}

#[test]
fn a_missing_file_is_an_error() {
    Run::new(&["check", "o.yaml", "r.yaml"])
        .stderr("error: cannot read `o.yaml`: no such file or folder\n")
        .status(2)
        .check();
}

#[test]
fn a_receipt_of_another_order_is_refused() {
    refused_receipt(
        "receipt: R-1\norder: PO-2\ndate: 2026-03-19\nlines:\n  - {line: 1, quantity: 8 sheet}\n",
        "\
r.yaml:2:8: receipt `R-1` is for order `PO-2`, expected `PO-1`
  hint: check it against its own order
1 problem; nothing was recorded or answered
",
    );
}

#[test]
fn the_same_receipt_number_twice_is_refused() {
    Run::new(&["check", "o.yaml", "r.yaml", "r.yaml"])
        .file("o.yaml", ORDER)
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"))
        .stderr(
            "\
r.yaml:1:10: receipt `R-1` is given twice, first at r.yaml:1:10
  hint: each delivery has a receipt number of its own
1 problem; nothing was recorded or answered
",
        )
        .status(2)
        .check();
}

#[test]
fn an_order_line_that_does_not_exist_is_refused() {
    refused_receipt(
        &receipt("  - {line: 2, quantity: 8 sheet}\n"),
        "\
r.yaml:5:12: order PO-1 has no line `2`
  hint: it has `1`; goods that no line asks for go without `line`
1 problem; nothing was recorded or answered
",
    );
}

#[test]
fn a_grade_that_its_scale_does_not_have_is_refused_on_the_order_and_on_the_receipt() {
    let order = ORDER.replace("8 sheet}", "8 sheet, grade: Q, scale: hp1-face}");
    let run = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", &order)
        .file(
            "r.yaml",
            receipt("  - {line: 1, quantity: 8 sheet, grade: A}\n"),
        );
    let output = run.output();
    assert_eq!(output.status, 2);
    assert!(output.stderr.starts_with("o.yaml:5:50: unknown grade `Q` on scale `hp1-face`\n  hint: hp1-face has `AA`, `A`, `B`"), "{}", output.stderr);

    let order = ORDER.replace("8 sheet}", "8 sheet, grade: A, scale: hp1-face}");
    let run = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", &order)
        .file(
            "r.yaml",
            receipt("  - {line: 1, quantity: 8 sheet, grade: Q}\n"),
        );
    let output = run.output();
    assert_eq!(output.status, 2);
    assert!(
        output
            .stderr
            .starts_with("r.yaml:5:41: unknown grade `Q` on scale `hp1-face`\n"),
        "{}",
        output.stderr
    );
}

#[test]
fn amounts_that_cannot_be_are_problems() {
    for amount in [
        "99999999999999999999999999999 sheet",
        "1000000001 sheet",
        "1e3 sheet",
        "0x10 sheet",
        "1,200 sheet",
        "NaN sheet",
        "sheet",
        "8",
        "8 furlong",
        "1/0 sheet",
        "0.00000000001 sheet",
        "[1, 2]",
        "{a: b}",
        "''",
        "~",
    ] {
        let run = Run::new(&["check", "o.yaml", "r.yaml"])
            .file("o.yaml", ORDER)
            .file(
                "r.yaml",
                receipt(&format!("  - {{line: 1, quantity: {amount}}}\n")),
            );
        let output = run.output();
        assert_eq!(output.status, 2, "{amount}: {}", output.stdout);
        assert!(output.stdout.is_empty(), "{amount}");
        assert!(
            output.stderr.starts_with("r.yaml:5:"),
            "{amount}: {}",
            output.stderr
        );
    }
}

#[test]
fn an_order_for_nothing_is_refused() {
    refused_order(
        &ORDER.replace("8 sheet", "0 sheet"),
        "\
o.yaml:5:34: found `0 sheet`, expected more than nothing
1 problem; nothing was recorded or answered
",
    );
}

#[test]
fn leaves_that_cannot_be_are_problems() {
    for leaves in [
        "\"3318: 17-14\"",
        "\"3318: 0\"",
        "\"14-17\"",
        "\"3318: 14, 14\"",
        "\"3318: 1-99999999\"",
        "\"3318: a\"",
        "\": 4\"",
        "\"\"",
        "{flitch: 3}",
        "[{leaf: 3}]",
        "[{flitch: a}]",
        "[{flitch: a, leaf: 0}]",
        "[{mark: P1}, {mark: P1}]",
    ] {
        let run = Run::new(&["check", "o.yaml", "r.yaml"])
            .file("o.yaml", ORDER)
            .file(
                "r.yaml",
                receipt(&format!(
                    "  - {{line: 1, quantity: 8 sheet, leaves: {leaves}}}\n"
                )),
            );
        let output = run.output();
        assert_eq!(output.status, 2, "{leaves}: {}", output.stdout);
        assert!(
            output.stderr.starts_with("r.yaml:5:"),
            "{leaves}: {}",
            output.stderr
        );
    }
}

#[test]
fn numbers_of_papers_stay_text() {
    for number in ["0042", "1e3", "12-07", "1.0", "0x1F", "true", "2026-03-02"] {
        let order = ORDER.replace("PO-1", number);
        let receipt = receipt("  - {line: 1, quantity: 8 sheet}\n").replace("PO-1", number);
        let json = Run::new(&["check", "--json", "o.yaml", "r.yaml"])
            .file("o.yaml", order)
            .file("r.yaml", receipt)
            .json();
        assert_eq!(json["order"], number);
    }
}

#[test]
fn a_number_that_would_lead_out_of_the_folder_is_refused() {
    let run = Run::new(&["check", "o.yaml", "r.yaml"])
        .file(
            "o.yaml",
            ORDER.replace("supplier: s", "supplier: ../../etc/passwd"),
        )
        .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"));
    let output = run.output();
    assert_eq!(output.status, 2);
    assert!(
        output
            .stderr
            .contains("expected a name that can be a file name"),
        "{}",
        output.stderr
    );
}

#[test]
fn two_leaves_without_any_mark_to_place_them_are_to_be_looked_at_again() {
    let order = "order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n  - {line: 1, quantity: 2 sheet, sequence: {sets: [2]}}\n";
    let receipt = "receipt: R-1\norder: PO-1\ndate: 2026-01-02\nlines:\n  - {line: 1, quantity: 2 sheet, leaves: [{mark: P1}, {mark: P2}]}\n";
    let run = Run::new(&["check", "o", "r"])
        .file("o", order)
        .file("r", receipt);
    let output = run.output();
    assert_eq!(output.status, 1, "{}", output.stderr);
    assert!(
        output.stdout.contains("leaves P1, P2 cannot be placed"),
        "{}",
        output.stdout
    );
    assert!(!output.stdout.contains("(..)"), "{}", output.stdout);
}

#[test]
fn which_of_two_lots_stands_first_does_not_change_the_claim() {
    let order = "order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n  - {line: 1, item: A, quantity: 6 each, unit_price: 1}\n  - {line: 2, item: A, quantity: 2 each, unit_price: 50}\n";
    let head = "receipt: R-1\norder: PO-1\ndate: 2026-01-02\nlines:\n";
    let good = "  - {item: A, quantity: 2 each}\n";
    let damaged = "  - {item: A, quantity: 2 each, damaged: 2 each}\n";
    let value = |first: &str, second: &str| {
        Run::new(&["check", "--json", "o", "r"])
            .file("o", order)
            .file("r", format!("{head}{first}{second}"))
            .json()["claim"]["value"]
            .clone()
    };
    assert_eq!(value(good, damaged), value(damaged, good));
}

#[test]
fn characters_that_cannot_be_seen_are_refused_wherever_they_stand() {
    for (key, value) in [
        ("\"\\e[31mRED\"", "rift"),
        ("cut", "\"\\u202Eevil\""),
        ("cut", "\"a\\u200bb\""),
        ("\"two\\nlines\"", "rift"),
    ] {
        let order = ORDER.replace(
            "8 sheet}",
            &format!("8 sheet, finish: {{{key}: {value}}}}}"),
        );
        let output = Run::new(&["check", "o.yaml", "r.yaml"])
            .file("o.yaml", order)
            .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"))
            .output();
        assert_eq!(output.status, 2, "{key}: {value}");
        assert!(
            output.stderr.chars().all(|c| !c.is_control() || c == '\n'),
            "{:?}",
            output.stderr
        );
    }
}

#[test]
fn a_fraction_that_does_not_end_is_refused_and_a_third_of_a_dozen_adds_up() {
    refused_receipt(
        &receipt("  - {line: 1, quantity: 1/3 dozen}\n"),
        "\
r.yaml:5:25: found `1/3 dozen`, expected an amount with its unit, as `8 sheet`
  hint: a fraction that does not end; write it in a smaller unit: 4 each, not 1/3 dozen
1 problem; nothing was recorded or answered
",
    );
    let order = ORDER.replace("8 sheet", "1 dozen");
    let lots = "  - {line: 1, quantity: 4 each}\n".repeat(3);
    let answer = Run::new(&["check", "--json", "o.yaml", "r.yaml"])
        .file("o.yaml", order)
        .file("r.yaml", receipt(&lots))
        .json();
    assert_eq!(answer["as_ordered"], true, "{answer:#}");
}

#[test]
fn a_leaf_that_stands_on_two_lines_of_a_receipt_is_refused() {
    let line = "  - {line: 1, quantity: 4 sheet, leaves: \"f: 1-4\"}\n";
    let output = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", ORDER)
        .file("r.yaml", receipt(&line.repeat(2)))
        .output();
    assert_eq!(output.status, 2);
    assert!(
        output
            .stderr
            .contains("leaf `1` stands on two lines of the receipt"),
        "{}",
        output.stderr
    );
}

#[test]
fn an_answer_that_cannot_be_written_is_not_shown_either() {
    let output = Run::demo(&[
        "check",
        "orders/PO-2107.yaml",
        "receipts/RG-311.yaml",
        "--html",
        "nowhere/x.html",
    ])
    .output();
    assert_eq!(output.status, 2);
    assert_eq!(output.stdout, "");
}

#[test]
fn dates_and_thicknesses_that_only_look_like_it_are_refused() {
    for text in ["2026- 1- 1", "+2026-1-09", "2026-1-9", "26-01-09"] {
        let output = Run::new(&["check", "o.yaml", "r.yaml"])
            .file(
                "o.yaml",
                ORDER.replace("2026-03-02", &format!("\"{text}\"")),
            )
            .file("r.yaml", receipt("  - {line: 1, quantity: 8 sheet}\n"))
            .output();
        assert_eq!(output.status, 2, "{text}");
    }
}
