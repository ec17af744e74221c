//! A claim's life, from draft to made right, and back.

use crate::book_support::{Shop, day, now, receipt};
use asordered::book::error::BookError;
use asordered::book::message::{Intent, SendResult};
use asordered::book::settle::Arrived;
use asordered::claim::cycle::{State, Step};
use asordered::model::money::Money;
use serde_json::Value;

/// A shop with a claim of 4 oak sheets of a lower grade and 5 sheets of MDF short, sent on March 20.
fn claimed() -> Shop {
    let shop = drafted();
    send(&shop, SendResult::Sent);
    shop
}

fn drafted() -> Shop {
    let shop = Shop::with_order();
    let text =
        receipt("R-1", 19, 25, 6, "A") + "  - {line: 2, item: OAK, quantity: 4 sheet, grade: B}\n";
    shop.receive(&text, false);
    shop.good(&[
        "claim",
        "draft",
        "PO-1",
        "--today",
        "2026-03-20",
        "--remedy",
        "2/lower=replace",
    ]);
    shop
}

fn send(shop: &Shop, result: SendResult) -> State {
    let mut book = shop.book();
    let letter = book.letter(&book.claim("PO-1-C1").unwrap(), None).unwrap();
    // Whoever sends again after a doubt has been told of it.
    let again = book.claim("PO-1-C1").unwrap().state == State::MayHaveGone;
    let message = book
        .intend(
            "PO-1-C1",
            Step::Send,
            &Intent {
                letter: letter.id,
                message_id: "<1@shop.example>",
                recipients: &["s@sawdust.example".to_owned()],
                bytes: letter.text.as_bytes(),
                again,
            },
            now(),
        )
        .unwrap();
    assert_eq!(book.claim("PO-1-C1").unwrap().state, State::MayHaveGone);
    book.ended(message, result, "250 ok", day("2026-03-20"), None, now())
        .unwrap()
}

fn state(shop: &Shop) -> State {
    shop.book().claim("PO-1-C1").unwrap().state
}

fn settle(shop: &Shop, receipt: &str) -> State {
    let arrived = Arrived::Replacement {
        receipt: receipt.to_owned(),
    };
    shop.book()
        .settle("PO-1-C1", &arrived, day("2026-04-02"), now())
        .unwrap()
        .state
}

#[test]
fn a_draft_keeps_what_was_found_that_day() {
    let shop = drafted();
    let claim = shop.book().claim("PO-1-C1").unwrap();
    assert_eq!(claim.state, State::Drafted);
    // 5 sheets at 10.00 and 4 at 50.00.
    assert_eq!(claim.value, Some(Money("250.00".parse().unwrap())));
    // R-1 of Thursday, March 19, and two business days; Monday the 23rd is the shop's holiday.
    assert_eq!(claim.notify_by, Some(day("2026-03-24")));
    let then: Value = serde_json::from_str(&claim.answer).unwrap();
    shop.receive(&receipt("R-2", 25, 5, 0, "A"), false);
    let shown = shop.json(0, &["claim", "show", "PO-1-C1"]);
    assert_eq!(shown["found_then"], then);
    assert_eq!(then["receipts"], serde_json::json!(["R-1"]));
    assert!(shop.file("claims/PO-1-C1/letter.txt").is_file());
    assert!(
        std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.html"))
            .unwrap()
            .contains("PO-1-C1")
    );
}

#[test]
fn nothing_is_claimed_twice_and_what_is_new_is_claimed_alone() {
    let shop = drafted();
    let told = shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    assert_eq!(
        told,
        "nothing more to claim on order PO-1: PO-1-C1 asks for it already\n"
    );
    let more = receipt("R-2", 21, 1, 0, "A")
        .replace("quantity: 1 sheet", "quantity: 1 sheet, damaged: 1 sheet");
    shop.receive(&more, false);
    let second = shop.json(0, &["claim", "draft", "PO-1", "--today", "2026-03-22"]);
    assert_eq!(second["claims"][0]["claim"], "PO-1-C2");
    let parts = second["claims"][0]["asked"]["parts"].as_array().unwrap();
    let kinds: Vec<&Value> = parts
        .iter()
        .flat_map(|part| part["findings"].as_array().unwrap())
        .map(|finding| &finding["kind"])
        .collect();
    assert_eq!(kinds, ["damaged"]);
}

#[test]
fn a_withdrawn_claim_can_be_drafted_anew() {
    let shop = drafted();
    shop.good(&["claim", "withdraw", "PO-1-C1", "--reason", "wrong remedy"]);
    assert_eq!(state(&shop), State::Withdrawn);
    assert_eq!(
        shop.ends(2, &["claim", "withdraw", "PO-1-C1", "--reason", "again"]),
        "error: claim `PO-1-C1` is withdrawn and cannot be withdrawn\n  \
         hint: it is closed; `asordered claim draft PO` drafts a new one where something is still wrong\n"
    );
    let again = shop.json(0, &["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    assert_eq!(again["claims"][0]["claim"], "PO-1-C2");
}

#[test]
fn nothing_received_is_nothing_to_claim() {
    let shop = Shop::with_order();
    let errors = shop.ends(2, &["claim", "draft", "PO-1"]);
    assert!(
        errors.starts_with("error: nothing of order `PO-1` has been received\n"),
        "{errors}"
    );
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    assert_eq!(
        shop.good(&["claim", "draft", "PO-1"]),
        "nothing to claim on order PO-1; no letter\n"
    );
}

#[test]
fn a_claim_is_answered_only_after_it_was_sent() {
    let shop = drafted();
    let refused = shop.ends(
        2,
        &[
            "claim",
            "answer",
            "PO-1-C1",
            "replacement",
            "--by",
            "2026-04-01",
        ],
    );
    assert_eq!(
        refused,
        "error: claim `PO-1-C1` is drafted and cannot be answered\n  \
         hint: `asordered claim send PO-1-C1` sends it, `claim edit` changes it\n"
    );
    send(&shop, SendResult::Sent);
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "replacement",
        "--by",
        "2026-04-01",
        "--note",
        "on the next truck",
    ]);
    assert_eq!(state(&shop), State::Promised);
    let due = shop.json(0, &["due", "--today", "2026-04-02"]);
    let promise = due["due"]
        .as_array()
        .unwrap()
        .iter()
        .find(|due| due["kind"] == "promise")
        .unwrap();
    assert_eq!(promise["day"], "2026-04-01");
    assert_eq!(promise["days_over"], 1);
    assert_eq!(promise["uid"], "PO-1-C1-promise@asordered");
    shop.good(&["claim", "answer", "PO-1-C1", "refused"]);
    assert_eq!(state(&shop), State::Refused);
}

#[test]
fn a_letter_that_may_have_gone_says_so_and_one_that_did_not_is_a_draft_again() {
    let shop = drafted();
    assert_eq!(send(&shop, SendResult::NotSent), State::Drafted);
    assert_eq!(send(&shop, SendResult::MayHaveGone), State::MayHaveGone);
    // A second try that surely did not go leaves the doubt about the first.
    assert_eq!(send(&shop, SendResult::NotSent), State::MayHaveGone);
    assert_eq!(send(&shop, SendResult::Sent), State::Sent);
    let mut book = shop.book();
    let letter = book
        .letter(&book.claim("PO-1-C1").unwrap(), None)
        .unwrap()
        .id;
    let again = book.intend(
        "PO-1-C1",
        Step::Send,
        &Intent {
            letter,
            message_id: "<2@shop.example>",
            recipients: &[],
            bytes: b"",
            again: false,
        },
        now(),
    );
    assert!(
        matches!(again, Err(BookError::Refused { text, .. }) if text.contains("cannot be sent"))
    );
}

#[test]
fn a_replacement_is_checked_against_the_claim() {
    let shop = claimed();
    shop.receive(&receipt("R-2", 27, 5, 0, "A"), false);
    assert_eq!(settle(&shop, "R-2"), State::PartlyRight);
    shop.receive(&receipt("R-3", 30, 0, 4, "A"), false);
    assert_eq!(settle(&shop, "R-3"), State::Right);
    let claim = shop.book().claim("PO-1-C1").unwrap();
    assert_eq!(claim.closed, Some(day("2026-04-02")));
    assert_eq!(shop.wrong(), Vec::<String>::new());
    // Four sheets more than ordered stand here, and no claim is made of them: they replace four.
    let checked = shop.json(1, &["check", "PO-1"]);
    assert_eq!(checked["standing"][0]["owed"], "0");
    assert_eq!(checked["standing"][1]["owed"], "0");
    assert_eq!(checked["standing"][1]["held"], "4");
    assert_eq!(checked["claim"], Value::Null);
    assert_eq!(
        shop.good(&["claim", "draft", "PO-1"]),
        "nothing more to claim on order PO-1: PO-1-C1 asks for it already\n"
    );
    assert_eq!(shop.good(&["order", "list"]), "no open orders\n");
}

#[test]
fn a_replacement_that_is_wrong_opens_the_claim_with_both_on_the_page() {
    let shop = claimed();
    shop.receive(&receipt("R-2", 27, 5, 4, "B"), false);
    let told = shop.ends(1, &["claim", "settle", "PO-1-C1", "--receipt", "R-2"]);
    assert!(told.starts_with("claim PO-1-C1: wrong again\n"), "{told}");
    let page = shop.good(&["claim", "show", "PO-1-C1"]);
    assert!(
        page.contains("2: 4 sheets of grade B, lower than A as ordered"),
        "{page}"
    );
    assert!(page.contains("wrong: R-2: "), "{page}");
    assert!(
        page.contains("1: 5 sheets came as ordered, 5 sheets asked"),
        "{page}"
    );
}

#[test]
fn a_settled_claim_opens_again_when_its_replacement_turns_out_wrong() {
    let shop = claimed();
    let good = receipt("R-2", 27, 5, 4, "A");
    shop.receive(&good, false);
    assert_eq!(settle(&shop, "R-2"), State::Right);
    let outcome = shop.receive(&receipt("R-2", 27, 5, 4, "B"), true);
    assert_eq!(outcome.reopened, ["PO-1-C1"]);
    assert_eq!(state(&shop), State::WrongAgain);
    assert_eq!(shop.book().claim("PO-1-C1").unwrap().closed, None);
    // It was a slip of the pen: the receipt is put right, and so is the claim.
    let outcome = shop.receive(&good, true);
    assert_eq!(outcome.reopened, Vec::<String>::new());
    assert_eq!(state(&shop), State::Right);
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn a_credit_is_held_against_the_value_to_the_cent() {
    let shop = claimed();
    let told = shop.ends(
        1,
        &[
            "claim", "settle", "PO-1-C1", "--credit", "249.99", "--paper", "CM-1",
        ],
    );
    assert!(
        told.starts_with("claim PO-1-C1: partly made right\n"),
        "{told}"
    );
    shop.good(&["claim", "settle", "PO-1-C1", "--credit", "0.01"]);
    assert_eq!(state(&shop), State::Right);
}

#[test]
fn the_owner_may_take_less_with_a_reason() {
    let shop = claimed();
    shop.good(&[
        "claim",
        "settle",
        "PO-1-C1",
        "--enough",
        "we used them as drawer bottoms",
    ]);
    assert_eq!(state(&shop), State::Right);
    assert!(
        shop.good(&["claim", "show", "PO-1-C1"])
            .contains("we used them as drawer bottoms")
    );
}

#[test]
fn a_receipt_that_cannot_be_the_replacement_is_refused() {
    let shop = claimed();
    for (receipt, why) in [
        ("R-1", "is the one that claim"),
        ("R-9", "the book has no receipt"),
    ] {
        let errors = shop.ends(2, &["claim", "settle", "PO-1-C1", "--receipt", receipt]);
        assert!(errors.contains(why), "{errors}");
    }
    shop.receive(&receipt("R-2", 27, 5, 0, "A"), false);
    settle(&shop, "R-2");
    let errors = shop.ends(2, &["claim", "settle", "PO-1-C1", "--receipt", "R-2"]);
    assert!(errors.contains("has been counted"), "{errors}");
}

#[test]
fn an_edited_letter_is_kept_beside_the_one_before() {
    let shop = drafted();
    assert!(
        shop.ends(2, &["claim", "edit", "PO-1-C1"])
            .starts_with("error: no editor is named")
    );
    let before = std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.txt")).unwrap();
    let edited = shop
        .command(&["claim", "edit", "PO-1-C1"])
        .env("EDITOR", "sed -i s/Sawdust/SAWDUST/")
        .output()
        .unwrap();
    assert!(edited.status.success());
    let book = shop.book();
    let claim = book.claim("PO-1-C1").unwrap();
    let letters = book.letters(&claim).unwrap();
    assert_eq!(letters.len(), 2);
    assert_eq!(letters[0].text, before);
    assert_eq!(
        letters[1].text,
        before
            .replace("Sawdust Supply", "SAWDUST Supply")
            .replace("Sawdust Road", "SAWDUST Road")
    );
    assert!(letters[1].edited && letters[1].html.as_ref().unwrap().contains("SAWDUST"));
    send(&shop, SendResult::Sent);
    assert!(
        shop.ends(2, &["claim", "edit", "PO-1-C1", "--from", "shop.yaml"])
            .contains("cannot be edited")
    );
}

#[test]
fn what_came_for_a_claim_and_is_wrong_again_is_not_claimed_by_another() {
    let shop = claimed();
    shop.receive(&receipt("R-2", 28, 0, 4, "B"), false);
    assert_eq!(settle(&shop, "R-2"), State::WrongAgain);
    assert_eq!(
        shop.good(&["claim", "draft", "PO-1", "--today", "2026-04-02"]),
        "nothing more to claim on order PO-1: PO-1-C1 asks for it already\n"
    );
}

#[test]
fn goods_that_came_since_are_claimed_without_those_claimed_before() {
    let shop = claimed();
    shop.receive(&receipt("R-2", 28, 0, 2, "B"), false);
    let second = shop.json(0, &["claim", "draft", "PO-1", "--today", "2026-03-28"]);
    let part = &second["claims"][0]["asked"]["parts"][0];
    assert_eq!(part["amount"], "2");
    assert_eq!(
        part["findings"][0]["text"],
        "6 sheets of grade B, lower than A as ordered; 4 sheets of it claimed before, so 2 sheets now"
    );
    assert_eq!(second["claims"][0]["value"], "100.00");
}

#[test]
fn costs_are_shown_so_that_the_items_add_up_to_the_value() {
    let shop = Shop::with_order();
    shop.put(
        "shop.yaml",
        format!("{}labour_rate: 85.00\n", crate::book_support::SHOP),
    );
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    let drafted = shop.good(&[
        "claim",
        "draft",
        "PO-1",
        "--labour-hours",
        "3",
        "--return-freight",
        "40",
    ]);
    let shown = shop.good(&["claim", "show", "PO-1-C1"]);
    for text in [drafted, shown] {
        for words in [
            "5 sheets at 10.00 = 50.00\n",
            "our costs: return freight 40.00\n",
            "our costs: labour lost, 3 hours at 85.00 = 255.00\n",
            "345.00 USD",
        ] {
            assert!(text.contains(words), "`{words}` is not in\n{text}");
        }
    }
}
