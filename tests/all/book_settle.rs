//! What settles a claim: goods, money, a pickup and the owner's word, each counted once and for what it is.

use crate::book_support::{Shop, day, now};
use serde_json::Value;

/// A shop with an order of 10 sheets at 40.00, and receipts and claims of it.
struct Deal {
    shop: Shop,
}

impl Deal {
    fn new() -> Self {
        Deal::of("  - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n")
    }

    fn of(lines: &str) -> Self {
        let shop = Shop::new();
        shop.put(
            "orders/Q-1.yaml",
            format!("order: Q-1\nsupplier: s\ndate: 2026-03-02\ncurrency: USD\nlines:\n{lines}"),
        );
        shop.good(&["order", "add", "orders/Q-1.yaml"]);
        Deal { shop }
    }

    /// Records a receipt of line 1, on a day of March.
    fn comes(&self, number: &str, date: u32, what: &str) {
        self.comes_as(
            number,
            date,
            &format!("{{line: 1, quantity: {what}}}"),
            false,
        );
    }

    fn comes_as(&self, number: &str, date: u32, line: &str, replace: bool) {
        let text =
            format!("receipt: {number}\norder: Q-1\ndate: 2026-03-{date:02}\nlines:\n  - {line}\n");
        self.shop.receive(&text, replace);
    }

    fn claim(&self, number: u32, date: u32) {
        let today = format!("2026-03-{date:02}");
        self.shop
            .good(&["claim", "draft", "Q-1", "--today", &today]);
        let claim = format!("Q-1-C{number}");
        self.shop.good(&[
            "claim",
            "send",
            &claim,
            "--told-by",
            "phone",
            "--yes",
            "--today",
            &today,
        ]);
    }

    fn settle(&self, status: i32, claim: u32, how: &[&str], date: u32) -> String {
        let claim = format!("Q-1-C{claim}");
        let today = format!("2026-03-{date:02}");
        let mut all = vec!["claim", "settle", &claim, "--today", &today];
        all.extend(how);
        self.shop.ends(status, &all)
    }

    fn standing(&self) -> (String, String) {
        let shown = self.shop.json(0, &["order", "show", "Q-1"]);
        let of = |key: &str| shown["standing"][0][key].as_str().unwrap().to_owned();
        (of("owed"), of("held"))
    }

    fn figure(&self, name: &str) -> String {
        let review = self.shop.json(
            0,
            &["review", "--month", "2026-03", "--today", "2026-04-02"],
        );
        let figures = review["figures"].as_array().unwrap();
        let figure = figures
            .iter()
            .find(|figure| figure["name"] == name)
            .unwrap_or_else(|| panic!("no {name} in {figures:?}"));
        figure["month"]["words"].as_str().unwrap().to_owned()
    }

    #[track_caller]
    fn is_sound(&self) {
        assert_eq!(self.shop.wrong(), Vec::<String>::new());
    }
}

fn owed_and_held(owed: &str, held: &str) -> (String, String) {
    (owed.to_owned(), held.to_owned())
}

#[test]
fn goods_that_came_before_the_claim_do_not_make_it_right() {
    let deal = Deal::new();
    deal.comes("R0", 6, "5 sheet, back_order: 5 sheet");
    deal.comes("R1", 10, "5 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    let errors = deal.settle(2, 1, &["--receipt", "R0"], 13);
    assert!(
        errors.contains("receipt `R0` was in the book when claim `Q-1-C1` was drafted"),
        "{errors}"
    );
    assert_eq!(deal.standing(), owed_and_held("2", "2"));
    deal.is_sound();
}

#[test]
fn a_receipt_that_brought_nothing_for_a_claim_does_not_settle_it() {
    let deal = Deal::of(
        "  - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n  \
         - {line: 2, item: OAK, quantity: 4 sheet, unit_price: 90.00}\n",
    );
    deal.comes_as(
        "R1",
        10,
        "{line: 1, quantity: 10 sheet, damaged: 2 sheet}\n  - {line: 2, quantity: 3 sheet, back_order: 1 sheet}",
        false,
    );
    deal.claim(1, 10);
    deal.comes_as("R2", 12, "{line: 2, quantity: 1 sheet}", false);
    let errors = deal.settle(2, 1, &["--receipt", "R2"], 13);
    assert!(
        errors.contains("receipt `R2` brought nothing for claim `Q-1-C1`, which is about line 1"),
        "{errors}"
    );
}

#[test]
fn one_receipt_counts_once_for_two_claims() {
    let deal = Deal::new();
    deal.comes("R1", 6, "5 sheet, damaged: 2 sheet, back_order: 5 sheet");
    deal.claim(1, 6);
    deal.comes("R2", 9, "5 sheet, damaged: 2 sheet");
    deal.claim(2, 9);
    deal.comes("R3", 16, "3 sheet");
    deal.settle(0, 1, &["--receipt", "R3"], 16);
    let said = deal.settle(1, 2, &["--receipt", "R3"], 16);
    assert!(
        said.contains("1: 1 sheet of 2 sheets came as ordered; 1 sheet to come"),
        "{said}"
    );
    assert_eq!(deal.standing(), owed_and_held("1", "4"));
    deal.is_sound();
}

#[test]
fn a_credit_is_counted_once() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.settle(1, 1, &["--credit", "40.00", "--paper", "CM-1"], 12);
    let errors = deal.settle(2, 1, &["--credit", "40.00", "--paper", "CM-1"], 12);
    assert!(
        errors.contains("credit `CM-1` of 40.00 has been counted for claim `Q-1-C1` already"),
        "{errors}"
    );
    deal.settle(0, 1, &["--credit", "40.00", "--paper", "CM-2"], 12);
}

#[test]
fn what_is_let_go_is_not_recovered_and_its_goods_stay_set_apart_until_they_are_gone() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.settle(1, 1, &["--credit", "10.00"], 12);
    let said = deal.settle(0, 1, &["--enough", "not worth it"], 14);
    assert!(said.contains("1: 70.00 let go"), "{said}");
    assert_eq!(deal.figure("recovered-usd"), "10.00 USD (1 claim)");
    assert_eq!(deal.figure("net-cost-usd"), "70.00 USD (1 claim)");
    assert_eq!(deal.standing().1, "2");
    assert!(
        deal.shop
            .good(&["tag", "Q-1"])
            .contains("HOLD 2 sheets of 10")
    );
    assert_eq!(deal.shop.good(&["due"]), "nothing is due\n");
    deal.settle(0, 1, &["--collected"], 16);
    assert_eq!(deal.standing().1, "0");
    deal.is_sound();
}

#[test]
fn what_came_wrong_again_is_the_claims_own_until_it_is_fetched() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.settle(1, 1, &["--collected"], 12);
    deal.comes("R2", 14, "2 sheet, damaged: 1 sheet");
    assert!(
        deal.settle(1, 1, &["--receipt", "R2"], 14)
            .contains("wrong again")
    );
    deal.comes("R3", 16, "1 sheet");
    deal.settle(0, 1, &["--receipt", "R3"], 16);
    // 13 came for 10: three in place of three, so nothing is over and nothing is left to claim.
    let checked = deal.shop.json(1, &["check", "Q-1"]);
    let kinds: Vec<&Value> = checked["lines"][0]["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| &finding["kind"])
        .collect();
    assert_eq!(kinds, ["damaged", "damaged"]);
    assert_eq!(checked["claim"], Value::Null);
    let said = deal
        .shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-17"]);
    assert!(said.starts_with("nothing more to claim"), "{said}");
    assert_eq!(deal.standing(), owed_and_held("0", "1"));
    let due = deal.shop.good(&["due", "--today", "2026-03-17"]);
    assert!(due.contains("is to collect 1 sheet of line 1"), "{due}");
    deal.settle(0, 1, &["--collected"], 18);
    assert_eq!(deal.standing(), owed_and_held("0", "0"));
    assert_eq!(
        deal.shop.good(&["due", "--today", "2026-03-18"]),
        "nothing is due\n"
    );
    let errors = deal.settle(2, 1, &["--collected"], 18);
    assert!(errors.contains("have been collected already"), "{errors}");
    // Each delivery is judged by what it brought itself.
    assert_eq!(deal.figure("replacements-right"), "1 of 2 replacements");
    deal.is_sound();
}

#[test]
fn a_finding_that_grew_with_a_corrected_receipt_is_claimed_by_what_is_new() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.comes_as(
        "R1",
        10,
        "{line: 1, quantity: 10 sheet, damaged: 3 sheet}",
        true,
    );
    let said = deal
        .shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-11"]);
    assert!(
        said.contains("3 sheets damaged; 2 sheets of it claimed before, so 1 sheet now"),
        "{said}"
    );
    let said = deal
        .shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-11"]);
    assert!(said.starts_with("nothing more to claim"), "{said}");
    deal.is_sound();
}

#[test]
fn what_nobody_claims_is_due_also_where_the_order_is_complete_and_a_claim_closed() {
    let deal = Deal::of(
        "  - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n  \
         - {line: 2, item: OAK, quantity: 10 sheet, unit_price: 20.00}\n",
    );
    let lines = |oak: &str| {
        format!(
            "{{line: 1, quantity: 10 sheet, damaged: 4 sheet}}\n  - {{line: 2, quantity: 10 sheet{oak}}}"
        )
    };
    deal.comes_as("A", 10, &lines(""), false);
    deal.shop.good(&[
        "claim",
        "draft",
        "Q-1",
        "--remedy",
        "1/damaged=credit",
        "--today",
        "2026-03-10",
    ]);
    deal.shop.good(&[
        "claim",
        "send",
        "Q-1-C1",
        "--told-by",
        "phone",
        "--yes",
        "--today",
        "2026-03-10",
    ]);
    deal.settle(0, 1, &["--credit", "160.00"], 12);
    deal.settle(0, 1, &["--collected"], 12);
    assert_eq!(deal.shop.good(&["order", "list"]), "no open orders\n");
    deal.comes_as("A", 10, &lines(", damaged: 3 sheet"), true);
    let listed = deal.shop.good(&["order", "list"]);
    assert!(listed.contains("something is not claimed yet"), "{listed}");
    let due = deal.shop.good(&["due", "--today", "2026-03-13"]);
    assert!(due.contains("asordered claim draft Q-1"), "{due}");
    assert_eq!(
        deal.shop.json(0, &["order", "list"])["orders"][0]["to_claim"],
        true
    );
    deal.claim(2, 13);
    assert_eq!(
        deal.shop.json(0, &["order", "list"])["orders"][0]["to_claim"],
        false
    );
    deal.is_sound();
}

#[test]
fn a_claim_worked_out_from_what_has_changed_meanwhile_is_not_kept() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    let mut book = deal.shop.book();
    let was = book.seen("Q-1").unwrap();
    deal.comes("R2", 12, "2 sheet");
    let no_letter = |_: usize, _: &str| panic!("no letter is written");
    let refused = book
        .draft_claims("Q-1", &was, &[], &no_letter, day("2026-03-12"), now())
        .unwrap_err();
    assert!(format!("{refused:?}").contains("changed while its claim was worked out"));
    let was = book.seen("Q-1").unwrap();
    let kept = book.draft_claims("Q-1", &was, &[], &no_letter, day("2026-03-12"), now());
    assert_eq!(kept.unwrap(), Vec::<String>::new());
}

#[test]
fn drafting_again_after_a_claim_was_taken_back_leaves_the_book_sound() {
    let deal = Deal::new();
    deal.comes("A", 10, "10 sheet, damaged: 4 sheet");
    deal.claim(1, 10);
    deal.comes("B", 12, "3 sheet");
    deal.settle(1, 1, &["--receipt", "B"], 12);
    deal.shop
        .good(&["claim", "withdraw", "Q-1-C1", "--reason", "wrong address"]);
    deal.is_sound();
    deal.shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-13"]);
    deal.is_sound();
}

#[test]
fn goods_that_a_carrier_paid_for_can_be_noted_as_gone() {
    let deal = Deal::new();
    let order = "order: Q-1\nsupplier: s\ndate: 2026-03-02\ncurrency: USD\nfreight: origin\nlines:\n  \
                 - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n";
    deal.shop.put("orders/Q-1.yaml", order);
    deal.shop
        .good(&["order", "add", "orders/Q-1.yaml", "--replace"]);
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.settle(0, 1, &["--credit", "80.00"], 12);
    assert_eq!(deal.standing().1, "2");
    deal.settle(0, 1, &["--collected"], 13);
    assert_eq!(deal.standing().1, "0");
    // What was fetched stays gone, whatever becomes of the claim.
    deal.settle(2, 1, &["--collected"], 13);
    deal.is_sound();
}

#[test]
fn a_pickup_needs_goods_and_is_remembered_when_the_claim_is_taken_back() {
    let short = Deal::new();
    short.comes("R1", 10, "8 sheet");
    short.claim(1, 10);
    let errors = short.settle(2, 1, &["--collected"], 12);
    assert!(
        errors.contains("is about no goods that are to be collected"),
        "{errors}"
    );

    let damaged = Deal::new();
    damaged.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    damaged.claim(1, 10);
    damaged.settle(1, 1, &["--collected"], 12);
    damaged
        .shop
        .good(&["claim", "withdraw", "Q-1-C1", "--reason", "settled by word"]);
    assert_eq!(damaged.standing().1, "0");
    assert!(damaged.shop.ends(2, &["tag", "Q-1"]).contains("is held"));
    damaged.is_sound();
}

/// Six of another core and four damaged: eight came in their place, and the last two were paid for.
#[test]
fn goods_count_once_for_two_things_asked_of_a_line() {
    let deal = Deal::of(
        "  - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00, finish: {core: light}}\n",
    );
    deal.comes_as(
        "R1",
        10,
        "{line: 1, quantity: 6 sheet, finish: {core: dark}}\n  - {line: 1, quantity: 4 sheet, damaged: 4 sheet, finish: {core: light}}",
        false,
    );
    deal.claim(1, 10);
    deal.comes_as(
        "R2",
        14,
        "{line: 1, quantity: 8 sheet, finish: {core: light}}",
        false,
    );
    deal.settle(1, 1, &["--receipt", "R2"], 14);
    deal.settle(0, 1, &["--credit", "80.00"], 15);
    assert_eq!(deal.standing(), owed_and_held("0", "10"));
    let listed = deal.shop.good(&["order", "list", "--today", "2026-03-16"]);
    assert!(!listed.contains("owed"), "{listed}");
    deal.is_sound();
}

#[test]
fn goods_that_come_after_they_were_paid_back_are_more_than_is_owed() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.settle(0, 1, &["--credit", "80.00"], 12);
    deal.settle(0, 1, &["--collected"], 12);
    deal.comes("R2", 14, "2 sheet");
    let checked = deal.shop.ends(1, &["check", "Q-1"]);
    assert!(
        checked.contains("over by 2 sheets: 10 sheets ordered, 12 arrived"),
        "{checked}"
    );
    // Eight are to be used, two came too much, two were fetched.
    assert!(
        checked.contains("arrived 12   use now 8   hold 2   collected or kept 2"),
        "{checked}"
    );
    let tag = deal.shop.good(&["tag", "Q-1"]);
    assert!(tag.contains("R2/1  HOLD 2 sheets\n"), "{tag}");
    deal.claim(2, 15);
    deal.settle(0, 2, &["--collected"], 16);
    let checked = deal.shop.ends(1, &["check", "Q-1"]);
    assert!(
        checked.contains("arrived 12   use now 8   collected or kept 4"),
        "{checked}"
    );
    deal.is_sound();
}

#[test]
fn a_later_answer_takes_the_place_of_an_earlier_promise() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    let answers = |how: &[&str], date: &str| {
        let mut all = vec!["claim", "answer", "Q-1-C1", "--today", date];
        all.extend(how);
        deal.shop.good(&all);
    };
    let due = || deal.shop.good(&["due", "--today", "2026-03-25"]);
    answers(&["replacement", "--by", "2026-03-20"], "2026-03-12");
    assert!(due().contains("replacement promised"), "{}", due());
    answers(&["refused"], "2026-03-14");
    answers(&["credit"], "2026-03-16");
    assert!(!due().contains("replacement promised"), "{}", due());
    answers(&["credit", "--by", "2026-03-23"], "2026-03-18");
    assert!(due().contains("credit promised"), "{}", due());
}

#[test]
fn a_book_is_verified_as_of_one_moment() {
    let deal = Deal::new();
    deal.comes("R1", 10, "5 sheet, back_order: 5 sheet");
    let mut more = 2;
    let verified = asordered::book::Book::read(&deal.shop.file("asordered.db"))
        .unwrap()
        .verify(&mut |_, _| {
            // Another program records while it looks.
            deal.comes(&format!("R{more}"), 10 + more, "1 sheet");
            more += 1;
        })
        .unwrap();
    assert!(more > 2);
    assert_eq!(verified.wrong, Vec::<String>::new());
    assert_eq!(verified.receipts, 1);
    deal.is_sound();
}

/// The supplier's "Prime" is our A, they say, and later our B: what made a claim right then no longer does.
#[test]
fn terms_that_change_with_a_later_receipt_open_a_claim_that_they_made_wrong() {
    let deal = Deal::of(
        "  - {line: 1, item: OAK, quantity: 10 sheet, unit_price: 40.00, grade: A, scale: hp1-face}\n  \
         - {line: 2, item: MDF, quantity: 10 sheet, unit_price: 10.00}\n",
    );
    let prime = |grade: &str| {
        let file = format!(
            "{}grades: {{Prime: {grade}}}\n",
            crate::book_support::SUPPLIER
        );
        deal.shop.put("suppliers/s.yaml", file);
    };
    let comes = |number: &str, date: u32, line: &str| {
        let file = format!("{number}.yaml");
        deal.shop.put(
            &file,
            format!("receipt: {number}\norder: Q-1\ndate: 2026-03-{date:02}\nlines:\n  - {line}\n"),
        );
        deal.shop.run(&["receive", "Q-1", &file])
    };
    prime("A");
    comes(
        "R1",
        10,
        "{line: 1, quantity: 10 sheet, grade: Prime, damaged: 2 sheet}\n  - {line: 2, quantity: 5 sheet, back_order: 5 sheet}",
    );
    deal.claim(1, 10);
    comes("R2", 12, "{line: 1, quantity: 2 sheet, grade: Prime}");
    deal.settle(0, 1, &["--receipt", "R2"], 12);
    prime("B");
    let output = comes("R3", 14, "{line: 2, quantity: 5 sheet}");
    let said =
        String::from_utf8(output.stdout).unwrap() + &String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("Q-1-C1"), "{said}");
    let claims = deal.shop.good(&["claim", "list"]);
    assert!(claims.contains("Q-1-C1  wrong again"), "{claims}");
    deal.is_sound();
}

#[test]
fn a_draft_that_says_what_is_no_longer_so_is_not_sent() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-10"]);
    deal.comes_as(
        "R1",
        10,
        "{line: 1, quantity: 10 sheet, damaged: 1 sheet}",
        true,
    );
    let send = |claim: &str| {
        deal.shop.run(&[
            "claim",
            "send",
            claim,
            "--told-by",
            "phone",
            "--yes",
            "--today",
            "2026-03-11",
        ])
    };
    let output = send("Q-1-C1");
    let errors = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{errors}");
    assert!(
        errors
            .contains("claim `Q-1-C1` says what is no longer so: line 1: 2 sheets damaged; now 1"),
        "{errors}"
    );
    deal.shop
        .good(&["claim", "withdraw", "Q-1-C1", "--reason", "counted again"]);
    deal.shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-11"]);
    assert_eq!(send("Q-1-C2").status.code(), Some(0));
    deal.is_sound();
}

/// A new set came and one of its leaves is damaged, nobody knows which: it is not laid up, and it settles nothing.
#[test]
fn a_set_with_leaves_to_look_at_again_is_not_used_and_makes_no_claim_right() {
    let deal = Deal::of(
        "  - {line: 1, item: RWO, quantity: 8 sheet, unit_price: 200.00, sequence: {sets: [4, 4]}}\n",
    );
    deal.comes("R1", 10, "8 sheet, leaves: \"F1: 1-4, 7-8, 11-12\"");
    deal.shop.good(&[
        "claim",
        "draft",
        "Q-1",
        "--remedy",
        "1/sets-missing=new-set",
        "--today",
        "2026-03-10",
    ]);
    deal.shop.good(&[
        "claim",
        "send",
        "Q-1-C1",
        "--told-by",
        "phone",
        "--yes",
        "--today",
        "2026-03-10",
    ]);
    deal.comes("R2", 14, "4 sheet, damaged: 1 sheet, leaves: \"F9: 1-4\"");
    let checked = deal.shop.json(1, &["check", "Q-1"]);
    assert_eq!(checked["lines"][0]["usable"], "4");
    let filled = &checked["lines"][0]["sequence"]["filled"];
    assert_eq!(filled[0]["look_again"], Value::Null);
    assert_eq!(filled[1]["look_again"], true);
    let said = deal.shop.ends(1, &["check", "Q-1"]);
    assert!(
        said.contains("use now       line 1: 4 sheets (set 1 from F1/1-4)\n"),
        "{said}"
    );
    let sets = String::from_utf8(deal.shop.run(&["sets", "Q-1"]).stdout).unwrap();
    assert!(
        sets.contains("lay up        set 1: 4 leaves, F1/1-4\n"),
        "{sets}"
    );
    assert!(
        sets.contains("look again    set 2: 4 leaves, F9/1-4\n"),
        "{sets}"
    );
    let settled = deal.settle(1, 1, &["--receipt", "R2"], 14);
    assert!(
        settled.contains("leaves of the sets must be looked at again"),
        "{settled}"
    );
    // Somebody looked: none of the four is damaged after all.
    deal.comes_as(
        "R2",
        14,
        "{line: 1, quantity: 4 sheet, leaves: \"F9: 1-4\"}",
        true,
    );
    let claims = deal.shop.good(&["claim", "show", "Q-1-C1"]);
    assert!(claims.contains("made right"), "{claims}");
    deal.is_sound();
}

const SETS: &str =
    "  - {line: 1, item: RWO, quantity: 8 sheet, unit_price: 200.00, sequence: {sets: [4, 4]}}\n";

/// Four leaves make no set, two are missing; what becomes of the four depends on what is asked.
fn broken(remedy: &str) -> Deal {
    let deal = Deal::of(SETS);
    deal.comes("R1", 10, "8 sheet, leaves: \"F1: 1-4, 7-8, 11-12\"");
    let asked = format!("1/sets-missing={remedy}");
    deal.shop.good(&[
        "claim",
        "draft",
        "Q-1",
        "--remedy",
        &asked,
        "--today",
        "2026-03-10",
    ]);
    deal.shop.good(&[
        "claim",
        "send",
        "Q-1-C1",
        "--told-by",
        "phone",
        "--yes",
        "--today",
        "2026-03-10",
    ]);
    deal
}

#[test]
fn leaves_of_a_broken_set_are_the_shops_once_the_missing_ones_are_paid_for() {
    for how in [["--credit", "400.00"], ["--enough", "used singly"]] {
        let deal = broken("send-leaves");
        assert_eq!(deal.standing(), owed_and_held("4", "4"));
        deal.settle(0, 1, &how, 13);
        assert_eq!(deal.standing(), owed_and_held("0", "0"), "{how:?}");
        assert!(deal.shop.ends(2, &["tag", "Q-1"]).contains("is held"));
        deal.is_sound();
    }
}

#[test]
fn all_leaves_of_a_broken_set_go_back_where_a_new_one_or_a_credit_is_asked() {
    let credited = broken("credit");
    credited.settle(0, 1, &["--credit", "800.00"], 13);
    let new = broken("new-set");
    new.comes("R2", 14, "4 sheet, leaves: \"F9: 1-4\"");
    new.settle(0, 1, &["--receipt", "R2"], 14);
    for deal in [credited, new] {
        assert_eq!(deal.standing(), owed_and_held("0", "4"));
        let due = deal.shop.good(&["due", "--today", "2026-03-16"]);
        assert!(due.contains("is to collect 4 sheets of line 1"), "{due}");
        deal.settle(0, 1, &["--collected"], 16);
        assert_eq!(deal.standing(), owed_and_held("0", "0"));
        deal.is_sound();
    }
}

#[test]
fn what_came_wrong_for_a_shortage_is_collected_too() {
    let deal = Deal::new();
    deal.comes("R1", 10, "7 sheet");
    deal.claim(1, 10);
    deal.comes("R2", 12, "3 sheet, damaged: 1 sheet");
    deal.settle(1, 1, &["--receipt", "R2"], 12);
    deal.comes("R3", 14, "1 sheet");
    deal.settle(0, 1, &["--receipt", "R3"], 14);
    assert_eq!(deal.standing(), owed_and_held("0", "1"));
    let due = deal.shop.good(&["due", "--today", "2026-03-15"]);
    assert!(due.contains("is to collect 1 sheet of line 1"), "{due}");
    deal.settle(0, 1, &["--collected"], 16);
    assert_eq!(deal.standing(), owed_and_held("0", "0"));
    deal.is_sound();
}

#[test]
fn more_than_a_replacement_was_asked_for_is_over_and_claimed() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 3 sheet");
    deal.claim(1, 10);
    deal.comes("R2", 14, "4 sheet");
    deal.settle(0, 1, &["--receipt", "R2"], 14);
    let said = deal
        .shop
        .good(&["claim", "draft", "Q-1", "--today", "2026-03-15"]);
    assert!(
        said.contains("over by 1 sheet, not counting 3 sheets that came in place"),
        "{said}"
    );
    deal.settle(0, 1, &["--collected"], 15);
    assert_eq!(deal.standing(), owed_and_held("0", "1"));
    deal.is_sound();
}

#[test]
fn an_order_of_which_nothing_has_come_is_waited_for_and_not_claimed() {
    let deal = Deal::new();
    let checked = deal
        .shop
        .json(1, &["check", "Q-1", "--today", "2026-03-03"]);
    assert_eq!(checked["claim"], Value::Null);
    assert_eq!(deal.standing(), owed_and_held("10", "0"));
}

#[test]
fn a_receipt_that_was_put_right_tells_of_the_claim_that_was_sent_about_it() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 3 sheet");
    deal.claim(1, 10);
    deal.shop.put(
        "R1.yaml",
        "receipt: R1\norder: Q-1\ndate: 2026-03-10\nlines:\n  - {line: 1, quantity: 10 sheet, damaged: 2 sheet}\n",
    );
    let output = deal.shop.run(&["receive", "Q-1", "R1.yaml", "--replace"]);
    let errors = String::from_utf8(output.stderr).unwrap();
    assert!(
        errors.contains("claim Q-1-C1 says what is no longer so: line 1: 3 sheets damaged; now 2"),
        "{errors}"
    );
}

#[test]
fn a_collection_is_not_awaited_once_the_goods_were_fetched() {
    let deal = Deal::new();
    deal.comes("R1", 10, "10 sheet, damaged: 2 sheet");
    deal.claim(1, 10);
    deal.shop.good(&[
        "claim",
        "answer",
        "Q-1-C1",
        "collection",
        "--by",
        "2026-03-16",
        "--today",
        "2026-03-12",
    ]);
    let due = || deal.shop.good(&["due", "--today", "2026-03-20"]);
    assert!(due().contains("collection promised"), "{}", due());
    deal.settle(1, 1, &["--collected"], 15);
    assert!(!due().contains("collection promised"), "{}", due());
}

/// What is billed and not here is withheld, but nobody claims it: it is on its way.
#[test]
fn what_is_withheld_and_claimed_by_nobody_says_so() {
    let deal = Deal::new();
    deal.comes("R1", 10, "5 sheet, back_order: 5 sheet");
    deal.shop.put(
        "I1.yaml",
        "invoice: I1\norder: Q-1\ndate: 2026-03-11\nlines: [{line: 1, quantity: 10 sheet, unit_price: 40.00}]\n",
    );
    deal.shop.good(&["invoice", "add", "I1.yaml"]);
    let checked = String::from_utf8(deal.shop.run(&["check", "Q-1"]).stdout).unwrap();
    assert!(
        checked.contains("200.00 until it is here, or the bill is corrected; no claim asks\n"),
        "{checked}"
    );
}

/// Two claims on one line: three sheets came for four, and the last was paid for.
#[test]
fn two_claims_on_one_line_each_keep_their_goods_their_tags_and_their_money() {
    let deal = Deal::new();
    deal.comes("R1", 6, "5 sheet, damaged: 2 sheet, back_order: 5 sheet");
    deal.claim(1, 6);
    deal.comes("R2", 9, "5 sheet, damaged: 2 sheet");
    deal.claim(2, 9);
    let tagged = |receipt: &str| {
        let tags = deal.shop.json(0, &["tag", "Q-1"]);
        let tag = tags["tags"].as_array().unwrap().iter();
        tag.into_iter()
            .find(|tag| tag["number"] == format!("{receipt}/1"))
            .map(|tag| tag["claim"].as_str().unwrap_or("none").to_owned())
    };
    assert_eq!(tagged("R1").as_deref(), Some("Q-1-C1"));
    assert_eq!(tagged("R2").as_deref(), Some("Q-1-C2"));
    deal.comes("R3", 14, "3 sheet");
    deal.settle(0, 1, &["--receipt", "R3"], 14);
    deal.settle(1, 2, &["--receipt", "R3"], 14);
    deal.settle(0, 2, &["--credit", "40.00"], 15);
    deal.settle(0, 2, &["--collected"], 15);
    // What was fetched is of the second claim.
    assert_eq!(tagged("R1").as_deref(), Some("Q-1-C1"));
    assert_eq!(tagged("R2"), None);
    deal.settle(0, 1, &["--collected"], 16);
    assert_eq!(deal.standing(), owed_and_held("0", "0"));
    let shown = deal.shop.good(&["order", "show", "Q-1"]);
    assert!(
        shown.starts_with("Q-1 from Sawdust Supply: complete\n"),
        "{shown}"
    );
    deal.is_sound();
}

#[test]
fn a_line_that_was_paid_for_is_no_longer_owed_though_the_claim_is_open() {
    let deal = Deal::of(
        "  - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n  \
         - {line: 2, item: OAK, quantity: 10 sheet, unit_price: 50.00}\n",
    );
    deal.comes_as(
        "R1",
        10,
        "{line: 1, quantity: 8 sheet}\n  - {line: 2, quantity: 8 sheet}",
        false,
    );
    deal.claim(1, 10);
    deal.settle(1, 1, &["--credit", "80.00"], 12);
    assert_eq!(deal.standing(), owed_and_held("0", "0"));
    deal.is_sound();
}
