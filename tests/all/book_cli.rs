//! The book's commands as a clerk uses them.

use crate::book_support::{Shop, picture, receipt};
use std::io::Write;
use std::process::{Command, Stdio};

fn type_in(shop: &Shop, args: &[&str], lines: &str) -> (i32, String, String) {
    let mut child = shop
        .command(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

/// Number, date, by, slip, place, carrier.
const HEAD: &str = "R-1\n2026-03-19\ndock\n88213\nrack 4\n\n";
/// Count, slip, damaged, photographs, note, no other lot.
const MDF: &str = "30\n\n0\n\n\nn\n";
/// Count, slip, grade as ordered, damaged, photographs, note, no other lot.
const OAK: &str = "10\n\n=\n0\n\n\nn\n";

#[test]
fn receiving_by_asking_works_over_a_pipe_and_records_after_the_answer_is_shown() {
    let shop = Shop::with_order();
    let (status, out, errors) = type_in(
        &shop,
        &["receive", "PO-1"],
        &format!("{HEAD}{MDF}{OAK}n\ny\n"),
    );
    assert_eq!((status, errors.as_str()), (0, ""), "{out}");
    let shown = out
        .find("As ordered")
        .or_else(|| out.find("AS ORDERED"))
        .expect("the answer is shown");
    let asked = out.find("record this?").unwrap();
    assert!(shown < asked, "{out}");
    assert!(
        out.ends_with("recorded receipt R-1 on order PO-1\n"),
        "{out}"
    );
    assert!(shop.file("receipts/R-1.yaml").is_file());
    assert!(!shop.file("receipts/PO-1.draft.json").exists());
    let again = shop.json(0, &["receive", "PO-1", "receipts/R-1.yaml"]);
    assert_eq!(again["recorded"], "unchanged");
}

#[test]
fn the_count_is_blind_unless_the_clerk_asks() {
    let shop = Shop::with_order();
    let (_, out, _) = type_in(&shop, &["receive", "PO-1"], HEAD);
    assert!(
        out.contains("how many came, in sheets") && !out.contains("30"),
        "{out}"
    );
    let (_, out, _) = type_in(&shop, &["receive", "PO-1", "--show-expected"], "");
    assert!(out.contains("ordered: 30 sheets"), "{out}");
}

#[test]
fn stopping_keeps_the_answers_and_the_same_command_goes_on() {
    let shop = Shop::with_order();
    let (status, _, errors) = type_in(&shop, &["receive", "PO-1"], &format!("{HEAD}30\nstop\n"));
    assert_eq!(status, 2);
    assert_eq!(
        errors,
        "error: stopped; nothing is recorded yet, your answers are kept\n  \
         hint: `asordered receive PO-1` goes on where you stopped\n"
    );
    // The end of the input is a stop as well.
    let (status, _, _) = type_in(&shop, &["receive", "PO-1"], "\n");
    assert_eq!(status, 2);
    let rest = &MDF["30\n\n".len()..];
    let (status, out, errors) = type_in(&shop, &["receive", "PO-1"], &format!("{rest}{OAK}n\ny\n"));
    assert_eq!(status, 0, "{out}{errors}");
    assert!(
        errors.starts_with("going on where you stopped, after 8 answers"),
        "{errors}"
    );
    let text = std::fs::read_to_string(shop.file("receipts/R-1.yaml")).unwrap();
    assert!(
        text.contains("quantity: \"30 sheet\"") && text.contains("quantity: \"10 sheet\""),
        "{text}"
    );
}

#[test]
fn going_back_changes_an_answer_and_a_wrong_one_is_asked_again() {
    let shop = Shop::with_order();
    let typed = format!("{HEAD}300\nback\nthirty\n30\n\n0\n\n\nn\n{OAK}n\ny\n");
    let (status, out, errors) = type_in(&shop, &["receive", "PO-1"], &typed);
    assert_eq!(status, 0, "{out}{errors}");
    assert!(out.contains("found `thirty"), "{out}");
    let check = shop.json(0, &["check", "PO-1"]);
    assert_eq!(check["lines"][0]["arrived"], "30");
}

#[test]
fn photographs_given_at_the_dock_are_copied_beside_the_receipt() {
    let shop = Shop::with_order();
    shop.put("camera/IMG 1.jpg", picture());
    shop.put("camera/list.jpg", b"not a picture");
    let mdf = "30\n\n2\ny\ncamera/nothing.jpg\ncamera/list.jpg\nshop.yaml\ncamera/IMG 1.jpg\ntwo corners crushed\nn\n";
    let (status, out, errors) = type_in(
        &shop,
        &["receive", "PO-1"],
        &format!("{HEAD}{mdf}{OAK}n\ny\n"),
    );
    assert_eq!(status, 1, "{out}{errors}");
    assert!(out.contains("no file `camera/nothing.jpg`"), "{out}");
    for refused in ["camera/list.jpg", "shop.yaml"] {
        assert!(
            out.contains(&format!("`{refused}` cannot be evidence")),
            "{out}"
        );
    }
    assert_eq!(
        std::fs::read(shop.file("photos/R-1/1-IMG_1.jpg")).unwrap(),
        picture()
    );
    let verified = shop.json(0, &["verify"]);
    assert_eq!(verified["evidence"], 1);
}

#[test]
fn the_story_of_an_order_is_told_in_order_of_time() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-2", 24, 5, 0, "A"), false);
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    assert_eq!(
        shop.good(&["order", "show", "PO-1", "--today", "2026-03-25"]),
        "PO-1 from Sawdust Supply: complete\n\n\
         2026-03-02  ordered, 2 lines\n            promised for 2026-03-20\n\
         2026-03-19  received R-1: 1 of 2 lots not as ordered\n            \
         line 1: short by 5 sheets: 30 sheets ordered, 25 arrived\n\
         2026-03-24  received R-2: as ordered\n            \
         line 1: 5 sheets came 2026-03-24, 4 days after the date promised, 2026-03-20\n"
    );
}

#[test]
fn open_orders_are_listed_with_what_is_late() {
    let shop = Shop::with_order();
    assert_eq!(
        shop.good(&["order", "list", "--today", "2026-03-21"]),
        "PO-1  s  promised 2026-03-20  1 day late, nothing has come\n"
    );
    assert_eq!(
        shop.good(&["order", "list", "--today", "2026-03-20"]),
        "PO-1  s  promised 2026-03-20  nothing has come\n"
    );
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    assert_eq!(shop.good(&["order", "list"]), "no open orders\n");
    assert_eq!(
        shop.good(&["order", "list", "--all"]),
        "PO-1  s  promised 2026-03-20  as ordered\n"
    );
}

#[test]
fn what_is_due_comes_overdue_first_and_goes_into_a_calendar() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 20, 10, "A"), false);
    let out = shop.good(&["due", "--today", "2026-03-23", "--ics", "due.ics"]);
    // The goods were promised for the 20th; the notice runs two business days from Thursday the 19th, past the
    // weekend and the shop's holiday on Monday.
    let lines: Vec<&str> = out
        .lines()
        .filter(|line| line.starts_with("2026"))
        .collect();
    assert!(lines[0].starts_with("2026-03-20  goods of PO-1"), "{out}");
    assert!(lines[0].ends_with("(3 days over)"), "{out}");
    assert!(
        lines[1].starts_with("2026-03-24  tell Sawdust Supply"),
        "{out}"
    );
    let calendar = std::fs::read_to_string(shop.file("due.ics")).unwrap();
    assert_eq!(calendar.matches("BEGIN:VEVENT").count(), 2);
    assert!(calendar.contains("UID:PO-1-notify@asordered"));
}

#[test]
fn the_calendar_is_read_by_another_library() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 20, 10, "A"), false);
    shop.good(&["due", "--today", "2026-03-23", "--ics", "due.ics"]);
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/ics.py");
    let has_library = Command::new("python3")
        .args(["-c", "import icalendar"])
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !has_library {
        println!("skipped: no python3 with icalendar here");
        return;
    }
    let output = Command::new("python3")
        .arg(script)
        .arg(shop.file("due.ics"))
        .output()
        .unwrap();
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
    assert_eq!(
        String::from_utf8(output.stdout).unwrap(),
        "PO-1-goods@asordered 2026-03-20 2026-03-21\nPO-1-notify@asordered 2026-03-24 2026-03-25\n"
    );
}

#[test]
fn tags_are_printed_one_a_held_lot() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "B"), false);
    let tags = shop.json(0, &["tag", "PO-1"]);
    let tags = tags["tags"].as_array().unwrap();
    assert_eq!(tags.len(), 1);
    assert_eq!(tags[0]["number"], "R-1/2");
    assert_eq!(tags[0]["why"], "lower grade");
    assert_eq!(tags[0]["since"], "2026-03-19");
    let page = shop.good(&["tag", "PO-1"]);
    assert!(page.contains("HOLD") && page.matches("<svg").count() == 1);
    let clean = Shop::with_order();
    clean.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    assert_eq!(
        clean.ends(2, &["tag", "PO-1"]),
        "error: nothing of order `PO-1` is held; no tags\n"
    );
}

#[test]
fn history_tells_one_order_or_one_claim_or_all() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "B"), false);
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    let whats = |args: &[&str]| -> Vec<String> {
        shop.json(0, args)["history"]
            .as_array()
            .unwrap()
            .iter()
            .map(|told| told["what"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        whats(&["history"]),
        [
            "supplier's file kept",
            "shop's file kept",
            "order added",
            "receipt added",
            "claim drafted"
        ]
    );
    assert_eq!(whats(&["history", "PO-1"]).len(), 3);
    assert_eq!(whats(&["history", "PO-1-C1"]), ["claim drafted"]);
    shop.ends(2, &["history", "PO-9"]);
}
