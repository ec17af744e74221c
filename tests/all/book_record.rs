//! What is recorded is there whole, once, word for word.

use crate::book_support::{Shop, document, now, order, picture, receipt};
use asordered::book::document::sha256;
use asordered::book::error::BookError;
use asordered::book::record::{Recorded, Terms};
use rusqlite::Connection;

fn count(shop: &Shop, sql: &str) -> i64 {
    Connection::open(shop.file("asordered.db"))
        .unwrap()
        .query_row(sql, [], |row| row.get(0))
        .unwrap()
}

fn text(shop: &Shop, sql: &str) -> String {
    Connection::open(shop.file("asordered.db"))
        .unwrap()
        .query_row(sql, [], |row| row.get(0))
        .unwrap()
}

#[test]
fn the_same_document_again_changes_nothing() {
    let shop = Shop::with_order();
    assert_eq!(
        shop.good(&["order", "add", "orders/PO-1.yaml"]),
        "order PO-1 is in the book already, word for word\n"
    );
    shop.put("r.yaml", receipt("R-1", 19, 30, 10, "A"));
    shop.good(&["receive", "PO-1", "r.yaml"]);
    let before = count(&shop, "SELECT count(*) FROM journal");
    let again = shop.json(0, &["receive", "PO-1", "r.yaml"]);
    assert_eq!(again["recorded"], "unchanged");
    assert_eq!(count(&shop, "SELECT count(*) FROM journal"), before);
    assert_eq!(count(&shop, "SELECT count(*) FROM receipts"), 1);
    assert_eq!(count(&shop, "SELECT count(*) FROM receipt_lines"), 2);
}

#[test]
fn a_changed_receipt_needs_replace_and_the_old_one_stays_in_the_journal() {
    let shop = Shop::with_order();
    let old = receipt("R-1", 19, 30, 10, "B");
    let new = receipt("R-1", 19, 30, 10, "A");
    shop.put("r.yaml", &old);
    shop.ends(1, &["receive", "PO-1", "r.yaml"]);
    shop.put("r.yaml", &new);
    assert_eq!(
        shop.ends(2, &["receive", "PO-1", "r.yaml"]),
        "error: receipt `R-1` is in the book and reads otherwise\n  \
         hint: `--replace` puts the new one in its place; the old one stays in the journal\n  \
         hint: where it is another one, give it its own number\n"
    );
    assert_eq!(
        count(&shop, "SELECT count(*) FROM findings WHERE kind = 'lower'"),
        1
    );
    shop.good(&["receive", "PO-1", "r.yaml", "--replace"]);
    assert_eq!(
        count(&shop, "SELECT count(*) FROM findings WHERE kind = 'lower'"),
        0
    );
    assert_eq!(
        text(
            &shop,
            "SELECT d.text FROM journal j JOIN documents d ON d.id = j.replaced WHERE j.what = 'receipt replaced'"
        ),
        old
    );
    let history = shop.json(0, &["history", "PO-1"]);
    let last = history["history"].as_array().unwrap().last().unwrap();
    assert_eq!(last["sha256"], sha256(new.as_bytes()));
    assert_eq!(last["replaced"], sha256(old.as_bytes()));
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn orders_are_added_all_or_none() {
    let shop = Shop::new();
    shop.put("orders/PO-1.yaml", order("PO-1"));
    shop.put(
        "orders/PO-2.yaml",
        order("PO-2").replace("quantity: 30 sheet", "quantity: -30 sheet"),
    );
    let errors = shop.ends(2, &["order", "add", "orders/PO-1.yaml", "orders/PO-2.yaml"]);
    assert!(errors.starts_with("orders/PO-2.yaml:7:"), "{errors}");
    assert!(!shop.file("asordered.db").exists());
    // The first is new, the second reads otherwise than in the book: neither is recorded.
    shop.put("orders/PO-2.yaml", order("PO-2"));
    shop.good(&["order", "add", "orders/PO-2.yaml"]);
    shop.put(
        "orders/PO-2.yaml",
        order("PO-2").replace("30 sheet", "31 sheet"),
    );
    shop.ends(2, &["order", "add", "orders/PO-1.yaml", "orders/PO-2.yaml"]);
    assert_eq!(count(&shop, "SELECT count(*) FROM orders"), 1);
}

#[test]
fn a_receipt_with_a_problem_leaves_no_trace() {
    let shop = Shop::with_order();
    let before = count(&shop, "SELECT count(*) FROM journal")
        + count(&shop, "SELECT count(*) FROM documents");
    for wrong in [
        receipt("R-1", 19, 30, 10, "Q"),
        receipt("R-1", 19, 30, 10, "A").replace("line: 1", "line: 9"),
        receipt("R-1", 19, 30, 10, "A").replace("order: PO-1", "order: PO-9"),
        receipt("R-1", 19, 30, 10, "A").replace("30 sheet", "30 kg"),
    ] {
        shop.put("r.yaml", &wrong);
        shop.ends(2, &["receive", "PO-1", "r.yaml"]);
    }
    let after = count(&shop, "SELECT count(*) FROM journal")
        + count(&shop, "SELECT count(*) FROM documents");
    assert_eq!(before, after);
    assert_eq!(count(&shop, "SELECT count(*) FROM receipts"), 0);
}

#[test]
fn a_receipt_of_an_order_nobody_knows_is_refused_with_the_one_meant() {
    let shop = Shop::with_order();
    shop.put("r.yaml", receipt("R-1", 19, 30, 10, "A"));
    assert_eq!(
        shop.ends(2, &["receive", "po-1", "r.yaml"]),
        "error: the book has no order `po-1`\n  hint: did you mean `PO-1`?\n"
    );
}

#[test]
fn numbers_are_text_to_the_last_zero() {
    let shop = Shop::new();
    for number in ["0042", "1e3", "12-07"] {
        let text = order("PO-1").replace("PO-1", &format!("\"{number}\""));
        shop.put("o.yaml", text);
        shop.good(&["order", "add", "o.yaml"]);
    }
    let list = shop.json(0, &["order", "list", "--all"]);
    let numbers: Vec<&str> = list["orders"]
        .as_array()
        .unwrap()
        .iter()
        .map(|order| order["order"].as_str().unwrap())
        .collect();
    assert_eq!(numbers, ["0042", "12-07", "1e3"]);
}

#[test]
fn receipts_add_up_in_whatever_order_they_are_recorded() {
    let texts = [
        receipt("R-1", 10, 20, 4, "A"),
        receipt("R-2", 12, 10, 3, "B"),
        receipt("R-3", 14, 0, 3, "A"),
    ];
    let mut seen = Vec::new();
    for places in [[0, 1, 2], [2, 1, 0], [1, 0, 2], [1, 2, 0]] {
        let shop = Shop::with_order();
        for place in places {
            shop.receive(&texts[place], false);
        }
        assert_eq!(shop.wrong(), Vec::<String>::new());
        let answer = shop.json(1, &["check", "PO-1", "--today", "2026-03-20"]);
        let book = Connection::open(shop.file("asordered.db")).unwrap();
        let rows: Vec<(String, i64, i64, bool)> = book
            .prepare(
                "SELECT r.number, l.arrived_u, l.rejected_u, l.as_ordered FROM receipts r \
                 JOIN receipt_lines l ON l.receipt_id = r.id ORDER BY r.number, l.place",
            )
            .unwrap()
            .query_map([], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        seen.push((answer, rows));
    }
    assert!(seen.windows(2).all(|pair| pair[0] == pair[1]), "{seen:#?}");
}

#[test]
fn a_delivery_is_judged_with_what_had_come_before_it_and_not_again() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 20, 10, "A"), false);
    shop.receive(&receipt("R-2", 20, 10, 0, "A"), false);
    let verdicts = |number: &str| -> i64 {
        count(
            &shop,
            &format!(
                "SELECT count(*) FROM receipt_lines l JOIN receipts r ON r.id = l.receipt_id \
                 WHERE r.number = '{number}' AND l.as_ordered = 1"
            ),
        )
    };
    // R-1 left line 1 short by ten and nobody had said that they follow; that R-2 brings them does not undo it.
    assert_eq!(verdicts("R-1"), 1);
    assert_eq!(verdicts("R-2"), 1);
    assert_eq!(
        count(&shop, "SELECT count(*) FROM findings WHERE kind = 'short'"),
        1
    );
    assert_eq!(count(&shop, "SELECT as_ordered FROM orders"), 1);
    assert_eq!(text(&shop, "SELECT completed FROM orders"), "2026-03-20");
    assert_eq!(
        count(&shop, "SELECT amount_u FROM findings WHERE kind = 'short'"),
        10_000_000
    );
    assert_eq!(
        count(
            &shop,
            "SELECT cost_cents FROM findings WHERE kind = 'short'"
        ),
        10_000
    );
}

#[test]
fn an_order_that_loses_a_line_with_goods_is_refused() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    let without = order("PO-1")
        .lines()
        .filter(|line| !line.contains("OAK"))
        .map(|line| format!("{line}\n"))
        .collect::<String>();
    shop.put("orders/PO-1.yaml", &without);
    shop.ends(2, &["order", "add", "orders/PO-1.yaml", "--replace"]);
    assert_eq!(shop.wrong(), Vec::<String>::new());
    assert_eq!(count(&shop, "SELECT count(*) FROM order_lines"), 2);
}

#[test]
fn an_order_that_changes_is_judged_again() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "B"), false);
    shop.put(
        "orders/PO-1.yaml",
        order("PO-1").replace("grade: A", "grade: B"),
    );
    shop.good(&["order", "add", "orders/PO-1.yaml", "--replace"]);
    assert_eq!(count(&shop, "SELECT as_ordered FROM orders"), 1);
    assert_eq!(count(&shop, "SELECT min(as_ordered) FROM receipt_lines"), 1);
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn the_journal_and_the_documents_can_only_be_added_to() {
    let shop = Shop::with_order();
    let book = Connection::open(shop.file("asordered.db")).unwrap();
    for sql in [
        "UPDATE journal SET what = 'x'",
        "DELETE FROM journal",
        "INSERT OR REPLACE INTO journal (id, at, what, subject, detail) VALUES (1, '', '', '', '')",
        "UPDATE documents SET text = 'x'",
        "DELETE FROM documents",
        "INSERT OR REPLACE INTO documents (id, kind, number, file, sha256, text, recorded) \
         VALUES (1, 'order', '', '', printf('%064d', 0), '', '')",
    ] {
        let error = book.execute(sql, []).unwrap_err().to_string();
        assert!(
            error.contains("only added to") || error.contains("word for word"),
            "{sql}: {error}"
        );
    }
}

#[test]
fn stamps_are_utc_and_dates_are_local_dates() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    assert_eq!(
        text(&shop, "SELECT at FROM journal ORDER BY id DESC LIMIT 1"),
        "2026-03-20T15:00:00Z"
    );
    assert_eq!(text(&shop, "SELECT date FROM receipts"), "2026-03-19");
}

#[test]
fn an_invoice_is_recorded_once_and_judged_with_the_order() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    let invoice = "invoice: I-1\norder: PO-1\ndate: 2026-03-21\n\
        lines: [{line: 1, quantity: 30 sheet, unit_price: 11.00, amount: 330.00}]\n";
    shop.put("i.yaml", invoice);
    assert_eq!(
        shop.good(&["invoice", "add", "i.yaml"]),
        "recorded invoice I-1 on order PO-1\n"
    );
    shop.good(&["invoice", "add", "i.yaml"]);
    assert_eq!(count(&shop, "SELECT count(*) FROM invoices"), 1);
    assert_eq!(
        count(&shop, "SELECT count(*) FROM findings WHERE kind = 'above'"),
        1
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
    shop.put(
        "i.yaml",
        invoice
            .replace("11.00", "10.00")
            .replace("330.00", "300.00"),
    );
    shop.ends(2, &["invoice", "add", "i.yaml"]);
    shop.good(&["invoice", "add", "i.yaml", "--replace"]);
    assert_eq!(
        count(&shop, "SELECT count(*) FROM findings WHERE kind = 'above'"),
        0
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn a_supplier_file_that_changes_is_kept_with_the_next_receipt_and_judged_by() {
    let shop = Shop::with_order();
    shop.put("r1.yaml", receipt("R-1", 18, 30, 4, "Prime"));
    shop.ends(2, &["receive", "PO-1", "r1.yaml"]);
    shop.put(
        "suppliers/s.yaml",
        format!("{}grades: {{Prime: A}}\n", crate::book_support::SUPPLIER),
    );
    shop.ends(1, &["receive", "PO-1", "r1.yaml"]);
    shop.put("r2.yaml", receipt("R-2", 19, 0, 6, "Prime"));
    shop.good(&["receive", "PO-1", "r2.yaml"]);
    assert_eq!(
        count(
            &shop,
            "SELECT count(*) FROM documents WHERE kind = 'supplier'"
        ),
        2
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

#[test]
fn photographs_are_hashed_as_sha256sum_does_and_copied_in() {
    let shop = Shop::with_order();
    let text = receipt("R-1", 19, 30, 10, "A").replace(
        "quantity: 30 sheet",
        "quantity: 30 sheet, photos: [photos/a.jpg]",
    );
    shop.put("dock/r.yaml", &text);
    let errors = shop.ends(2, &["receive", "PO-1", "dock/r.yaml"]);
    assert!(errors.contains("no photograph `photos/a.jpg`"), "{errors}");
    let photo = shop.put("dock/photos/a.jpg", picture());
    shop.good(&["receive", "PO-1", "dock/r.yaml"]);
    assert_eq!(
        std::fs::read(shop.file("photos/a.jpg")).unwrap(),
        std::fs::read(&photo).unwrap()
    );
    let kept = text_of(&shop, "SELECT sha256 FROM evidence");
    match std::process::Command::new("sha256sum").arg(&photo).output() {
        Ok(output) => assert_eq!(&String::from_utf8(output.stdout).unwrap()[..64], kept),
        Err(_) => println!("skipped: no sha256sum here"),
    }
    shop.good(&["verify"]);
    shop.put("photos/a.jpg", b"another picture\n");
    let wrong = shop.ends(1, &["verify"]);
    assert!(
        wrong.contains("`photos/a.jpg` of receipt `R-1` is not the file that was recorded"),
        "{wrong}"
    );
}

fn text_of(shop: &Shop, sql: &str) -> String {
    text(shop, sql)
}

#[test]
fn a_receipt_number_belongs_to_one_order() {
    let shop = Shop::with_order();
    shop.put("o2.yaml", order("PO-2"));
    shop.good(&["order", "add", "o2.yaml"]);
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    let other = receipt("R-1", 19, 30, 10, "A").replace("PO-1", "PO-2");
    let refused = shop
        .book()
        .add_receipt(
            None,
            &document("r", &other),
            &Terms::default(),
            &[],
            true,
            now(),
        )
        .unwrap_err();
    assert!(matches!(refused, BookError::Refused { text, .. } if text.contains("another order")));
    let same = shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    assert_eq!(same.recorded, Recorded::Unchanged);
}
