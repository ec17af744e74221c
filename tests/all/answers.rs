//! The main job on the demo, as the clerk sees it: whole answers in the terminal and whole letters. The expected texts
//! were read and checked by hand against the files in `demo-orders`.

use crate::support::Run;

#[track_caller]
fn check(files: &[&str], expected: &str, status: i32) {
    let mut args = vec!["check", "--today", "2026-03-24"];
    args.extend(files);
    Run::demo(&args).stdout(expected).status(status).check();
}

#[test]
fn two_lines_exchanged_with_a_broken_sequence() {
    check(
        &["orders/PO-2107.yaml", "receipts/RG-311.yaml"],
        include_str!("../expected/PO-2107.txt"),
        1,
    );
}

#[test]
fn a_lower_grade() {
    check(
        &["orders/PO-2112.yaml", "receipts/RG-314.yaml"],
        include_str!("../expected/PO-2112.txt"),
        1,
    );
}

#[test]
fn a_clean_delivery() {
    check(
        &["orders/PO-2115.yaml", "receipts/RG-315.yaml"],
        include_str!("../expected/PO-2115.txt"),
        0,
    );
}

#[test]
fn a_slip_that_is_wrong_while_the_goods_are_right() {
    check(
        &["orders/PO-2118.yaml", "receipts/RG-318.yaml"],
        include_str!("../expected/PO-2118.txt"),
        0,
    );
}

#[test]
fn a_part_with_the_rest_declared_to_follow_and_then_the_rest() {
    check(
        &["orders/PO-2120.yaml", "receipts/RG-320.yaml"],
        include_str!("../expected/PO-2120-part.txt"),
        0,
    );
    check(
        &[
            "orders/PO-2120.yaml",
            "receipts/RG-327.yaml",
            "receipts/RG-320.yaml",
        ],
        include_str!("../expected/PO-2120.txt"),
        0,
    );
}

#[test]
fn more_than_was_ordered() {
    check(
        &["orders/PO-2123.yaml", "receipts/RG-323.yaml"],
        include_str!("../expected/PO-2123.txt"),
        1,
    );
}

#[test]
fn faces_with_a_clear_window_past_defects() {
    check(
        &["orders/PO-2126.yaml", "receipts/RG-326.yaml"],
        include_str!("../expected/PO-2126.txt"),
        1,
    );
}

#[test]
fn unmarked_leaves_in_the_order_of_their_figure() {
    check(
        &["orders/PO-2128.yaml", "receipts/RG-330.yaml"],
        include_str!("../expected/PO-2128.txt"),
        0,
    );
}

#[test]
fn the_letter_of_the_exchange() {
    let run = Run::demo(&[
        "check",
        "--today",
        "2026-03-20",
        "orders/PO-2107.yaml",
        "receipts/RG-311.yaml",
        "--letter",
        "letter.txt",
    ]);
    let output = run.output();
    assert_eq!(output.status, 1);
    assert_eq!(
        output.stderr,
        "wrote letter.txt\nthis is a draft: the contract and local law govern; get advice where much is at stake\n"
    );
    let letter = std::fs::read_to_string(run.path().join("letter.txt")).unwrap();
    assert_eq!(letter, include_str!("../expected/PO-2107-letter.txt"));
}

#[test]
fn without_anything_to_claim_there_is_no_letter_and_it_is_said() {
    let run = Run::demo(&[
        "check",
        "orders/PO-2118.yaml",
        "receipts/RG-318.yaml",
        "--letter",
        "letter.txt",
    ]);
    let output = run.output();
    assert_eq!(
        output.stderr,
        "nothing can be claimed: no letter was written\n"
    );
    assert!(!run.path().join("letter.txt").exists());
}

#[test]
fn a_letter_without_the_shops_files_is_refused_before_anything_is_shown() {
    let demo = crate::support::root().join("demo-orders");
    let read = |path: &str| std::fs::read_to_string(demo.join(path)).unwrap();
    Run::new(&["check", "o.yaml", "r.yaml", "--letter", "letter.txt"])
        .file("o.yaml", read("orders/PO-2107.yaml"))
        .file("r.yaml", read("receipts/RG-311.yaml"))
        .stderr(
            "\
error: the letter cannot be written
  hint: a letter needs the shop's file, shop.yaml
  hint: a letter needs the supplier's file, suppliers/quillfeather.yaml
  hint: name the shop's folder with `--shop DIR`
",
        )
        .status(2)
        .check();
}

#[test]
fn the_readme_shows_the_answer_as_it_is() {
    let readme = std::fs::read_to_string(crate::support::root().join("README.md")).unwrap();
    for text in [
        include_str!("../expected/PO-2107.txt"),
        include_str!("../expected/PO-2107-letter.txt"),
    ] {
        assert!(
            readme.contains(text.trim_end()),
            "the README shows another text"
        );
    }
}
