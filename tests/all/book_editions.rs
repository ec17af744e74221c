//! Books of earlier editions are brought up to date and say the same. `tests/editions/1.sql` is `.dump` of a book that
//! the program wrote when the first edition was the newest, with orders as ordered, short, made right by a credit,
//! billed above the price and not yet come; `1-orders.json` is what it said of them with
//! `--today 2026-04-12 order list --all --json`.

use crate::book_support::Shop;
use asordered::book::Book;
use rusqlite::Connection;
use std::path::{Path, PathBuf};

/// Puts a book of the first edition into a shop, and returns its place.
fn first_edition(shop: &Shop) -> PathBuf {
    let file = shop.file("asordered.db");
    Connection::open(&file)
        .unwrap()
        .execute_batch(include_str!("../editions/1.sql"))
        .unwrap();
    file
}

fn edition(file: &Path) -> i64 {
    Connection::open(file)
        .unwrap()
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .unwrap()
}

#[test]
fn a_book_of_the_first_edition_says_the_same_in_the_newest() {
    let shop = Shop::new();
    let file = first_edition(&shop);
    let before = std::fs::read(&file).unwrap();
    let list = ["--today", "2026-04-12", "order", "list", "--all", "--json"];
    let errors = shop.ends(2, &list);
    assert!(errors.contains("is of an older program"), "{errors}");
    assert!(
        std::fs::read(&file).unwrap() == before,
        "reading changed it"
    );

    drop(Book::write(&file).unwrap());
    let said = shop.good(&list);
    assert_eq!(said, include_str!("../editions/1-orders.json"));
    // 30 sheets billed at 41.70 for 38.20; the first edition said 1146.00, which is what they cost.
    let why = [
        "--today",
        "2026-05-02",
        "review",
        "--why",
        "found-price-above",
    ];
    let why = shop.good(&why);
    assert!(why.contains("30 sheet, 105.00 USD"), "{why}");
    let verified = shop.good(&["verify"]);
    assert!(verified.contains("7 orders, 7 receipts"), "{verified}");
    // A second time it is up to date already.
    drop(Book::write(&file).unwrap());
    assert_eq!(shop.good(&list), said);
}

#[test]
fn receiving_brings_a_book_up_to_date() {
    let shop = Shop::new();
    let file = first_edition(&shop);
    shop.put(
        "r.yaml",
        "receipt: R-1\norder: PO-2128\ndate: 2026-03-30\nlines:\n  - {line: 1, quantity: 1 sheet}\n",
    );
    let told = shop.ends(1, &["receive", "PO-2128", "r.yaml"]);
    assert!(
        told.starts_with("recorded receipt R-1 on order PO-2128\n"),
        "{told}"
    );
    assert_eq!(edition(&file), 2);
    shop.good(&["verify"]);
}

#[test]
fn a_backup_copies_a_book_of_an_older_edition_as_it_is_and_none_of_a_newer_one() {
    let shop = Shop::new();
    let file = first_edition(&shop);
    let errors = shop.ends(2, &["check", "PO-99"]);
    assert!(
        errors.contains("`asordered backup FILE` copies it"),
        "{errors}"
    );
    shop.good(&["backup", "copy.db"]);
    assert_eq!(edition(&file), 1);
    assert_eq!(edition(&shop.file("copy.db")), 1);
    // The copy is a book like the first.
    drop(Book::write(&shop.file("copy.db")).unwrap());
    shop.good(&["verify", "--book", "copy.db"]);
    let newer = Connection::open(&file).unwrap();
    newer.pragma_update(None, "user_version", 99).unwrap();
    drop(newer);
    let errors = shop.ends(2, &["backup", "newer.db"]);
    assert!(errors.contains("is of a newer program"), "{errors}");
    assert!(!shop.file("newer.db").exists());
}
