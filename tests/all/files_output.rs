//! What is written takes the place of nothing but an earlier output.

use crate::book_support::{SHOP, Shop, receipt};
use crate::support::Run;
use std::os::unix::fs::{FileTypeExt, symlink};
use std::process::{Command, Stdio};

fn shop() -> Shop {
    let shop = Shop::with_order();
    shop.put("receipts/R-1.yaml", receipt("R-1", 19, 25, 8, "B"));
    shop.ends(1, &["receive", "PO-1", "receipts/R-1.yaml"]);
    shop
}

/// Every file of a folder, with its content.
fn all(shop: &Shop) -> Vec<(String, Vec<u8>)> {
    let mut out = Vec::new();
    let mut folders = vec![shop.path().to_path_buf()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path
                .strip_prefix(shop.path())
                .unwrap()
                .display()
                .to_string();
            if path.is_dir() {
                folders.push(path);
            } else if !name.starts_with("asordered.db-") {
                out.push((name, std::fs::read(&path).unwrap()));
            }
        }
    }
    out.sort();
    out
}

const CHECK: [&str; 3] = ["check", "orders/PO-1.yaml", "receipts/R-1.yaml"];

#[test]
fn an_input_the_book_and_the_files_of_the_shop_are_never_written_over() {
    let shop = shop();
    symlink("orders", shop.file("same")).unwrap();
    std::fs::create_dir(shop.file("photos")).unwrap();
    let before = all(&shop);
    let whole = shop.file("orders/PO-1.yaml").display().to_string();
    for place in [
        "orders/PO-1.yaml",
        "./orders/../orders/PO-1.yaml",
        "same/PO-1.yaml",
        &whole,
        "receipts/R-1.yaml",
        "suppliers/s.yaml",
        "shop.yaml",
        "asordered.db",
        "asordered.db-wal",
        "receipts/new.html",
        "photos/new.html",
    ] {
        for option in ["--html", "--letter"] {
            let mut args = CHECK.to_vec();
            args.extend([option, place]);
            let errors = shop.ends(2, &args);
            assert!(
                errors.contains(&format!("{option} cannot be `{place}`")),
                "{errors}"
            );
        }
        for args in [
            &["due", "--today", "2026-03-23", "--ics", place][..],
            &["tag", "PO-1", "--html", place],
            &["review", "--today", "2026-04-02", "--html", place],
            &["review", "--today", "2026-04-02", "--csv", place],
            &[
                "review",
                "letter",
                "s",
                "--today",
                "2026-04-02",
                "--html",
                place,
            ],
            &["backup", place],
        ] {
            let errors = shop.ends(2, args);
            assert!(
                errors.contains(&format!("cannot be `{place}`")),
                "{args:?}: {errors}"
            );
        }
        assert_eq!(all(&shop), before, "{place}");
    }
    // Lone files have no shop, and are inputs all the same.
    let order = crate::book_support::order("PO-1");
    for place in ["o.yaml", "r.yaml"] {
        let run = Run::new(&["check", "o.yaml", "r.yaml", "--html", place])
            .file("o.yaml", &order)
            .file("r.yaml", receipt("R-1", 19, 30, 10, "A"));
        let output = run.output();
        assert_eq!(
            (
                output.status,
                output.stdout.as_str(),
                output.stderr.as_str()
            ),
            (
                2,
                "",
                &*format!(
                    "error: --html cannot be `{place}`: this command reads it\n  hint: name another file; nothing was written\n"
                )
            )
        );
    }
}

#[test]
fn two_outputs_do_not_share_a_place() {
    let shop = shop();
    for (letter, html) in [
        ("out", "out"),
        ("out", "./out"),
        ("/dev/stdout", "/dev/stdout"),
    ] {
        let mut args = CHECK.to_vec();
        args.extend(["--letter", letter, "--html", html]);
        let errors = shop.ends(2, &args);
        assert!(errors.contains("--letter is written there"), "{errors}");
        assert!(!shop.file("out").exists());
    }
    let mut args = CHECK.to_vec();
    args.extend(["--letter", "letter.txt", "--html", "page.html"]);
    shop.ends(1, &args);
    // Again: an earlier output is replaced.
    shop.ends(1, &args);
    assert!(shop.file("letter.txt").is_file() && shop.file("page.html").is_file());
}

#[test]
fn a_file_beside_is_never_written_through() {
    let shop = shop();
    shop.put("page.html.part", b"mine");
    let mut args = CHECK.to_vec();
    args.extend(["--html", "page.html"]);
    shop.ends(1, &args);
    assert_eq!(std::fs::read(shop.file("page.html.part")).unwrap(), b"mine");
    let left: Vec<String> = all(&shop)
        .into_iter()
        .map(|(name, _)| name)
        .filter(|name| name.contains("asordered-"))
        .collect();
    assert_eq!(left, Vec::<String>::new());
}

#[test]
fn a_link_is_not_written_through_and_not_replaced() {
    let shop = shop();
    shop.put("kept.txt", b"mine");
    symlink("kept.txt", shop.file("link")).unwrap();
    symlink("nowhere", shop.file("dangling")).unwrap();
    for link in ["link", "dangling"] {
        for args in [
            &["due", "--today", "2026-03-23", "--ics", link][..],
            &["backup", link],
        ] {
            let errors = shop.ends(2, args);
            assert!(errors.contains(&format!("`{link}` is ")), "{errors}");
            assert!(shop.file(link).is_symlink());
        }
    }
    assert_eq!(std::fs::read(shop.file("kept.txt")).unwrap(), b"mine");
    assert!(!shop.file("nowhere").exists());
}

#[test]
fn a_pipe_and_a_device_are_written_to_and_stay() {
    let shop = shop();
    let made = Command::new("mkfifo").arg(shop.file("pipe")).status();
    if made.is_ok_and(|status| status.success()) {
        let reader = Command::new("cat")
            .arg(shop.file("pipe"))
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        shop.good(&["due", "--today", "2026-03-23", "--ics", "pipe"]);
        let read = reader.wait_with_output().unwrap().stdout;
        assert!(read.starts_with(b"BEGIN:VCALENDAR"));
        assert!(
            std::fs::symlink_metadata(shop.file("pipe"))
                .unwrap()
                .file_type()
                .is_fifo()
        );
        let errors = shop.ends(2, &["backup", "pipe"]);
        assert!(errors.contains("is no file"), "{errors}");
    } else {
        println!("skipped: no mkfifo here");
    }
    let out = shop.good(&["due", "--today", "2026-03-23", "--ics", "/dev/stdout"]);
    assert!(out.starts_with("BEGIN:VCALENDAR"), "{out}");
    shop.good(&["due", "--today", "2026-03-23", "--ics", "/dev/null"]);
    assert!(
        std::fs::symlink_metadata("/dev/null")
            .unwrap()
            .file_type()
            .is_char_device()
    );
    let errors = shop.ends(2, &["due", "--today", "2026-03-23", "--ics", "/dev/full"]);
    assert!(errors.contains("cannot write `/dev/full`"), "{errors}");
    let errors = shop.ends(2, &["due", "--today", "2026-03-23", "--ics", "orders/.."]);
    assert!(errors.contains("is no file"), "{errors}");
}

#[test]
fn a_link_that_leads_nowhere_is_no_place_for_a_book() {
    let shop = Shop::new();
    shop.put("o.yaml", crate::book_support::order("PO-1"));
    symlink("unplugged/disk.db", shop.file("book.db")).unwrap();
    let errors = shop.ends(2, &["--book", "book.db", "order", "add", "o.yaml"]);
    assert!(
        errors.contains("`book.db` is a link that leads nowhere"),
        "{errors}"
    );
    assert!(shop.file("book.db").is_symlink());
    // A link to a book is one.
    shop.good(&["--book", "real.db", "order", "add", "o.yaml"]);
    std::fs::remove_file(shop.file("book.db")).unwrap();
    symlink("real.db", shop.file("book.db")).unwrap();
    shop.good(&["--book", "book.db", "order", "add", "o.yaml"]);
    assert!(shop.file("book.db").is_symlink());
}

#[test]
fn marks_in_the_name_of_a_file_do_not_reach_the_terminal() {
    let shop = Shop::new();
    shop.put("shop.yaml", SHOP);
    let name = "a\u{1b}[2J\nerror: b\u{202e}lmay.\u{200b}yaml";
    for missing in [false, true] {
        if !missing {
            shop.put(name, "order: PO-1\n");
        } else {
            std::fs::remove_file(shop.file(name)).unwrap();
        }
        let errors = shop.ends(2, &["order", "add", name]);
        assert!(
            errors.contains("a\u{fffd}[2J\u{fffd}error: b\u{fffd}lmay.\u{fffd}yaml"),
            "{errors}"
        );
        assert!(
            !errors.contains(['\u{1b}', '\u{202e}', '\u{200b}']),
            "{errors}"
        );
        assert!(!errors.contains("\nerror: b"), "{errors}");
    }
}
