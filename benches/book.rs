//! Prints how many receipts of 8 lines a second are recorded durably, beside bare inserts of the same rows, and how
//! long `check PO` takes in a book of 1,000,000 receipt lines, beside the demo's. Asserts nothing.
//!
//! `cargo bench --bench book`
#![allow(
    missing_docs,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench measures and prints"
)]

use asordered::book::Book;
use asordered::book::document::Document;
use asordered::book::record::Terms;
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Receipts of one round; rounds of both kinds alternate, because a disk has its moods.
const ROUND: usize = 100;
const ROUNDS: usize = 6;
const LINES: usize = 8;

fn main() {
    // A folder beside the sources: the system's temporary folder may be no disk at all.
    let folder = tempfile::Builder::new()
        .prefix("bench-book-")
        .tempdir_in(env!("CARGO_TARGET_TMPDIR"))
        .unwrap();
    recording(folder.path());
    checking(folder.path());
}

fn recording(folder: &Path) {
    let file = folder.join("recorded.db");
    let now = chrono::Utc::now();
    let mut book = Book::write(&file).unwrap();
    let orders: Vec<(Document, Terms)> = (0..ROUND * ROUNDS)
        .map(|n| (order(n), Terms::default()))
        .collect();
    book.add_orders(&orders, false, now).unwrap();
    let bare_file = folder.join("bare.db");
    book.backup(&bare_file).unwrap();
    let bare = Connection::open(&bare_file).unwrap();
    for (name, value) in [
        ("journal_mode", "wal"),
        ("synchronous", "full"),
        ("foreign_keys", "on"),
    ] {
        bare.pragma_update(None, name, value).unwrap();
    }
    let mut recorded = Duration::ZERO;
    let mut inserted = Duration::ZERO;
    for round in 0..ROUNDS {
        let receipts: Vec<Document> = (0..ROUND).map(|n| receipt(round * ROUND + n)).collect();
        let start = Instant::now();
        for receipt in &receipts {
            book.add_receipt(None, receipt, &Terms::default(), &[], false, now)
                .unwrap();
        }
        recorded += start.elapsed();
        let rows: Vec<Vec<(String, Vec<Value>)>> = (0..ROUND)
            .map(|n| rows_of(&book, round * ROUND + n))
            .collect();
        let start = Instant::now();
        for rows in &rows {
            bare.execute_batch("BEGIN IMMEDIATE").unwrap();
            for (sql, row) in rows {
                bare.prepare_cached(sql)
                    .unwrap()
                    .execute(params_from_iter(row))
                    .unwrap();
            }
            bare.execute_batch("COMMIT").unwrap();
        }
        inserted += start.elapsed();
    }
    let count = ROUND * ROUNDS;
    let rate = |took: Duration| count as f64 / took.as_secs_f64();
    println!(
        "durable receipts of {LINES} lines: {:.0} a second; bare inserts of the same rows, one transaction each: {:.0} a second; {:.0} %",
        rate(recorded),
        rate(inserted),
        100.0 * rate(recorded) / rate(inserted)
    );
}

/// Returns every row that recording a receipt put into the book, as inserts.
fn rows_of(book: &Book, n: usize) -> Vec<(String, Vec<Value>)> {
    let id: i64 = book
        .connection()
        .query_row(
            "SELECT id FROM receipts WHERE number = ?1",
            [format!("R-{n}")],
            |row| row.get(0),
        )
        .unwrap();
    let mut rows = Vec::new();
    for (table, which) in [
        (
            "documents",
            "id = (SELECT document FROM receipts WHERE id = ?1)",
        ),
        ("receipts", "id = ?1"),
        ("receipt_lines", "receipt_id = ?1"),
        ("findings", "receipt_id = ?1"),
        (
            "journal",
            "document = (SELECT document FROM receipts WHERE id = ?1)",
        ),
    ] {
        let mut statement = book
            .connection()
            .prepare(&format!("SELECT * FROM {table} WHERE {which}"))
            .unwrap();
        let columns = statement.column_count();
        let marks = vec!["?"; columns].join(", ");
        let found: Vec<Vec<Value>> = statement
            .query_map([id], |row| {
                (0..columns).map(|column| row.get(column)).collect()
            })
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        rows.extend(
            found
                .into_iter()
                .map(|row| (format!("INSERT INTO {table} VALUES ({marks})"), row)),
        );
    }
    rows
}

fn order(n: usize) -> Document {
    let mut text = format!(
        "order: PO-{n}\nsupplier: s{}\ndate: 2026-03-02\npromised: 2026-03-20\nlines:\n",
        n % 20
    );
    for line in 1..=LINES {
        writeln!(text, "  - {{line: {line}, item: I-{line}, quantity: 20 sheet, unit_price: 94.00, grade: A, scale: hp1-face, size: 48 in x 96 in}}").unwrap();
    }
    Document {
        file: format!("orders/PO-{n}.yaml"),
        text,
    }
}

/// One line in eight is two sheets short.
fn receipt(n: usize) -> Document {
    let mut text = format!(
        "receipt: R-{n}\norder: PO-{n}\ndate: 2026-03-19\nby: dock\npacking_slip: \"{n}\"\nlines:\n"
    );
    for line in 1..=LINES {
        let came = if line == 3 { 18 } else { 20 };
        writeln!(text, "  - {{line: {line}, item: I-{line}, slip: 20 sheet, quantity: {came} sheet, grade: A, size: 48 in x 96 in}}").unwrap();
    }
    Document {
        file: format!("receipts/R-{n}.yaml"),
        text,
    }
}

fn checking(folder: &Path) {
    let demo = folder.join("demo");
    let program = env!("CARGO_BIN_EXE_asordered");
    run(program, &["demo", demo.to_str().unwrap()]);
    let shop = demo.to_str().unwrap();
    run(
        program,
        &[
            "--shop",
            shop,
            "order",
            "add",
            &demo.join("orders/PO-2107.yaml").display().to_string(),
        ],
    );
    run(
        program,
        &[
            "--shop",
            shop,
            "receive",
            "PO-2107",
            &demo.join("receipts/RG-311.yaml").display().to_string(),
        ],
    );
    let big = folder.join("big.db");
    fill(&big);
    let small = time(program, &["--shop", shop, "check", "PO-2107"]);
    // The same order, recorded into the large book too.
    let in_big = |arguments: &[&str]| {
        let mut all = vec!["--shop", shop, "--book", big.to_str().unwrap()];
        all.extend(arguments);
        run(program, &all);
    };
    in_big(&[
        "order",
        "add",
        &demo.join("orders/PO-2107.yaml").display().to_string(),
    ]);
    in_big(&[
        "receive",
        "PO-2107",
        &demo.join("receipts/RG-311.yaml").display().to_string(),
    ]);
    let large = time(
        program,
        &[
            "--shop",
            shop,
            "--book",
            big.to_str().unwrap(),
            "check",
            "PO-2107",
        ],
    );
    println!(
        "check PO, whole process: {:.2} ms in the demo book, {:.2} ms in a book of 1,000,000 receipt lines ({} MB): {:.2} times",
        small.as_secs_f64() * 1e3,
        large.as_secs_f64() * 1e3,
        std::fs::metadata(&big).unwrap().len() / 1_000_000,
        large.as_secs_f64() / small.as_secs_f64()
    );
}

/// Makes a book of 25,000 orders with five receipts of eight lines each, straight in SQL.
fn fill(file: &PathBuf) {
    let mut book = Book::write(file).unwrap();
    book.add_orders(&[(order(0), Terms::default())], false, chrono::Utc::now())
        .unwrap();
    drop(book);
    let connection = Connection::open(file).unwrap();
    connection
        .execute_batch(
            "PRAGMA synchronous = off;
             BEGIN;
             CREATE TEMP TABLE n AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 25000) SELECT i FROM n;
             CREATE TEMP TABLE r AS WITH RECURSIVE r(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM r WHERE i < 125000) SELECT i FROM r;
             CREATE TEMP TABLE l AS WITH RECURSIVE l(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM l WHERE i < 8) SELECT i FROM l;
             INSERT INTO documents (id, kind, number, file, sha256, text, recorded)
               SELECT 1000 + i, 'order', 'B-' || i, 'o', printf('%064d', i), replace((SELECT text FROM documents WHERE kind = 'order' LIMIT 1), 'PO-0', 'B-' || i), '2026-03-02T10:00:00Z' FROM n;
             INSERT INTO orders (id, number, supplier_id, date, promised, currency, document, as_ordered, complete, claimable, waiting, recorded)
               SELECT 1000 + i, 'B-' || i, 1, '2026-03-02', '2026-03-20', 'USD', 1000 + i, 1, 1, 0, 0, '2026-03-02T10:00:00Z' FROM n;
             INSERT INTO order_lines (id, order_id, place, line, item, unit, ordered, sets_ordered, sets_filled)
               SELECT 100000 + n.i * 8 + l.i, 1000 + n.i, l.i, l.i, 'I-' || l.i, 'sheet', '20', 0, 0 FROM n, l;
             INSERT INTO documents (id, kind, number, file, sha256, text, recorded)
               SELECT 100000 + i, 'receipt', 'S-' || i, 'r', printf('%064d', i), printf('receipt: S-%d%s%.600c', i, char(10), '#'), '2026-03-19T10:00:00Z' FROM r;
             INSERT INTO receipts (id, number, order_id, supplier_id, month, date, on_time, as_ordered, document, recorded)
               SELECT 1000 + i, 'S-' || i, 1001 + (i - 1) / 5, 1, 202603, '2026-03-19', 1, 1, 100000 + i, '2026-03-19T10:00:00Z' FROM r;
             INSERT INTO receipt_lines (supplier_id, month, unit, as_ordered, arrived_u, rejected_u, receipt_id, place, order_line_id, item)
               SELECT 1, 202601 + r.i % 12, 'sheet', 1, 4000000, 0, 1000 + r.i, l.i, 100000 + (1 + (r.i - 1) / 5) * 8 + l.i, 'I-' || l.i FROM r, l;
             INSERT INTO journal (at, what, subject, order_id, document, detail)
               SELECT '2026-03-19T10:00:00Z', 'receipt added', 'S-' || i, 1001 + (i - 1) / 5, 100000 + i, '' FROM r;
             COMMIT;
             PRAGMA wal_checkpoint(TRUNCATE);",
        )
        .unwrap();
    let lines: i64 = connection
        .query_row("SELECT count(*) FROM receipt_lines", [], |row| row.get(0))
        .unwrap();
    println!("filled a book with {lines} receipt lines");
}

fn run(program: &str, arguments: &[&str]) {
    let ended = Command::new(program)
        .args(arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    // 1 is an answer too: not as ordered.
    if !matches!(ended.code(), Some(0 | 1)) {
        println!("{arguments:?} ended with {ended}");
    }
}

/// Returns the median of 101 runs.
fn time(program: &str, arguments: &[&str]) -> Duration {
    let mut took: Vec<Duration> = (0..101)
        .map(|_| {
            let start = Instant::now();
            run(program, arguments);
            start.elapsed()
        })
        .collect();
    took.sort_unstable();
    took[took.len() / 2]
}
