//! The shapes that others build on: the JSON answer, the exit statuses, what lone files leave out. Figures by hand.

use crate::support::Run;
use serde_json::{Value, json};

const ORDER: &str = "\
order: PO-2107
supplier: harrow
date: 2026-03-02
promised: 2026-03-20
currency: USD
lines:
  - line: 1
    item: RWO-48x120
    quantity: 8 sheet
    unit_price: 212.50
    grade: A
    scale: hp1-face
    size: 48 in x 120 in
    sequence: {sets: [4, 4], skip: 0, one_flitch: false}
    clear: 46 in x 96 in
";

const RECEIPT: &str = "\
receipt: RG-311
order: PO-2107
date: 2026-03-19
lines:
  - line: 1
    item: RWO-48x120
    quantity: 6 sheet
    grade: A
    size: 48 in x 120 in
    leaves:
      - {flitch: \"3318\", leaf: 14, defects: [{kind: knot, at: 20 in x 10 in, size: 2 in x 2 in}]}
      - {flitch: \"3318\", leaf: 15}
      - {flitch: \"3318\", leaf: 16, defects: [{kind: split, at: 0 in x 50 in, size: 1 in x 20 in}]}
      - {flitch: \"3318\", leaf: 17}
      - {flitch: \"3318\", leaf: 21}
      - {flitch: \"3318\", leaf: 22}
";

fn answer(order: &str, receipt: &str) -> Value {
    Run::new(&["check", "--json", "o.yaml", "r.yaml"])
        .file("o.yaml", order)
        .file("r.yaml", receipt)
        .json()
}

fn kinds(line: &Value) -> Vec<String> {
    line["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| {
            format!(
                "{}/{} {} {}",
                finding["aspect"].as_str().unwrap(),
                finding["kind"].as_str().unwrap(),
                finding["amount"].as_str().unwrap(),
                finding["unit"].as_str().unwrap()
            )
        })
        .collect()
}

#[test]
fn the_answer_has_the_shape_of_the_contract() {
    let answer = answer(ORDER, RECEIPT);
    assert_eq!(answer["order"], "PO-2107");
    assert_eq!(answer["supplier"], "harrow");
    assert_eq!(answer["receipts"], json!(["RG-311"]));
    assert_eq!(answer["as_ordered"], false);
    let line = &answer["lines"][0];
    assert_eq!(line["line"], "1");
    assert_eq!(line["as_ordered"], false);
    assert_eq!(
        (
            &line["ordered"],
            &line["arrived"],
            &line["conforming"],
            &line["unit"]
        ),
        (&json!("8"), &json!("6"), &json!("6"), &json!("sheet"))
    );
    assert_eq!(
        kinds(line),
        ["quantity/short 2 sheet", "sequence/sets-missing 1 set"]
    );
    assert!(line["findings"][0]["text"].is_string());
    let sequence = &line["sequence"];
    assert_eq!(sequence["wanted"], json!([4, 4]));
    let filled = &sequence["filled"][0];
    assert_eq!(filled["size"], 4);
    assert_eq!(filled["flitch"], "3318");
    assert_eq!(filled["leaves"], json!(["14", "15", "16", "17"]));
    // The knot ends at 12 in from the butt and reaches across the window's 46 in; the split takes the left inch. Past
    // both the piece starts 1 in from the edge and 12 in from the butt, and 12 + 96 is within 120.
    assert_eq!(filled["window"], "46 in x 96 in at 1 in x 12 in");
    assert_eq!(sequence["spare"][0]["flitch"], "3318");
    assert_eq!(sequence["spare"][0]["leaves"], json!(["21", "22"]));
    let complete: Vec<&Value> = sequence["would_complete"]
        .as_array()
        .unwrap()
        .iter()
        .map(|choice| &choice["leaves"])
        .collect();
    assert_eq!(complete, [&json!(["23", "24"]), &json!(["19", "20"])]);
    assert_eq!(answer["not_ordered"], json!([]));
    assert_eq!(answer["causes"], json!([]));
    // 2 sheets at 212.50; the set that is missing for want of them is the same loss.
    assert_eq!(answer["claim"]["value"], "425.00");
    assert_eq!(answer["claim"]["currency"], "USD");
}

#[test]
fn what_only_shop_and_supplier_could_tell_is_left_out_and_said() {
    let answer = answer(ORDER, RECEIPT);
    assert_eq!(answer["claim"]["notify_by"], Value::Null);
    let left_out = answer["left_out"].as_array().unwrap();
    assert_eq!(left_out.len(), 2, "{left_out:?}");
}

#[test]
fn a_shop_above_the_order_is_found_and_gives_the_date() {
    let run = Run::new(&["check", "--json", "orders/o.yaml", "receipts/r.yaml"])
        .file("orders/o.yaml", ORDER)
        .file("receipts/r.yaml", RECEIPT)
        .file("shop.yaml", "name: Shop\nholidays: [2026-03-20]\n")
        .file(
            "suppliers/harrow.yaml",
            "supplier: harrow\nname: Harrow\nnotice: {visible: 2 business days, shortage: 5 business days}\n",
        );
    // Received Thursday 19 March; Friday is the shop's holiday, so two business days end on Tuesday 24.
    assert_eq!(run.json()["claim"]["notify_by"], "2026-03-24");
}

#[test]
fn exit_status_is_0_as_ordered_1_not_as_ordered_2_could_not() {
    let all = RECEIPT.replace("quantity: 6", "quantity: 8")
        + "      - {flitch: \"3318\", leaf: 23}\n      - {flitch: \"3318\", leaf: 24}\n";
    for (receipt, status) in [(all.as_str(), 0), (RECEIPT, 1), ("receipt: [", 2)] {
        let run = Run::new(&["check", "o.yaml", "r.yaml"])
            .file("o.yaml", ORDER)
            .file("r.yaml", receipt);
        assert_eq!(run.output().status, status);
    }
}

#[test]
fn several_receipts_add_up_in_any_order() {
    let second = "\
receipt: RG-312
order: PO-2107
date: 2026-03-20
lines:
  - {line: 1, quantity: 2 sheet, grade: A, size: 48 in x 120 in, leaves: \"3318: 23-24\"}
";
    for files in [["r.yaml", "s.yaml"], ["s.yaml", "r.yaml"]] {
        let answer = Run::new(&["check", "--json", "o.yaml", files[0], files[1]])
            .file("o.yaml", ORDER)
            .file("r.yaml", RECEIPT)
            .file("s.yaml", second)
            .json();
        assert_eq!(answer["as_ordered"], true, "{answer:#}");
        assert_eq!(answer["receipts"], json!(["RG-311", "RG-312"]));
        assert_eq!(
            answer["lines"][0]["sequence"]["filled"]
                .as_array()
                .unwrap()
                .len(),
            2
        );
    }
}

#[test]
fn a_declared_back_order_keeps_the_line_open_and_claims_nothing() {
    let order = "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n  - {line: 1, quantity: 8 sheet, unit_price: 10}\n";
    let receipt = "receipt: R-1\norder: PO-1\ndate: 2026-03-19\nlines:\n  - {line: 1, quantity: 6 sheet, back_order: 2 sheet}\n";
    let answer = answer(order, receipt);
    assert_eq!(
        kinds(&answer["lines"][0]),
        ["quantity/back-ordered 2 sheet"]
    );
    assert_eq!(answer["as_ordered"], true);
    assert_eq!(answer["claim"], Value::Null);
    assert_eq!(answer["lines"][0]["open"], "2");
}

#[test]
fn a_later_delivery_that_declares_nothing_leaves_a_shortage() {
    let order =
        "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n  - {line: 1, quantity: 8 sheet}\n";
    let first = "receipt: R-1\norder: PO-1\ndate: 2026-03-19\nlines:\n  - {line: 1, quantity: 5 sheet, back_order: 3 sheet}\n";
    let second =
        "receipt: R-2\norder: PO-1\ndate: 2026-03-25\nlines:\n  - {line: 1, quantity: 2 sheet}\n";
    let answer = Run::new(&["check", "--json", "o", "r", "s"])
        .file("o", order)
        .file("r", first)
        .file("s", second)
        .json();
    assert_eq!(kinds(&answer["lines"][0]), ["quantity/short 1 sheet"]);
}

#[test]
fn shortfall_equal_to_tolerance_is_accepted_and_one_beyond_it_is_told_whole() {
    let order = "order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n  - {line: 1, quantity: 100 each, tolerance: {under: 5 %, over: 2}}\n";
    for (came, told) in [
        (95, vec![]),
        (94, vec!["quantity/short 6 each"]),
        (102, vec![]),
        (103, vec!["quantity/over 3 each"]),
    ] {
        let receipt = format!(
            "receipt: R-1\norder: PO-1\ndate: 2026-03-19\nlines:\n  - {{line: 1, quantity: {came} each}}\n"
        );
        assert_eq!(kinds(&answer(order, &receipt)["lines"][0]), told, "{came}");
    }
}

#[test]
fn a_slip_that_is_wrong_while_the_goods_are_right_is_no_claim() {
    let run = Run::demo(&[
        "check",
        "--json",
        "orders/PO-2118.yaml",
        "receipts/RG-318.yaml",
    ]);
    let answer = run.json();
    assert_eq!(answer["as_ordered"], true);
    assert_eq!(
        kinds(&answer["lines"][0]),
        ["quantity/slip-differs 2 sheet"]
    );
    assert_eq!(answer["claim"], Value::Null);
    assert_eq!(run.output().status, 0);
}

#[test]
fn what_was_not_recorded_holds_the_goods_and_is_never_claimed() {
    let receipt = RECEIPT
        .replace("    grade: A\n", "")
        .replace("quantity: 6", "quantity: 8")
        + "      - {flitch: \"3318\", leaf: 23}\n      - {flitch: \"3318\", leaf: 24}\n";
    let answer = answer(ORDER, &receipt);
    let line = &answer["lines"][0];
    assert_eq!(kinds(line), ["grade/not-recorded 8 sheet"]);
    assert_eq!(answer["as_ordered"], false);
    assert_eq!(line["usable"], "0");
    assert_eq!(answer["claim"], Value::Null);
}

#[test]
fn an_exchange_is_one_cause_over_both_lines() {
    let answer = Run::demo(&[
        "check",
        "--json",
        "orders/PO-2107.yaml",
        "receipts/RG-311.yaml",
    ])
    .json();
    assert_eq!(answer["causes"].as_array().unwrap().len(), 1);
    assert_eq!(answer["causes"][0]["kind"], "exchanged");
    assert_eq!(answer["causes"][0]["lines"], json!(["1", "2"]));
    // The two sheets of oak that are missing; the walnut that is over costs nobody money.
    assert_eq!(answer["claim"]["value"], "425.00");
}

#[test]
fn a_pipe_that_closes_ends_quietly() {
    use std::io::Read;
    use std::process::Stdio;
    let run = Run::demo(&[]);
    let mut child = crate::support::program()
        .current_dir(run.path())
        .args([
            "check",
            "--json",
            "orders/PO-2107.yaml",
            "receipts/RG-311.yaml",
        ])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut stderr = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut stderr)
        .unwrap();
    assert_eq!(stderr, "");
    assert_eq!(
        child.wait().unwrap().code(),
        Some(1),
        "the status is the answer's"
    );
}

#[test]
fn the_schema_of_every_file_lists_what_its_reader_takes() {
    for file in ["order", "receipt", "supplier", "shop", "invoice"] {
        let schema = Run::new(&["schema", file]).json();
        assert_eq!(schema["additionalProperties"], false, "{file}");
        assert!(
            schema["properties"].as_object().unwrap().len() >= 4,
            "{file}"
        );
    }
}
