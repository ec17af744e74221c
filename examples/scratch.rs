use asordered::book::Book;
use asordered::book::derive::derive;
use asordered::book::document::Document;
use asordered::book::record::Terms;
use std::fmt::Write;
use std::time::Instant;
fn order(n: usize) -> Document {
    let mut text = format!(
        "order: PO-{n}\nsupplier: s{}\ndate: 2026-03-02\npromised: 2026-03-20\nlines:\n",
        n % 20
    );
    for line in 1..=8 {
        writeln!(text, "  - {{line: {line}, item: I-{line}, quantity: 20 sheet, unit_price: 94.00, grade: A, scale: hp1-face, size: 48 in x 96 in}}").unwrap();
    }
    Document {
        file: format!("orders/PO-{n}.yaml"),
        text,
    }
}
fn receipt(n: usize) -> Document {
    let mut text = format!(
        "receipt: R-{n}\norder: PO-{n}\ndate: 2026-03-19\nby: dock\npacking_slip: \"{n}\"\nlines:\n"
    );
    for line in 1..=8 {
        let came = if line == 3 { 18 } else { 20 };
        writeln!(text, "  - {{line: {line}, item: I-{line}, slip: 20 sheet, quantity: {came} sheet, grade: A, size: 48 in x 96 in}}").unwrap();
    }
    Document {
        file: format!("receipts/R-{n}.yaml"),
        text,
    }
}
fn main() {
    let n = 500;
    let o = order(1);
    let r = receipt(1);
    let t = Instant::now();
    for _ in 0..n {
        asordered::intake::order("o", &o.text).unwrap();
    }
    println!("order parse {:?}", t.elapsed() / n);
    let t = Instant::now();
    for _ in 0..n {
        asordered::intake::receipt("o", &r.text).unwrap();
    }
    println!("receipt parse {:?}", t.elapsed() / n);
    let papers = asordered::book::derive::Papers {
        order: asordered::intake::order("o", &o.text).unwrap(),
        receipts: vec![asordered::intake::receipt("o", &r.text).unwrap()],
        invoices: vec![],
        supplier: None,
        shop: None,
    };
    let t = Instant::now();
    for _ in 0..n {
        asordered::check::check(&papers.case(None)).unwrap();
    }
    println!("check {:?}", t.elapsed() / n);
    let t = Instant::now();
    for _ in 0..n {
        derive(&papers, 0).unwrap();
    }
    println!("derive {:?}", t.elapsed() / n);
    let dir = tempfile::tempdir_in("target").unwrap();
    let mut book = Book::write(&dir.path().join("b.db")).unwrap();
    let now = chrono::Utc::now();
    let orders: Vec<_> = (0..n as usize)
        .map(|n| (order(n), Terms::default()))
        .collect();
    book.add_orders(&orders, false, now).unwrap();
    if std::env::args().count() > 1 {
        book.connection()
            .pragma_update(None, "synchronous", "off")
            .unwrap();
    }
    let rs: Vec<_> = (0..n as usize).map(receipt).collect();
    let t = Instant::now();
    for r in &rs {
        book.add_receipt(None, r, &Terms::default(), &[], false, now)
            .unwrap();
    }
    println!("add_receipt {:?}", t.elapsed() / n);
}
