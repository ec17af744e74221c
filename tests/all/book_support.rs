//! A shop of its own for a test of the book. Judges nothing.

use asordered::book::Book;
use asordered::book::document::Document;
use asordered::book::record::Terms;
use chrono::{DateTime, NaiveDate, Utc};
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

pub const SHOP: &str = "name: Test Shop\naddress: [1 Test Lane]\nsigns: {name: T. Ester}\ncurrency: USD\n\
    holidays: [2026-03-23]\n";
pub const SUPPLIER: &str = "supplier: s\nname: Sawdust Supply\naddress: [2 Sawdust Road]\n\
    contact: {email: s@sawdust.example}\nnotice: {visible: 2 business days, shortage: 2 business days}\n";

pub struct Shop {
    folder: TempDir,
}

impl Shop {
    /// A shop with one supplier and no book yet.
    pub fn new() -> Self {
        let shop = Shop {
            folder: TempDir::new().unwrap(),
        };
        shop.put("shop.yaml", SHOP);
        shop.put("suppliers/s.yaml", SUPPLIER);
        shop
    }

    /// A shop whose book has order `PO-1`: 30 sheets of MDF on line 1, 10 of oak at grade A on line 2.
    pub fn with_order() -> Self {
        let shop = Shop::new();
        shop.put("orders/PO-1.yaml", order("PO-1"));
        shop.good(&["order", "add", "orders/PO-1.yaml"]);
        shop
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn put(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.file(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        path
    }

    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_asordered"));
        // Papers of the tests are of March 2026; whatever day it is, none of them lies after today.
        let records = ["receive", "claim", "invoice"].contains(&args[0]) || args.contains(&"add");
        if records && !args.contains(&"--today") {
            command.args(["--today", "2026-12-31"]);
        }
        command
            .args(args)
            .current_dir(self.path())
            .env_remove("ASORDERED_BOOK")
            .env_remove("VISUAL")
            .env_remove("EDITOR")
            .stdin(Stdio::null());
        command
    }

    pub fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Runs, expects exit 0 and returns the output.
    pub fn good(&self, args: &[&str]) -> String {
        self.ends(0, args)
    }

    /// Runs, expects an exit status and returns the output, for status 2 the errors.
    pub fn ends(&self, status: i32, args: &[&str]) -> String {
        let output = self.run(args);
        let errors = String::from_utf8(output.stderr).unwrap();
        let out = String::from_utf8(output.stdout).unwrap();
        assert_eq!(
            output.status.code(),
            Some(status),
            "{args:?}\n{out}{errors}"
        );
        if status == 2 { errors } else { out }
    }

    pub fn json(&self, status: i32, args: &[&str]) -> serde_json::Value {
        let mut all = args.to_vec();
        all.push("--json");
        serde_json::from_str(&self.ends(status, &all)).unwrap()
    }

    pub fn book(&self) -> Book {
        Book::write(&self.file("asordered.db")).unwrap()
    }

    /// Verifies with the library; returns what is wrong.
    pub fn wrong(&self) -> Vec<String> {
        Book::read(&self.file("asordered.db"))
            .unwrap()
            .verify(&mut |_, _| ())
            .unwrap()
            .wrong
    }

    /// Records a receipt with the library.
    pub fn receive(&self, text: &str, replace: bool) -> asordered::book::record::Outcome {
        self.book()
            .add_receipt(
                None,
                &document("r.yaml", text),
                &Terms::default(),
                &[],
                replace,
                now(),
            )
            .unwrap()
    }
}

/// A photograph: a PNG that another program made.
pub fn picture() -> Vec<u8> {
    std::fs::read(crate::support::root().join("tests/python/crate.png")).unwrap()
}

pub fn now() -> DateTime<Utc> {
    "2026-03-20T15:00:00Z".parse().unwrap()
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn document(file: &str, text: &str) -> Document {
    Document {
        file: file.to_owned(),
        text: text.to_owned(),
    }
}

pub fn order(number: &str) -> String {
    format!(
        "order: {number}\nsupplier: s\ndate: 2026-03-02\npromised: 2026-03-20\ncurrency: USD\nlines:\n  \
         - {{line: 1, item: MDF, quantity: 30 sheet, unit_price: 10.00}}\n  \
         - {{line: 2, item: OAK, quantity: 10 sheet, unit_price: 50.00, grade: A, scale: hp1-face}}\n"
    )
}

/// A receipt of `PO-1` on a day of March 2026; a count of 0 leaves the line out.
pub fn receipt(number: &str, day: u32, mdf: u32, oak: u32, grade: &str) -> String {
    let mut text = format!("receipt: {number}\norder: PO-1\ndate: 2026-03-{day:02}\nlines:\n");
    if mdf > 0 {
        text.push_str(&format!(
            "  - {{line: 1, item: MDF, quantity: {mdf} sheet}}\n"
        ));
    }
    if oak > 0 {
        text.push_str(&format!(
            "  - {{line: 2, item: OAK, quantity: {oak} sheet, grade: {grade}}}\n"
        ));
    }
    text
}
