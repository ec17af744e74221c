//! Nothing is lost: kills, two writers, full and read-only disks, files that are no books.

use crate::book_support::{Shop, day, document, now, order, receipt};
use asordered::book::Book;
use asordered::book::claims::{AnswerKind, TheirAnswer};
use asordered::book::message::{Intent, SendResult};
use asordered::book::record::Terms;
use asordered::claim::cycle::{State, Step};
use rusqlite::Connection;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// A xorshift generator: the same points every time the seed is the same.
struct Dice(u64);

impl Dice {
    fn below(&mut self, many: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % many
    }
}

fn is_root() -> bool {
    Command::new("id")
        .arg("-u")
        .output()
        .is_ok_and(|output| output.stdout == b"0\n")
}

fn numbers(shop: &Shop, sql: &str) -> Vec<String> {
    Connection::open(shop.file("asordered.db"))
        .unwrap()
        .prepare(sql)
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap()
}

/// Two hundred times a command is killed at a random moment, from before it opens the book to after it is done. Every
/// command that ended by itself is in the book; every one that was killed is there whole or not at all.
#[test]
fn a_kill_at_any_moment_loses_nothing_that_was_acknowledged() {
    let shop = Shop::new();
    let mut dice = Dice(0x5eed_0dd5);
    let mut acknowledged: Vec<String> = Vec::new();
    let mut killed = 0;
    // How long each of the four commands takes here; the first four runs tell, and are not killed.
    let mut takes = [Duration::ZERO; 4];
    for round in 0..204_u64 {
        let number = format!("PO-{}", round / 4);
        let receipt = receipt(&format!("R-{round}"), 19, 20, 5, "B").replace("PO-1", &number);
        // Each order goes through its life: added, received, claimed; then the claim is settled.
        let (args, mark): (Vec<String>, String) = match round % 4 {
            0 => {
                shop.put("o.yaml", order(&number));
                (
                    words(&["order", "add", "o.yaml"]),
                    format!("order {number}"),
                )
            }
            1 => {
                add_if_missing(&shop, &number);
                shop.put("r.yaml", &receipt);
                (
                    words(&["receive", &number, "r.yaml"]),
                    format!("receipt R-{round}"),
                )
            }
            2 => {
                receive_if_missing(&shop, &number, round - 1);
                (
                    words(&["claim", "draft", &number]),
                    format!("claim {number}-C1"),
                )
            }
            _ => {
                draft_if_missing(&shop, &number);
                mark_sent(&shop, &format!("{number}-C1"));
                let claim = format!("{number}-C1");
                (
                    words(&["claim", "settle", &claim, "--credit", "1.00"]),
                    format!("settled {claim}"),
                )
            }
        };
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let take = &mut takes[usize::try_from(round % 4).unwrap()];
        let start = Instant::now();
        let mut child = shop
            .command(&args)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let ended = if round < 4 {
            let ended = child.wait().unwrap();
            *take = start.elapsed();
            ended
        } else {
            let most = u64::try_from(take.as_micros()).unwrap() * 6 / 5;
            std::thread::sleep(Duration::from_micros(dice.below(most)));
            // It may be gone already.
            let _ = child.kill();
            child.wait().unwrap()
        };
        match ended.code() {
            Some(0 | 1) => acknowledged.push(mark),
            Some(other) => panic!("{args:?} ended with {other}"),
            None => killed += 1,
        }
        if round % 20 == 3 {
            assert_eq!(shop.wrong(), Vec::<String>::new(), "after {args:?}");
        }
    }
    println!(
        "{killed} of 200 were killed before their end, {} acknowledged",
        acknowledged.len()
    );
    assert!(
        killed >= 40 && acknowledged.len() >= 10,
        "the points are not spread: {killed} killed"
    );
    let mut there = numbers(&shop, "SELECT 'order ' || number FROM orders");
    there.extend(numbers(&shop, "SELECT 'receipt ' || number FROM receipts"));
    there.extend(numbers(&shop, "SELECT 'claim ' || number FROM claims"));
    there.extend(numbers(
        &shop,
        "SELECT 'settled ' || c.number FROM claims c JOIN settlements s ON s.claim_id = c.id",
    ));
    for mark in &acknowledged {
        assert!(there.contains(mark), "{mark} was acknowledged and is lost");
    }
    // No half record: every receipt has its two lots, every claim its letter, every record its entry in the journal.
    for sql in [
        "SELECT number FROM receipts r WHERE (SELECT count(*) FROM receipt_lines l WHERE l.receipt_id = r.id) <> 2",
        "SELECT number FROM claims c WHERE (SELECT count(*) FROM letters l WHERE l.claim_id = c.id) <> 1",
        "SELECT number FROM orders o WHERE (SELECT count(*) FROM order_lines l WHERE l.order_id = o.id) <> 2",
        "SELECT number FROM receipts r WHERE NOT EXISTS (SELECT 1 FROM journal WHERE subject = r.number)",
        "SELECT number FROM claims c WHERE NOT EXISTS (SELECT 1 FROM journal WHERE subject = c.number)",
    ] {
        assert_eq!(numbers(&shop, sql), Vec::<String>::new(), "{sql}");
    }
}

fn words(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}

fn add_if_missing(shop: &Shop, number: &str) {
    shop.book()
        .add_orders(&[(document("o", &order(number)), terms())], false, now())
        .unwrap();
}

fn terms() -> Terms {
    Terms {
        supplier: Some(document("s", crate::book_support::SUPPLIER)),
        shop: Some(document("shop", crate::book_support::SHOP)),
    }
}

fn receive_if_missing(shop: &Shop, number: &str, round: u64) {
    add_if_missing(shop, number);
    let text = receipt(&format!("R-{round}"), 19, 20, 5, "B").replace("PO-1", number);
    shop.book()
        .add_receipt(
            None,
            &document("r", &text),
            &Terms::default(),
            &[],
            false,
            now(),
        )
        .unwrap();
}

fn draft_if_missing(shop: &Shop, number: &str) {
    if shop.book().claim(&format!("{number}-C1")).is_err() {
        shop.good(&["claim", "draft", number]);
    }
}

fn mark_sent(shop: &Shop, claim: &str) {
    let mut book = shop.book();
    let kept = book.claim(claim).unwrap();
    if kept.state != State::Drafted {
        return;
    }
    let letter = book.letter(&kept, None).unwrap().id;
    let intent = Intent {
        letter,
        message_id: "<x>",
        recipients: &[],
        bytes: b"",
        again: false,
    };
    let message = book.intend(claim, Step::Send, &intent, now()).unwrap();
    book.ended(
        message,
        SendResult::Sent,
        "",
        day("2026-03-20"),
        None,
        now(),
    )
    .unwrap();
}

/// Two programs write at once, 500 receipts each, into the same orders.
#[test]
fn two_writers_lose_and_double_nothing() {
    const EACH: usize = 500;
    let shop = Shop::new();
    let orders: Vec<_> = (0..100)
        .map(|n| (document("o", &order(&format!("PO-{n}"))), Terms::default()))
        .collect();
    shop.book().add_orders(&orders, false, now()).unwrap();
    let path = shop.file("asordered.db");
    std::thread::scope(|scope| {
        for writer in 0..2 {
            let path = path.clone();
            scope.spawn(move || {
                let mut book = Book::write(&path).unwrap();
                for n in 0..EACH {
                    let text = receipt(&format!("W{writer}-{n}"), 19, 1, 0, "A")
                        .replace("PO-1", &format!("PO-{}", n % 100));
                    book.add_receipt(
                        None,
                        &document("r", &text),
                        &Terms::default(),
                        &[],
                        false,
                        now(),
                    )
                    .unwrap();
                }
            });
        }
        // A reader looks on meanwhile and always sees whole receipts.
        let path = path.clone();
        scope.spawn(move || {
            for _ in 0..50 {
                let book = Book::read(&path).unwrap();
                let (receipts, lines): (i64, i64) = book
                    .connection()
                    .query_row("SELECT (SELECT count(*) FROM receipts), (SELECT count(*) FROM receipt_lines)", [], |row| {
                        Ok((row.get(0)?, row.get(1)?))
                    })
                    .unwrap();
                assert_eq!(receipts, lines);
                std::thread::sleep(Duration::from_millis(5));
            }
        });
    });
    let mut found = numbers(&shop, "SELECT number FROM receipts");
    assert_eq!(found.len(), 2 * EACH);
    found.sort();
    found.dedup();
    assert_eq!(found.len(), 2 * EACH);
    assert_eq!(
        numbers(
            &shop,
            "SELECT subject FROM journal WHERE what = 'receipt added'"
        )
        .len(),
        2 * EACH
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
}

/// Programs that draft the same claim at once: one drafts it, the others find it there.
#[test]
fn a_claim_is_drafted_once_however_many_draft_it() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 20, 5, "B"), false);
    let children: Vec<_> = (0..6)
        .map(|_| {
            shop.command(&["claim", "draft", "PO-1", "--today", "2026-03-20"])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(matches!(child.wait().unwrap().code(), Some(0 | 2)));
    }
    assert_eq!(numbers(&shop, "SELECT number FROM claims"), ["PO-1-C1"]);
}

#[test]
fn two_programs_that_make_the_book_at_once_make_one() {
    let shop = Shop::new();
    for n in 0..8 {
        shop.put(&format!("o{n}.yaml"), order(&format!("PO-{n}")));
    }
    let children: Vec<_> = (0..8)
        .map(|n| {
            shop.command(&["order", "add", &format!("o{n}.yaml")])
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    assert_eq!(numbers(&shop, "SELECT number FROM orders").len(), 8);
    assert_eq!(shop.wrong(), Vec::<String>::new());
    let left: Vec<_> = std::fs::read_dir(shop.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.contains(".new-"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
}

/// A file system of 1 MB in memory, where we may mount one.
struct SmallDisk<'a>(&'a Path);

impl<'a> SmallDisk<'a> {
    fn mount(at: &'a Path, options: &str) -> Option<Self> {
        std::fs::create_dir_all(at).unwrap();
        let mounted = Command::new("mount")
            .args(["-t", "tmpfs", "-o", options, "tmpfs"])
            .arg(at)
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|status| status.success());
        mounted.then_some(SmallDisk(at))
    }
}

impl Drop for SmallDisk<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0).status();
    }
}

#[test]
fn a_full_disk_is_told_and_the_book_stays_whole() {
    let shop = Shop::new();
    let place = shop.file("small");
    let Some(_disk) = SmallDisk::mount(&place, "size=1m") else {
        println!("skipped: a small file system cannot be mounted here");
        return;
    };
    let book = place.join("book.db");
    let name = book.to_str().unwrap();
    shop.put("o.yaml", order("PO-1"));
    shop.good(&["--book", name, "order", "add", "o.yaml"]);
    let mut recorded = 0;
    let errors = loop {
        let text = receipt(&format!("R-{recorded}"), 19, 1, 0, "A")
            + &format!("# {}\n", "x".repeat(20_000));
        shop.put("r.yaml", text);
        let output = shop.run(&["--book", name, "receive", "PO-1", "r.yaml"]);
        if output.status.code() == Some(2) {
            break String::from_utf8(output.stderr).unwrap();
        }
        recorded += 1;
        assert!(recorded < 200, "the disk does not fill");
    };
    assert!(
        errors.contains("the disk that holds the book is full")
            || errors.contains("the disk that holds the book refused"),
        "{errors}"
    );
    assert!(errors.contains("hint: "), "{errors}");
    let count: i64 = Connection::open(&book)
        .unwrap()
        .query_row("SELECT count(*) FROM receipts", [], |row| row.get(0))
        .unwrap();
    assert_eq!(count, recorded);
    shop.good(&["--book", name, "verify"]);
}

/// The same where nothing can be mounted: files may not grow past a limit.
#[test]
fn a_file_that_may_not_grow_is_told_and_the_book_stays_whole() {
    let shop = Shop::with_order();
    shop.put(
        "r.yaml",
        receipt("R-1", 19, 30, 10, "A") + &format!("# {}\n", "x".repeat(900_000)),
    );
    let program = env!("CARGO_BIN_EXE_asordered");
    // The shell's limit is in blocks of 512 or 1024 bytes; the signal is ignored so that the write itself fails.
    let script = format!("trap '' XFSZ; ulimit -f 600; exec {program} receive PO-1 r.yaml");
    let output = Command::new("sh")
        .args(["-c", &script])
        .current_dir(shop.path())
        .output()
        .unwrap();
    let errors = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{errors}");
    assert!(
        errors.starts_with("error: the disk that holds the book"),
        "{errors}"
    );
    assert_eq!(
        numbers(&shop, "SELECT number FROM receipts"),
        Vec::<String>::new()
    );
    assert_eq!(shop.wrong(), Vec::<String>::new());
    shop.good(&["receive", "PO-1", "r.yaml"]);
}

#[test]
fn a_read_only_folder_can_be_read_and_says_why_it_cannot_be_written() {
    let shop = Shop::with_order();
    shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
    let place = shop.file("still");
    std::fs::create_dir_all(&place).unwrap();
    shop.good(&["backup", "still/asordered.db"]);
    let bound = is_root()
        && Command::new("sh")
            .args([
                "-c",
                "mount --bind \"$0\" \"$0\" && mount -o remount,bind,ro \"$0\"",
            ])
            .arg(&place)
            .stderr(Stdio::null())
            .status()
            .is_ok_and(|status| status.success());
    if !bound {
        println!("skipped: a read-only folder cannot be made here");
        return;
    }
    struct Unmount<'a>(&'a Path);
    impl Drop for Unmount<'_> {
        fn drop(&mut self) {
            let _ = Command::new("umount").arg(self.0).status();
        }
    }
    let _unmount = Unmount(&place);
    let name = "still/asordered.db";
    assert_eq!(
        shop.json(0, &["--book", name, "check", "PO-1"])["as_ordered"],
        true
    );
    shop.good(&["--book", name, "verify"]);
    shop.put("r.yaml", receipt("R-2", 20, 30, 10, "A"));
    let errors = shop.ends(2, &["--book", name, "receive", "PO-1", "r.yaml"]);
    assert!(
        errors.contains("read-only") || errors.contains("does not allow it"),
        "{errors}"
    );
    assert!(errors.contains("hint: "), "{errors}");
    let errors = shop.ends(
        2,
        &["--book", "still/new.db", "order", "add", "orders/PO-1.yaml"],
    );
    assert!(errors.contains("the disk is read-only"), "{errors}");
}

#[test]
fn what_is_no_book_is_refused_and_left_as_it_was() {
    let shop = Shop::new();
    shop.put("o.yaml", order("PO-1"));
    let other = shop.file("other.db");
    Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE t (a); INSERT INTO t VALUES (1);")
        .unwrap();
    let cases: Vec<(&str, Vec<u8>)> = vec![
        ("text", b"order: PO-1\n".to_vec()),
        ("long text", vec![b'x'; 100_000]),
        ("another program's database", std::fs::read(&other).unwrap()),
        ("nothing", Vec::new()),
    ];
    for (what, bytes) in cases {
        let file = shop.put("asordered.db", &bytes);
        for args in [
            &["order", "add", "o.yaml"][..],
            &["order", "list"],
            &["verify"],
            &["check", "PO-1"],
        ] {
            let errors = shop.ends(2, args);
            assert!(
                errors.contains("is not a book of asordered") || errors.contains("is empty"),
                "{what}, {args:?}: {errors}"
            );
            assert!(errors.contains("hint: "), "{errors}");
        }
        assert_eq!(std::fs::read(&file).unwrap(), bytes, "{what}");
    }
    let errors = shop.ends(2, &["--book", ".", "order", "list"]);
    assert!(errors.contains("is not a book"), "{errors}");
}

#[test]
fn a_book_cut_short_anywhere_is_refused_and_left_as_it_was() {
    let shop = Shop::with_order();
    for n in 0..20 {
        shop.receive(&receipt(&format!("R-{n}"), 19, 1, 0, "A"), false);
    }
    shop.good(&["backup", "whole.db"]);
    let whole = std::fs::read(shop.file("whole.db")).unwrap();
    shop.put("r.yaml", receipt("R-99", 20, 1, 0, "A"));
    for keep in [
        1,
        50,
        99,
        100,
        511,
        512,
        4_000,
        4_096,
        4_097,
        8_192,
        20_000,
        whole.len() / 2,
        whole.len() - 4_096,
        whole.len() - 1,
    ] {
        let cut = &whole[..keep];
        let file = shop.put("cut.db", cut);
        for args in [
            &["order", "list"][..],
            &["receive", "PO-1", "r.yaml"],
            &["check", "PO-1"],
        ] {
            let mut all = vec!["--book", "cut.db"];
            all.extend(args);
            let errors = shop.ends(2, &all);
            assert!(
                errors.contains("is not a book") || errors.contains("damaged or cut short"),
                "{keep} bytes, {args:?}: {errors}"
            );
        }
        let verified = shop.run(&["--book", "cut.db", "verify"]);
        assert!(
            matches!(verified.status.code(), Some(1 | 2)),
            "{keep} bytes"
        );
        assert_eq!(std::fs::read(&file).unwrap(), cut, "{keep} bytes");
        for notes in ["cut.db-wal", "cut.db-shm"] {
            let _ = std::fs::remove_file(shop.file(notes));
        }
    }
}

#[test]
fn a_newer_book_is_refused_kindly() {
    let shop = Shop::with_order();
    Connection::open(shop.file("asordered.db"))
        .unwrap()
        .pragma_update(None, "user_version", 7)
        .unwrap();
    for args in [
        &["order", "list"][..],
        &["order", "add", "orders/PO-1.yaml"],
    ] {
        assert_eq!(
            shop.ends(2, args),
            "error: the book `./asordered.db` is of a newer program: edition 7, this program knows up to 2\n  \
             hint: use the newer program; the book is unharmed\n"
        );
    }
}

#[test]
fn a_folder_that_is_no_shop_gets_no_book() {
    let shop = Shop::with_order();
    std::fs::create_dir(shop.file("elsewhere")).unwrap();
    let output = shop
        .command(&["order", "add", "../orders/PO-1.yaml"])
        .current_dir(shop.file("elsewhere"))
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(!shop.file("elsewhere/asordered.db").exists());
    let errors = shop.ends(2, &["--book", "none.db", "order", "list"]);
    assert!(
        errors.starts_with("error: there is no book at `none.db`"),
        "{errors}"
    );
}

#[test]
fn a_backup_opens_in_the_sqlite3_shell_with_all_its_rows() {
    let shop = Shop::with_order();
    for n in 0..10 {
        shop.receive(&receipt(&format!("R-{n}"), 19, 1, 0, "A"), false);
    }
    // Somebody else has the book open and is in the middle of writing.
    let mut writer = Connection::open(shop.file("asordered.db")).unwrap();
    let half = writer.transaction().unwrap();
    half.execute("UPDATE orders SET job = 'half'", []).unwrap();
    shop.good(&["backup", "copy.db"]);
    drop(half);
    shop.good(&["--book", "copy.db", "verify"]);
    let shell = Command::new("sqlite3")
        .arg(shop.file("copy.db"))
        .arg("PRAGMA integrity_check; SELECT count(*), sum(job IS NULL) FROM receipts, orders;")
        .output();
    match shell {
        Ok(output) => assert_eq!(String::from_utf8(output.stdout).unwrap(), "ok\n10|10\n"),
        Err(_) => println!("skipped: no sqlite3 shell here"),
    }
    let errors = shop.ends(2, &["backup", "asordered.db"]);
    assert!(errors.contains("is the book itself"), "{errors}");
    let errors = shop.ends(2, &["backup", "no/such/folder.db"]);
    assert!(errors.contains("cannot write"), "{errors}");
}

#[test]
fn verify_finds_what_was_changed_behind_its_back() {
    for (change, told) in [
        (
            "UPDATE receipt_lines SET rejected_u = 1000000 WHERE place = 1",
            "the lots of receipt `R-1`",
        ),
        (
            "UPDATE order_lines SET ordered = '31' WHERE line = '1'",
            "its lines",
        ),
        ("UPDATE orders SET as_ordered = 1", "its marks"),
        ("UPDATE orders SET promised = '2026-03-21'", "its head"),
        (
            "UPDATE receipts SET on_time = 0",
            "the marks of receipt `R-1`",
        ),
        (
            "UPDATE receipts SET date = '2026-03-18'",
            "the marks of receipt `R-1`",
        ),
        (
            "UPDATE findings SET cost_cents = 1",
            "the findings of its bills",
        ),
        ("UPDATE invoices SET total = '1.00'", "its invoices"),
        (
            "DELETE FROM findings WHERE receipt_id IS NULL",
            "the findings of its bills",
        ),
        (
            "DELETE FROM receipt_lines WHERE place = 2",
            "the lots of receipt `R-1`",
        ),
        (
            "DROP TRIGGER journal_is_kept_2; DELETE FROM journal WHERE id = 1",
            "a trigger is missing",
        ),
        (
            "DROP TRIGGER documents_are_kept_1; UPDATE documents SET text = text || ' '",
            "its hash differs",
        ),
        (
            "PRAGMA foreign_keys = off; UPDATE receipts SET order_id = 99",
            "that is not there",
        ),
    ] {
        let shop = Shop::with_order();
        shop.receive(&receipt("R-1", 19, 30, 10, "A"), false);
        shop.put(
            "I-1.yaml",
            "invoice: I-1\norder: PO-1\ndate: 2026-03-21\n\
             lines: [{line: 1, quantity: 30 sheet, unit_price: 10.50}]\ntotal: 315.00\n",
        );
        shop.good(&["invoice", "add", "I-1.yaml"]);
        shop.good(&["verify"]);
        Connection::open(shop.file("asordered.db"))
            .unwrap()
            .execute_batch(change)
            .unwrap();
        let wrong = shop.ends(1, &["verify"]);
        assert!(wrong.contains(told), "{change}: {wrong}");
    }
}

/// In time zones a day apart, and in the hours that a clock is put forward or back, the same dates come out.
#[test]
fn time_zones_move_stamps_and_no_dates() {
    let mut answers = Vec::new();
    for zone in [
        "UTC",
        "Pacific/Kiritimati",
        "Pacific/Pago_Pago",
        "America/New_York",
        "Australia/Lord_Howe",
    ] {
        let shop = Shop::with_order();
        // In the United States clocks were put forward on Sunday, March 8, and back on November 1.
        for (number, date) in [("R-1", "2026-03-08"), ("R-2", "2026-11-01")] {
            let text = receipt(number, 19, 5, 0, "A").replace("2026-03-19", date);
            shop.put("r.yaml", text);
            let output = shop
                .command(&["receive", "PO-1", "r.yaml", "--json"])
                .env("TZ", zone)
                .output()
                .unwrap();
            assert_eq!(output.status.code(), Some(1));
        }
        let due = shop
            .command(&["due", "--today", "2026-11-01", "--json"])
            .env("TZ", zone)
            .output()
            .unwrap();
        let dates = numbers(&shop, "SELECT date FROM receipts ORDER BY number");
        assert_eq!(dates, ["2026-03-08", "2026-11-01"]);
        assert!(
            numbers(&shop, "SELECT at FROM journal")
                .iter()
                .all(|at| at.ends_with('Z') && at.len() == 20)
        );
        answers.push(String::from_utf8(due.stdout).unwrap());
    }
    assert!(
        answers.windows(2).all(|pair| pair[0] == pair[1]),
        "{answers:#?}"
    );
}

/// The local date is the user's: at any moment two places of this earth have different ones.
#[test]
fn today_is_the_local_date() {
    let shop = Shop::with_order();
    let today = |zone: &str| {
        let output = shop
            .command(&["order", "list", "--json"])
            .env("TZ", zone)
            .output()
            .unwrap();
        let value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        value["today"].as_str().unwrap().to_owned()
    };
    // 26 hours lie between them.
    assert_ne!(today("Pacific/Kiritimati"), today("Etc/GMT+12"));
}

#[test]
fn an_answer_is_kept_with_its_day() {
    let shop = Shop::with_order();
    let text = receipt("R-1", 19, 20, 5, "B");
    shop.receive(&text, false);
    draft_if_missing(&shop, "PO-1");
    mark_sent(&shop, "PO-1-C1");
    let answer = TheirAnswer {
        date: day("2026-03-25"),
        kind: AnswerKind::Credit,
        by: Some(day("2026-04-10")),
        amount: Some(asordered::model::money::Money("12.50".parse().unwrap())),
        note: Some("next statement".to_owned()),
    };
    let mut book = shop.book();
    book.answer("PO-1-C1", &answer, now()).unwrap();
    let claim = book.claim("PO-1-C1").unwrap();
    assert_eq!(book.answers(&claim).unwrap(), [answer]);
}
