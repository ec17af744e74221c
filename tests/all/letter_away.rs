//! Letters that do not go by mail: into a folder, by post, by phone; shown and asked like the others, never lost.

use crate::book_support::{SHOP, Shop, receipt};
use std::io::Write;
use std::process::Stdio;

/// A shop without `mail`, with claims drafted on orders `PO-1` and `PO-2`.
fn shop() -> Shop {
    let shop = Shop::with_order();
    shop.put("orders/PO-2.yaml", crate::book_support::order("PO-2"));
    shop.good(&["order", "add", "orders/PO-2.yaml"]);
    shop.receive(&receipt("R-1", 19, 25, 10, "A"), false);
    let second = receipt("R-2", 19, 24, 10, "A").replace("order: PO-1", "order: PO-2");
    shop.receive(&second, false);
    for order in ["PO-1", "PO-2"] {
        shop.good(&["claim", "draft", order, "--today", "2026-03-20"]);
    }
    shop
}

fn answered(shop: &Shop, args: &[&str], answer: &str) -> (Option<i32>, String) {
    let mut child = shop
        .command(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(answer.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    let text = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    (output.status.code(), text)
}

fn state(shop: &Shop, claim: &str) -> String {
    let shown = shop.json(0, &["claim", "show", claim]);
    shown["state"].as_str().unwrap().to_owned()
}

#[test]
fn letters_of_several_claims_lie_in_one_folder_and_none_is_written_over() {
    let shop = shop();
    for claim in ["PO-1-C1", "PO-2-C1"] {
        let args = ["claim", "send", claim, "--to-folder", "out", "--yes"];
        let told = shop.good(&[&args[..], &["--today", "2026-03-20"]].concat());
        assert!(
            told.contains(&format!("wrote out/{claim}-notice.txt\n")),
            "{told}"
        );
        assert!(told.contains("counts as sent on 2026-03-20"), "{told}");
    }
    let first = std::fs::read_to_string(shop.file("out/PO-1-C1-notice.txt")).unwrap();
    assert!(first.contains("Order PO-1"), "{first}");
    let shop = self::shop();
    shop.put("out/PO-1-C1-notice.txt", "an earlier letter");
    let errors = shop.ends(
        2,
        &["claim", "send", "PO-1-C1", "--to-folder", "out", "--yes"],
    );
    assert_eq!(
        errors,
        "error: `out/PO-1-C1-notice.txt` is there already; no letter is written over another\n  \
         hint: name another folder, or move the earlier letter away\n"
    );
    let kept = std::fs::read_to_string(shop.file("out/PO-1-C1-notice.txt")).unwrap();
    assert_eq!(kept, "an earlier letter");
    assert_eq!(state(&shop, "PO-1-C1"), "drafted");
}

#[test]
fn a_letter_for_a_folder_is_shown_whole_and_written_only_after_a_yes() {
    let shop = shop();
    let args = [
        "claim",
        "send",
        "PO-1-C1",
        "--to-folder",
        "out",
        "--today",
        "2026-03-20",
    ];
    let (status, said) = answered(&shop, &args, "no\n");
    assert_eq!(status, Some(2), "{said}");
    assert!(!shop.file("out").exists());
    assert_eq!(state(&shop, "PO-1-C1"), "drafted");
    let (status, said) = answered(&shop, &args, "yes\n");
    assert_eq!(status, Some(0), "{said}");
    let letter = std::fs::read_to_string(shop.file("claims/PO-1-C1/letter.txt")).unwrap();
    for line in letter.lines().filter(|line| !line.is_empty()) {
        assert!(said.contains(line), "`{line}` is not shown");
    }
    assert!(said.contains("to        s@sawdust.example\n"), "{said}");
    assert!(said.contains("amount    50.00 USD\n"), "{said}");
    assert_eq!(state(&shop, "PO-1-C1"), "sent");
}

#[test]
fn a_claim_told_by_phone_is_noted_with_its_day_and_asks_its_answer_from_then() {
    let shop = shop();
    let by = [
        "claim",
        "send",
        "PO-1-C1",
        "--told-by",
        "phone, the yard office",
    ];
    let late = [
        &by[..],
        &["--on", "2026-03-25", "--today", "2026-03-24", "--yes"],
    ]
    .concat();
    assert!(
        shop.ends(2, &late)
            .contains("2026-03-25 lies after today, 2026-03-24")
    );
    let early = [
        &by[..],
        &["--on", "2026-03-18", "--today", "2026-03-24", "--yes"],
    ]
    .concat();
    assert!(
        shop.ends(2, &early)
            .contains("before claim `PO-1-C1` was drafted")
    );
    let right = [
        &by[..],
        &["--on", "2026-03-20", "--today", "2026-03-24", "--yes"],
    ]
    .concat();
    let told = shop.json(0, &right);
    assert_eq!(told["result"], "told");
    assert_eq!(told["sent"], "2026-03-20");
    let shown = shop.json(0, &["claim", "show", "PO-1-C1"]);
    assert_eq!(shown["state"], "sent");
    assert_eq!(shown["sent"], "2026-03-20");
    assert_eq!(shown["answer_by"], told["answer_by"]);
    assert_eq!(
        shown["messages"][0]["detail"],
        "told by phone, the yard office"
    );
    assert_eq!(shown["messages"][0]["day"], "2026-03-20");
    let page = shop.good(&["claim", "show", "PO-1-C1"]);
    assert!(
        page.contains("\nsent:\n  2026-03-20 notice: told by phone, the yard office\n"),
        "{page}"
    );
    let history = shop.good(&["history", "PO-1-C1"]);
    assert!(
        history.contains("told by other means  told by phone, the yard office, on 2026-03-20\n"),
        "{history}"
    );
    let story = shop.good(&["order", "show", "PO-1", "--today", "2026-03-25"]);
    assert!(
        story.contains(
            "2026-03-20  claim PO-1-C1 drafted: 50.00 USD, on the supplier (s)\n\
             2026-03-20  claim PO-1-C1 sent\n"
        ),
        "{story}"
    );
    // What was told once is not told again by the same command.
    assert!(shop.ends(2, &right).contains("cannot be sent"));
}

#[test]
fn a_letter_goes_once_and_the_refusal_names_the_day_noted() {
    let shop = shop();
    let on = |step: &str, day: &str| {
        let args = ["claim", step, "PO-1-C1", "--told-by", "phone", "--yes"];
        [&args[..], &["--on", day]].concat().join(" ")
    };
    let go = |status: i32, args: String| shop.ends(status, &args.split(' ').collect::<Vec<_>>());
    go(0, on("send", "2026-03-20"));
    go(
        0,
        "claim settle PO-1-C1 --enough few --today 2026-03-30".to_owned(),
    );
    go(0, on("thank", "2026-04-02"));
    assert_eq!(
        go(2, on("thank", "2026-04-03")),
        "error: a letter of this kind for claim `PO-1-C1` went on 2026-04-02\n  \
         hint: the same letter goes once\n"
    );
}

#[test]
fn a_step_that_a_draft_does_not_allow_is_refused_in_its_own_words() {
    let shop = shop();
    let hint = "  hint: `asordered claim send PO-1-C1` sends it, `claim edit` changes it\n";
    for (step, words) in [
        ("accept", "no offer for it can be accepted"),
        ("remind", "cannot be reminded of"),
        ("thank", "cannot be thanked for"),
    ] {
        assert_eq!(
            shop.ends(2, &["claim", step, "PO-1-C1", "--yes"]),
            format!("error: claim `PO-1-C1` is drafted and {words}\n{hint}")
        );
    }
}

#[test]
fn a_shop_with_mail_gets_the_message_beside_the_letter() {
    let shop = shop();
    shop.put(
        "shop.yaml",
        format!("{SHOP}mail: {{server: mail.shop.example, from: claims@shop.example}}\n"),
    );
    shop.good(&["claim", "send", "PO-1-C1", "--to-folder", "out", "--yes"]);
    let eml = std::fs::read_to_string(shop.file("out/PO-1-C1-notice.eml")).unwrap();
    assert!(eml.contains("X-Unsent: 1\r\n") && eml.contains("s@sawdust.example"));
}

#[test]
fn without_mail_a_plain_send_says_what_can_be_done_instead() {
    let errors = shop().ends(2, &["claim", "send", "PO-1-C1", "--yes"]);
    assert!(
        errors.starts_with("error: shop.yaml has no `mail`"),
        "{errors}"
    );
    assert!(
        errors.contains("--to-folder") && errors.contains("--told-by"),
        "{errors}"
    );
}
