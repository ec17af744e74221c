//! A claim's life, from draft to made right, and back.

use crate::book_support::{Shop, day, now, receipt};
use asordered::book::error::BookError;
use asordered::book::message::{Intent, SendResult};
use asordered::book::settle::Arrived;
use asordered::claim::cycle::{State, Step};
use asordered::claim::remedy::Against;
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
fn a_letter_edited_to_ask_another_amount_is_told_of_it() {
    let shop = drafted();
    let letter = std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.txt")).unwrap();
    assert!(letter.contains("250.00 USD"), "{letter}");
    shop.put("other.txt", letter.replace("250.00 USD", "300.00 USD"));
    shop.put("more.txt", format!("{letter}\nWith regards.\n"));
    let edit = |file: &str| {
        let output = shop.run(&["claim", "edit", "PO-1-C1", "--from", file]);
        assert!(output.status.success());
        String::from_utf8(output.stderr).unwrap()
    };
    assert_eq!(edit("more.txt"), "");
    let told = edit("other.txt");
    assert!(
        told.starts_with("note: the letter no longer says 250.00 USD"),
        "{told}"
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
        "nothing more to claim on order PO-1: PO-1-C1 was made right\n"
    );
    // The four that were replaced stand here until somebody fetches them.
    let listed = shop.good(&["order", "list", "--today", "2026-04-05"]);
    assert!(listed.contains("goods to be collected"), "{listed}");
    let due = shop.good(&["due", "--today", "2026-04-05"]);
    assert!(
        due.contains("is to collect 4 sheets of line 2 (claim PO-1-C1)"),
        "{due}"
    );
    let story = shop.good(&["order", "show", "PO-1"]);
    assert!(story.contains("line 2: 4 sheets held (PO-1-C1)"), "{story}");
    let collected = [
        "claim",
        "settle",
        "PO-1-C1",
        "--collected",
        "--today",
        "2026-04-06",
    ];
    shop.good(&collected);
    assert_eq!(shop.good(&["order", "list"]), "no open orders\n");
    assert_eq!(
        shop.good(&["due", "--today", "2026-04-06"]),
        "nothing is due\n"
    );
    assert!(
        shop.ends(2, &collected)
            .contains("have been collected already")
    );
    assert_eq!(state(&shop), State::Right);
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

/// Every command says the same of an excess and of goods nobody ordered, before and after they were fetched.
#[test]
fn an_excess_that_was_collected_is_held_nowhere() {
    let shop = Shop::with_order();
    let text = receipt("R-1", 19, 33, 10, "A") + "  - {item: GLUE, quantity: 2 each}\n";
    shop.receive(&text, false);
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    send(&shop, SendResult::Sent);
    let before = shop.ends(1, &["check", "PO-1"]);
    for held in [
        "arrived 33   use now 30   hold 3\n",
        "!  set the excess apart unused",
        "hold          line 1: 3 sheets: more than ordered\n",
        "hold          2 pieces of GLUE: not ordered; keep apart\n",
        "Hold means",
    ] {
        assert!(before.contains(held), "no `{held}`:\n{before}");
    }
    shop.good(&[
        "claim",
        "settle",
        "PO-1-C1",
        "--collected",
        "--today",
        "2026-03-25",
    ]);
    let after = shop.ends(1, &["check", "PO-1"]);
    assert!(
        after.contains("arrived 33   use now 30   collected or kept 3\n"),
        "{after}"
    );
    assert!(
        !after.to_lowercase().contains("hold") && !after.contains("set the excess apart"),
        "{after}"
    );
    assert!(
        after.contains("use now       line 1: 30 sheets\n"),
        "{after}"
    );
    let page = shop.file("answer.html");
    shop.ends(1, &["check", "PO-1", "--html", page.to_str().unwrap()]);
    let page = std::fs::read_to_string(page).unwrap();
    assert!(!page.contains("Hold means"), "{page}");
    let errors = shop.ends(2, &["tag", "PO-1"]);
    assert!(
        errors.contains("nothing of order `PO-1` is held"),
        "{errors}"
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn what_comes_in_place_of_goods_to_be_replaced_is_no_over_delivery() {
    let shop = claimed();
    shop.receive(&receipt("R-2", 27, 5, 4, "A"), false);
    let kinds = |line: usize| -> Vec<String> {
        shop.json(1, &["check", "PO-1"])["lines"][line]["findings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|finding| finding["kind"].as_str().unwrap().to_owned())
            .filter(|kind| kind != "late")
            .collect()
    };
    assert_eq!(kinds(0), Vec::<String>::new());
    assert_eq!(kinds(1), ["lower"]);
    let story = shop.good(&["order", "show", "PO-1"]);
    assert!(story.contains("received R-2: as ordered"), "{story}");
    assert!(!story.contains("over by"), "{story}");
    assert_eq!(shop.wrong(), Vec::<String>::new());
    // Two more than were claimed are over all the same.
    shop.receive(&receipt("R-3", 28, 0, 2, "A"), false);
    let checked = shop.json(1, &["check", "PO-1"]);
    let over = &checked["lines"][1]["findings"][0];
    assert_eq!(
        (&over["kind"], &over["amount"]),
        (&"over".into(), &"2".into())
    );
    // A claim taken back replaces nothing.
    shop.good(&["claim", "withdraw", "PO-1-C1", "--reason", "kept"]);
    let checked = shop.json(1, &["check", "PO-1"]);
    assert_eq!(checked["lines"][1]["findings"][0]["amount"], "6");
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn the_answer_to_a_replacement_names_the_claim_it_may_settle() {
    let shop = claimed();
    let file = shop.put("receipts/R-2.yaml", receipt("R-2", 27, 5, 4, "A"));
    let args = [
        "receive",
        "PO-1",
        file.to_str().unwrap(),
        "--today",
        "2026-03-28",
    ];
    let told = shop.ends(1, &args);
    assert!(!told.contains("over by"), "{told}");
    assert!(
        told.ends_with(
            "if R-2 makes claim PO-1-C1 right: `asordered claim settle PO-1-C1 --receipt R-2`\n"
        ),
        "{told}"
    );
}

#[test]
fn the_shops_own_costs_stay_open_until_they_are_credited_or_let_go() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    shop.good(&[
        "claim",
        "draft",
        "PO-1",
        "--today",
        "2026-03-20",
        "--return-freight",
        "40.00",
    ]);
    send(&shop, SendResult::Sent);
    shop.receive(&receipt("R-2", 27, 5, 0, "A"), false);
    let told = shop.ends(1, &["claim", "settle", "PO-1-C1", "--receipt", "R-2"]);
    assert_eq!(
        told,
        "claim PO-1-C1: partly made right\n  \
         1: 5 sheets came as ordered, 5 sheets asked\n  \
         our costs: 0.00 of 40.00 credited; 40.00 to come\n  \
         next: `asordered claim settle PO-1-C1` with the receipt, the credit or the\n    pickup, `claim remind` reminds them\n"
    );
    let due = shop.json(0, &["due", "--today", "2026-03-28"]);
    let due = due["due"].as_array().unwrap();
    assert!(
        due.iter().any(|due| due["text"]
            .as_str()
            .unwrap()
            .contains("still open: our costs: 0.00 of 40.00 credited; 40.00 to come")),
        "{due:?}"
    );
    let told = shop.good(&["claim", "settle", "PO-1-C1", "--credit", "40.00"]);
    assert!(told.contains("our costs: 40.00 credited\n"), "{told}");
    assert_eq!(state(&shop), State::Right);
}

#[test]
fn a_credit_is_shown_in_full_wherever_it_goes() {
    let shop = claimed();
    // 5 sheets of MDF at 10.00 and 4 of oak at 50.00; money for the MDF and for half of the oak.
    let told = shop.ends(1, &["claim", "settle", "PO-1-C1", "--credit", "150.00"]);
    assert!(
        told.contains("1: 50.00 credited instead of goods\n"),
        "{told}"
    );
    assert!(
        told.contains("2: 4 sheets to come, or 100.00 in money: 100.00 of 200.00 is credited\n"),
        "{told}"
    );
    let more = ["claim", "settle", "PO-1-C1", "--credit", "150.00"];
    assert_eq!(
        shop.ends(2, &more).lines().next().unwrap(),
        "150.00 credited after 150.00 is more than claim `PO-1-C1` asks, 250.00 USD; note it? (yes or no) error: \
         150.00 credited after 150.00 is more than claim `PO-1-C1` asks, 250.00 USD"
    );
    let told = shop.good(&[&more[..], &["--yes"]].concat());
    assert!(
        told.contains("50.00 of the 300.00 credited is for nothing that was claimed\n"),
        "{told}"
    );
    let errors = shop.ends(2, &[&more[..], &["--yes"]].concat());
    assert!(
        errors.contains("is made right and cannot be settled"),
        "{errors}"
    );
    let zero = ["claim", "settle", "PO-1-C1", "--credit", "0"];
    shop.ends(2, &zero);
}

#[test]
fn a_line_credited_in_full_is_no_longer_owed() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    send(&shop, SendResult::Sent);
    let listed = shop.good(&["order", "list", "--today", "2026-04-05"]);
    assert!(listed.contains("1 of 2 lines owed"), "{listed}");
    shop.good(&[
        "claim",
        "settle",
        "PO-1-C1",
        "--credit",
        "50.00",
        "--today",
        "2026-04-05",
    ]);
    assert_eq!(
        shop.good(&["order", "list", "--today", "2026-04-05"]),
        "no open orders\n"
    );
    assert_eq!(
        shop.good(&["due", "--today", "2026-04-05"]),
        "nothing is due\n"
    );
    let story = shop.good(&["order", "show", "PO-1", "--today", "2026-04-05"]);
    assert!(
        !story.contains("owed") && !story.contains("late"),
        "{story}"
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn days_before_the_claim_was_sent_or_after_today_are_refused() {
    let shop = claimed();
    let said = [
        "claim",
        "answer",
        "PO-1-C1",
        "replacement",
        "--today",
        "2026-03-25",
    ];
    for (more, why) in [
        (
            ["--by", "2026-03-19"],
            "the day promised, 2026-03-19, lies before claim",
        ),
        (
            ["--on", "2026-03-19"],
            "the answer's day, 2026-03-19, lies before claim",
        ),
        (
            ["--on", "2026-03-26"],
            "2026-03-26 lies after today, 2026-03-25",
        ),
    ] {
        let errors = shop.ends(2, &[&said[..], &more].concat());
        assert!(errors.contains(why), "{errors}");
    }
    let settle = ["claim", "settle", "PO-1-C1", "--credit", "1", "--on"];
    for day in ["2026-03-19", "2026-03-26"] {
        shop.ends(2, &[&settle[..], &[day, "--today", "2026-03-25"]].concat());
    }
    assert_eq!(state(&shop), State::Sent);
}

#[test]
fn a_refusal_leaves_the_next_word_to_us() {
    let shop = claimed();
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "refused",
        "--today",
        "2026-03-25",
    ]);
    let due = shop.good(&["due", "--today", "2026-03-26"]);
    assert!(
        due.contains("claim PO-1-C1 was refused: insist, let it go for a reason, or\n            withdraw it\n")
            && due.contains("asordered claim remind PO-1-C1 --final"),
        "{due}"
    );
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

/// Writes a letter into a folder of its own and returns it on one line.
fn letter(shop: &Shop, step: &str, day: &str, more: &[&str]) -> String {
    let folder = format!("out-{day}");
    let mut args = vec![
        "claim",
        step,
        "PO-1-C1",
        "--yes",
        "--to-folder",
        &folder,
        "--today",
        day,
    ];
    args.extend(more);
    shop.good(&args);
    let file = std::fs::read_dir(shop.file(&folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .unwrap();
    let text = std::fs::read_to_string(file).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn with_mail() -> Shop {
    let shop = claimed();
    shop.put(
        "shop.yaml",
        format!(
            "{}mail: {{server: mail.shop.example, port: 587, security: starttls, from: a@shop.example}}\n",
            crate::book_support::SHOP
        ),
    );
    shop
}

/// Gives a shop a mail server that takes no connection.
fn with_dead_mail(shop: Shop) -> Shop {
    shop.put(
        "shop.yaml",
        format!(
            "{}mail: {{server: localhost, port: 1, security: starttls, from: a@shop.example}}\n",
            crate::book_support::SHOP
        ),
    );
    shop
}

#[test]
fn a_reminder_that_did_not_go_asks_for_no_other_day() {
    let shop = with_dead_mail(claimed());
    let before = shop.book().claim("PO-1-C1").unwrap().answer_by;
    let remind = ["claim", "remind", "PO-1-C1", "--yes", "--today"];
    let errors = shop.ends(2, &[&remind[..], &["2026-04-20"]].concat());
    assert!(errors.starts_with("error: not sent: "), "{errors}");
    assert_eq!(shop.book().claim("PO-1-C1").unwrap().answer_by, before);
    letter(&shop, "remind", "2026-04-20", &[]);
    let after = shop.book().claim("PO-1-C1").unwrap().answer_by;
    assert!(
        after > before && after > Some(day("2026-04-20")),
        "{after:?}"
    );
}

#[test]
fn a_letter_refused_by_the_server_leaves_a_claim_where_it_was_whatever_became_of_an_earlier_one() {
    let shop = with_dead_mail(drafted());
    assert_eq!(send(&shop, SendResult::MayHaveGone), State::MayHaveGone);
    let answer = ["claim", "answer", "PO-1-C1", "replacement", "--on"];
    let errors = shop.ends(2, &[&answer[..], &["2026-03-19"]].concat());
    assert!(errors.contains("was sent, on 2026-03-20"), "{errors}");
    shop.good(&[&answer[..], &["2026-03-23"]].concat());
    // They answered, so it came.
    let sent = shop.book().claim("PO-1-C1").unwrap().sent;
    assert_eq!(sent, Some(day("2026-03-20")));
    shop.receive(&receipt("R-2", 28, 2, 4, "B"), false);
    assert_eq!(settle(&shop, "R-2"), State::WrongAgain);
    let args = ["claim", "send", "PO-1-C1", "--yes", "--today", "2026-04-03"];
    for _ in 0..2 {
        let errors = shop.ends(2, &args);
        assert!(errors.starts_with("error: not sent: "), "{errors}");
        assert_eq!(state(&shop), State::WrongAgain);
    }
}

#[test]
fn a_claim_settled_though_its_letter_may_have_gone_is_no_draft_again() {
    let shop = with_dead_mail(drafted());
    send(&shop, SendResult::MayHaveGone);
    shop.receive(&receipt("R-2", 28, 2, 4, "B"), false);
    assert_eq!(settle(&shop, "R-2"), State::WrongAgain);
    let args = ["claim", "send", "PO-1-C1", "--yes", "--today", "2026-04-21"];
    let errors = shop.ends(2, &args);
    assert!(errors.starts_with("error: not sent: "), "{errors}");
    assert_eq!(state(&shop), State::WrongAgain);
}

#[test]
fn an_answer_to_a_letter_cut_off_on_its_way_says_that_it_came() {
    let shop = drafted();
    let mut book = shop.book();
    let letter = book.letter(&book.claim("PO-1-C1").unwrap(), None).unwrap();
    let intent = Intent {
        letter: letter.id,
        message_id: "<1@shop.example>",
        recipients: &[],
        bytes: b"",
        again: false,
    };
    book.intend("PO-1-C1", Step::Send, &intent, now()).unwrap();
    drop(book);
    let answer = ["claim", "answer", "PO-1-C1", "refused", "--on"];
    shop.good(&[&answer[..], &["2026-03-24"]].concat());
    let sent = shop.book().claim("PO-1-C1").unwrap().sent;
    assert_eq!(sent, Some(day("2026-03-20")));
}

#[test]
fn a_letter_that_did_not_go_is_written_anew_another_day() {
    let shop = with_dead_mail(claimed());
    let remind = ["claim", "remind", "PO-1-C1", "--yes", "--today"];
    for _ in 0..2 {
        shop.ends(2, &[&remind[..], &["2026-04-20"]].concat());
    }
    let claim = shop.book().claim("PO-1-C1").unwrap();
    let kept = shop.book().letters(&claim).unwrap();
    assert_eq!(kept.len(), 2, "the same words are kept once");
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "refused",
        "--on",
        "2026-04-22",
    ]);
    let text = letter(&shop, "remind", "2026-04-28", &[]);
    says(&text, &["April 28, 2026", "You refused our claim"]);
    assert!(!text.contains("April 20, 2026"), "{text}");
}

#[test]
fn a_letter_edited_by_hand_stays_and_what_came_since_is_told_before_it_goes() {
    let shop = with_mail();
    shop.receive(&receipt("R-2", 28, 2, 4, "B"), false);
    assert_eq!(settle(&shop, "R-2"), State::WrongAgain);
    shop.put("mine.txt", "April 3, 2026\n\nWrong again, all of it.\n");
    let edit = ["claim", "edit", "PO-1-C1", "--from", "mine.txt", "--today"];
    shop.good(&[&edit[..], &["2026-04-03"]].concat());
    let send = ["claim", "send", "PO-1-C1", "--told-by", "phone", "--today"];
    let asked = |day: &str| shop.ends(2, &[&send[..], &[day]].concat());
    let same_day = asked("2026-04-03");
    assert!(!same_day.contains("edited by hand"), "{same_day}");
    shop.receive(&receipt("R-3", 30, 3, 0, "A"), false);
    assert_eq!(settle(&shop, "R-3"), State::WrongAgain);
    let later = asked("2026-04-05");
    let note = "note: this letter was edited by hand, and since then: receipt added (R-3), claim wrong again, \
                the day is 2026-04-05; `asordered claim edit PO-1-C1` changes it\n";
    assert!(
        later.starts_with(note) && later.contains("not sent: nobody said yes"),
        "{later}"
    );
    let text = letter(&shop, "send", "2026-04-05", &[]);
    assert_eq!(text, "April 3, 2026 Wrong again, all of it.");
}

#[track_caller]
fn says(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(words), "`{words}` is not in\n{text}");
    }
}

#[test]
fn what_is_wrong_again_is_told_in_a_letter_that_states_both() {
    let shop = with_mail();
    shop.receive(&receipt("R-2", 28, 2, 4, "B"), false);
    assert_eq!(settle(&shop, "R-2"), State::WrongAgain);
    let shown = shop.good(&["claim", "show", "PO-1-C1"]);
    says(
        &shown,
        &["next: `asordered claim send PO-1-C1` tells them what is wrong again"],
    );
    let text = letter(&shop, "send", "2026-04-03", &[]);
    says(
        &text,
        &[
            "What came on March 28, 2026 (our receipt R-2) to make our claim on order PO-1 right is not as ordered again.",
            "March 20, 2026 our notice",
            "March 28, 2026 goods came: our receipt R-2",
            "1 30 sheets 25 sheets 5 short MDF",
            "We asked: Please send the 5 sheets that are short.",
            "Since then came: - 2 sheets on March 28, 2026: our receipt R-2 3 sheets as ordered are still to come; please \
             send them.",
            "Since then came: - 4 sheets on March 28, 2026: our receipt R-2 Not as ordered again: - 4 sheets of grade B, \
             lower than A as ordered. 4 sheets as ordered are still to come; please send them. Please collect what came \
             instead, at your cost.",
            "4 sheets of line 2 that came since",
        ],
    );
    // Part of the shortage came, so no amount is stated that would be too high.
    assert!(!text.contains("In all"), "{text}");
    assert_eq!(state(&shop), State::Sent);
    let refused = shop.ends(2, &["claim", "send", "PO-1-C1", "--to-folder", "out"]);
    assert!(refused.contains("is sent and cannot be sent"), "{refused}");
}

#[test]
fn a_reminder_says_no_more_than_the_book() {
    let shop = with_mail();
    let silent = letter(&shop, "remind", "2026-04-02", &[]);
    says(
        &silent,
        &[
            "We have had no answer to our notice on order PO-1; the notice stands in full. This is a reminder.",
        ],
    );
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "refused",
        "--on",
        "2026-04-05",
        "--note",
        "between us: a cheat",
    ]);
    let refused = letter(&shop, "remind", "2026-04-20", &["--final"]);
    says(
        &refused,
        &[
            "You refused our claim on order PO-1 on April 5, 2026.",
            "April 2, 2026 our reminder",
            "April 5, 2026 you refused our claim",
            "This is the last reminder",
        ],
    );
    for words in ["no answer to our notice", "between us", "2026-04-05"] {
        assert!(!refused.contains(words), "{refused}");
    }
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "replacement",
        "--by",
        "2026-05-01",
        "--on",
        "2026-04-22",
    ]);
    let accepted = letter(&shop, "accept", "2026-04-23", &[]);
    says(
        &accepted,
        &["Your offer, as we understand it: you send goods as ordered by May 1, 2026."],
    );
    let late = letter(&shop, "remind", "2026-05-04", &[]);
    says(
        &late,
        &["What you promised on our claim on order PO-1 for May 1, 2026 has not come"],
    );
}

#[test]
fn thanks_say_what_was_done_and_not_what_was_noted() {
    let shop = with_mail();
    shop.good(&[
        "claim",
        "answer",
        "PO-1-C1",
        "credit",
        "--amount",
        "250",
        "--note",
        "after three calls",
    ]);
    shop.good(&[
        "claim",
        "settle",
        "PO-1-C1",
        "--credit",
        "250.00",
        "--paper",
        "CM-7",
        "--today",
        "2026-04-28",
    ]);
    let text = letter(&shop, "thank", "2026-04-29", &[]);
    says(
        &text,
        &["What was done: You credited 250.00 USD, CM-7 (April 28, 2026)."],
    );
    assert!(
        !text.contains("three calls") && !text.contains("promised"),
        "{text}"
    );
}

#[test]
fn money_that_is_withheld_is_not_asked_for_again() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    shop.put(
        "inv.yaml",
        "invoice: INV-1\norder: PO-1\ndate: 2026-03-20\nlines:\n  \
         - {line: 1, quantity: 30 sheet, unit_price: 10.00}\n  - {line: 2, quantity: 10 sheet, unit_price: 50.00}\n",
    );
    shop.good(&["invoice", "add", "inv.yaml"]);
    let told = shop.good(&[
        "claim",
        "draft",
        "PO-1",
        "--today",
        "2026-03-20",
        "--remedy",
        "1/short=credit",
    ]);
    says(&told, &["withheld of INV-1 until it is settled: 50.00"]);
    let text = std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.txt")).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    says(
        &text,
        &[
            "Please take the 5 sheets off invoice INV-1.",
            "We withhold 50.00 USD of invoice INV-1 until this is settled.",
        ],
    );
    assert!(!text.contains("lease credit"), "{text}");
}

/// Bills line 1 of `PO-1` as a number, 30 sheets unless told otherwise.
fn bill(shop: &Shop, number: &str, day: u32, line: &str) {
    let file = format!("{number}.yaml");
    shop.put(
        &file,
        format!(
            "invoice: {number}\norder: PO-1\ndate: 2026-03-{day}\nlines: [{{line: 1, {line}}}]\n"
        ),
    );
    shop.good(&["invoice", "add", &file]);
}

/// 30 sheets at 11.00 for 10.00: 30.00 too much on the first bill; the second asks 330.00 for nothing.
#[test]
fn a_bill_that_came_twice_is_claimed_whole_and_the_letter_asks_to_cancel_it() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    bill(&shop, "I-1", 20, "quantity: 30 sheet, unit_price: 11.00");
    bill(&shop, "I-2", 21, "quantity: 30 sheet, unit_price: 11.00");
    assert_eq!(shop.wrong(), Vec::<String>::new());
    let answer = shop.json(1, &["check", "PO-1", "--today", "2026-03-21"]);
    assert_eq!(answer["claim"]["value"], "360.00");
    assert_eq!(answer["billing"]["withhold"], "360.00");
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-21"]);
    let text = std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.txt")).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    says(
        &text,
        &[
            "Please correct invoice I-1 to the prices of the order",
            "I-2 bills again what I-1 billed: 30 sheets, 330.00 too much.",
            "Please cancel invoice I-2, which bills again what invoice I-1 billed; we withhold it until then. Value: \
             billed before by invoice I-1: 330.00.",
            "In all: 360.00 USD.",
        ],
    );
    assert!(!text.contains("correct invoice I-2"), "{text}");
    // It is claimed, and so not to claim again; a later letter still knows what was billed twice.
    let again = shop.json(1, &["check", "PO-1", "--today", "2026-03-21"]);
    assert_eq!(again["claim"], serde_json::Value::Null);
    let send = ["claim", "send", "PO-1-C1", "--told-by", "phone", "--yes"];
    shop.good(&[&send[..], &["--today", "2026-03-21"]].concat());
    let reminder = letter(&shop, "remind", "2026-04-20", &[]);
    assert!(reminder.contains("Please cancel invoice I-2"), "{reminder}");
    shop.good(&["claim", "settle", "PO-1-C1", "--credit", "360.00"]);
    assert_eq!(state(&shop), State::Right);
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn a_bill_that_came_twice_is_due_though_all_else_is_as_ordered() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    bill(&shop, "I-1", 20, "quantity: 30 sheet, unit_price: 10.00");
    let due = || shop.good(&["due", "--today", "2026-03-21"]);
    assert_eq!(due(), "nothing is due\n");
    bill(&shop, "I-2", 21, "quantity: 30 sheet, unit_price: 10.00");
    assert!(due().contains("asordered claim draft PO-1"), "{}", due());
}

/// 20 of 30 came and were billed twice, 200.00 each: what is short was not billed and asks for no money.
#[test]
fn what_is_short_is_not_billed_because_the_rest_is_billed_twice() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 20, 10, "A"), false);
    bill(&shop, "I-1", 20, "quantity: 20 sheet, unit_price: 10.00");
    bill(&shop, "I-2", 21, "quantity: 20 sheet, unit_price: 10.00");
    let answer = shop.json(1, &["check", "PO-1", "--today", "2026-03-21"]);
    assert_eq!(answer["claim"]["value"], "200.00");
    assert_eq!(answer["billing"]["withhold"], "200.00");
}

/// 60 of 30 came and 30 were billed twice at 10.00: the excess costs 300.00, and the second bill no more but its freight.
#[test]
fn goods_sent_twice_and_billed_twice_cost_once_in_the_review() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 60, 10, "A"), false);
    bill(&shop, "I-1", 20, "quantity: 30 sheet, unit_price: 10.00");
    bill(&shop, "I-2", 21, "quantity: 30 sheet, unit_price: 10.00");
    let cost = |kind: &str| -> i64 {
        let sql = format!("SELECT sum(cost_cents) FROM findings WHERE kind = '{kind}'");
        let book = shop.book();
        book.connection()
            .query_row(&sql, [], |row| row.get(0))
            .unwrap()
    };
    assert_eq!((cost("over"), cost("above")), (30_000, 0));
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

/// 25 of 30 sheets at 10.00 are billed whole: 50.00 is withheld, and credited later. It may be taken off once.
#[test]
fn money_that_was_credited_is_told_beside_what_is_withheld() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    bill(&shop, "I-1", 20, "quantity: 30 sheet, unit_price: 10.00");
    let remedy = ["--remedy", "1/short=credit", "--today", "2026-03-20"];
    shop.good(&[&["claim", "draft", "PO-1"], &remedy[..]].concat());
    shop.good(&["claim", "send", "PO-1-C1", "--told-by", "phone", "--yes"]);
    let check = ["check", "PO-1", "--html", "answer.html"];
    let before = shop.ends(1, &check);
    says(
        &before,
        &["50.00 until it is settled; part of the claim, not besides it"],
    );
    assert_eq!(shop.json(1, &check)["billing"]["credited"], "0.00");
    shop.good(&["claim", "settle", "PO-1-C1", "--credit", "50.00"]);
    let words = "50.00 until it is settled; 50.00 was credited since: book the credit or keep the money back, not both";
    let shown = shop.ends(1, &check);
    let shown = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    says(&shown, &[words]);
    assert!(!shown.contains("part of the claim"), "{shown}");
    says(
        &std::fs::read_to_string(shop.file("answer.html")).unwrap(),
        &[words],
    );
    let json = shop.json(1, &check);
    assert_eq!(json["billing"]["withhold"], "50.00");
    assert_eq!(json["billing"]["credited"], "50.00");
    // Lone files know of no claim.
    shop.put("r.yaml", receipt("R-1", 19, 25, 10, "A"));
    let alone = ["check", "orders/PO-1.yaml", "r.yaml", "I-1.yaml"];
    assert_eq!(
        shop.json(1, &alone)["billing"].get("credited"),
        None::<&serde_json::Value>
    );
}

/// 4 of 30 sheets at 10.00 are damaged, the risk in transit ours: the carrier pays, and the supplier's bill is owed.
#[test]
fn what_a_carrier_paid_is_not_credited_on_the_suppliers_bill() {
    let shop = Shop::new();
    let order = crate::book_support::order("PO-1").replace("lines:", "freight: origin\nlines:");
    shop.put("orders/PO-1.yaml", order);
    shop.good(&["order", "add", "orders/PO-1.yaml"]);
    let lots = "lines:\n  - {line: 1, quantity: 30 sheet, damaged: 4 sheet, damage: visible}\n";
    shop.receive(
        &format!(
            "receipt: R-1\norder: PO-1\ndate: 2026-03-19\ncarrier: {{name: Longhaul}}\n{lots}"
        ),
        false,
    );
    bill(&shop, "I-1", 20, "quantity: 30 sheet, unit_price: 10.00");
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    let claims = shop.book().claims_of("PO-1").unwrap();
    let carrier = claims
        .iter()
        .find(|claim| claim.party == Against::Carrier)
        .unwrap();
    let number = carrier.number.as_str();
    shop.good(&["claim", "send", number, "--told-by", "phone", "--yes"]);
    shop.good(&["claim", "settle", number, "--credit", "40.00"]);
    let json = shop.json(1, &["check", "PO-1"]);
    assert_eq!(json["billing"]["credited"], "0.00");
}

#[test]
fn a_remedy_that_nothing_asks_for_is_refused_with_what_there_is() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    assert_eq!(
        shop.ends(2, &["claim", "draft", "PO-1", "--remedy", "1/lower=reduce"]),
        "error: nothing of `1/lower` is claimed\n  hint: line 1 has 1/short\n"
    );
    assert_eq!(
        shop.ends(2, &["claim", "draft", "PO-1", "--remedy", "1/short=reduce"]),
        "error: `reduce` does not make `1/short` right\n  hint: what does: send, credit\n"
    );
    let help = shop.good(&["claim", "draft", "--help"]);
    says(&help, &["short           send, credit\n"]);
}

/// Leaves 14 to 17, 21 and 22 came for two sets of four; 23 and 24 were asked and 30 and 31 sent.
#[test]
fn leaves_that_complete_nothing_are_told_with_those_that_would() {
    let shop = with_mail();
    shop.put(
        "orders/PO-7.yaml",
        "order: PO-7\nsupplier: s\ndate: 2026-03-02\ncurrency: USD\nlines:\n  \
         - {line: 1, item: RWO, quantity: 8 sheet, unit_price: 212.50, sequence: {sets: [4, 4]}}\n",
    );
    shop.good(&["order", "add", "orders/PO-7.yaml"]);
    for (number, day, leaves, count) in [
        ("S-1", "19", "3318: 14-17, 21-22", 6),
        ("S-2", "28", "3318: 30-31", 2),
    ] {
        let text = format!(
            "receipt: {number}\norder: PO-7\ndate: 2026-03-{day}\nplace: rack 5\nlines:\n  \
             - {{line: 1, quantity: {count} sheet, leaves: \"{leaves}\"}}\n"
        );
        shop.receive(&text, false);
        if number == "S-1" {
            shop.good(&["claim", "draft", "PO-7", "--today", "2026-03-20"]);
            shop.good(&[
                "claim",
                "send",
                "PO-7-C1",
                "--yes",
                "--to-folder",
                "first",
                "--today",
                "2026-03-20",
            ]);
        }
    }
    shop.ends(
        1,
        &[
            "claim",
            "settle",
            "PO-7-C1",
            "--receipt",
            "S-2",
            "--today",
            "2026-03-28",
        ],
    );
    shop.good(&[
        "claim",
        "send",
        "PO-7-C1",
        "--yes",
        "--to-folder",
        "again",
        "--today",
        "2026-03-29",
    ]);
    let text = std::fs::read_to_string(shop.file("again/PO-7-C1-wrong-again.txt")).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    says(
        &text,
        &[
            "We asked: Please send leaves 23 and 24 of flitch 3318",
            "2 sheets (flitch 3318, leaves 30 and 31) on March 28, 2026: our receipt S-2",
            "Not as ordered again: - 1 of 2 sets cannot be made",
            "Leaves 23 and 24 of flitch 3318 would do as well.",
            "2 sheets of line 1 that came since, at rack 5",
        ],
    );
    assert!(!text.contains("collect what came instead"), "{text}");
}
