//! Books of earlier editions are brought up to date and say the same. `tests/editions/1.sql` is `.dump` of a book that
//! the program wrote when the first edition was the newest, with orders as ordered, short, made right by a credit,
//! billed above the price and not yet come; `1-orders.json` is what it said of them with
//! `--today 2026-04-12 order list --all --json`.

use crate::book_support::Shop;
use asordered::book::Book;
use rusqlite::Connection;

#[test]
fn a_book_of_the_first_edition_says_the_same_in_the_newest() {
    let shop = Shop::new();
    let file = shop.file("asordered.db");
    Connection::open(&file)
        .unwrap()
        .execute_batch(include_str!("../editions/1.sql"))
        .unwrap();
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
