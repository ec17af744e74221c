//! Nothing but photographs is evidence, they lie in `photos/` alone, and no link leads out of the shop.

use crate::book_support::{Shop, picture, receipt};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

const MAIL: &str = "mail: {server: mail.shop.example, from: claims@shop.example, user: claims, password_command: 'pass show mail'}\n";

/// A receipt of 25 of the 30 sheets ordered, with photographs.
fn with_photos(photos: &str) -> String {
    receipt("R-1", 19, 25, 10, "A").replace(
        "quantity: 25 sheet",
        &format!("quantity: 25 sheet, photos: [{photos}]"),
    )
}

/// A shop that can write mail.
fn shop() -> Shop {
    let shop = Shop::with_order();
    shop.put("shop.yaml", format!("{}{MAIL}", crate::book_support::SHOP));
    shop
}

fn read(path: &Path) -> Vec<u8> {
    std::fs::read(path).unwrap()
}

#[track_caller]
fn refused(shop: &Shop, file: &str, told: &[&str]) {
    let errors = shop.ends(2, &["receive", "PO-1", file]);
    for told in told {
        assert!(errors.contains(told), "{told}: {errors}");
    }
    let listed = shop.json(0, &["order", "show", "PO-1"]);
    assert!(!listed.to_string().contains("R-1"), "{listed}");
}

#[test]
fn files_of_the_shop_are_no_photographs() {
    let shop = shop();
    for path in [
        "shop.yaml",
        "asordered.db",
        "suppliers/s.yaml",
        "templates/letter.txt.hbs",
        "photos",
        "photos/",
        "photos/../shop.yaml",
        "photos/./a.jpg",
        "photos//a.jpg",
        "photos/list.yaml",
        "photos/.jpg/..",
        "/etc/passwd",
        "Photos/a.jpg",
        "'photos\\a.jpg'",
    ] {
        shop.put("r.yaml", with_photos(path));
        refused(&shop, "r.yaml", &["r.yaml:5:", "expected a photograph as"]);
    }
}

#[test]
fn what_is_a_photograph_by_name_alone_is_refused_at_its_line() {
    let shop = shop();
    for content in [
        &b""[..],
        b"name: Test Shop\n",
        &read(&shop.file("asordered.db")),
    ] {
        shop.put("photos/a.jpg", content);
        shop.put("r.yaml", with_photos("photos/a.jpg"));
        refused(
            &shop,
            "r.yaml",
            &[
                "r.yaml:5:",
                "`photos/a.jpg` cannot be evidence: it is no photograph: its content is neither JPEG nor PNG",
            ],
        );
    }
}

#[test]
fn a_photograph_of_too_many_bytes_is_refused_before_it_is_read() {
    let shop = shop();
    let large = shop.put("photos/a.png", picture());
    // A hole takes no room on the disk, and 400 GB would never be read.
    std::fs::OpenOptions::new()
        .write(true)
        .open(&large)
        .unwrap()
        .set_len(400_000_000_000)
        .unwrap();
    shop.put("r.yaml", with_photos("photos/a.png"));
    refused(
        &shop,
        "r.yaml",
        &["has more than 25000000 bytes", "save it smaller"],
    );
}

#[test]
fn a_receipt_that_is_refused_copies_nothing_and_one_that_is_recorded_copies_into_photos_alone() {
    let shop = shop();
    shop.put("dock/photos/in/a.png", picture());
    let wrong = with_photos("photos/in/a.png").replace("line: 2, item: OAK", "line: 7, item: OAK");
    shop.put("dock/r.yaml", wrong);
    refused(&shop, "dock/r.yaml", &["no line `7`"]);
    assert!(!shop.file("photos").exists());
    shop.put("dock/suppliers/x.png", picture());
    shop.put("dock/r.yaml", with_photos("suppliers/x.png"));
    refused(&shop, "dock/r.yaml", &["expected a photograph as"]);
    assert!(!shop.file("suppliers/x.png").exists());

    shop.put("dock/r.yaml", with_photos("photos/in/a.png"));
    shop.ends(1, &["receive", "PO-1", "dock/r.yaml"]);
    assert_eq!(read(&shop.file("photos/in/a.png")), picture());
    // Lost after it was recorded, it comes back with the same command.
    std::fs::remove_file(shop.file("photos/in/a.png")).unwrap();
    shop.ends(1, &["receive", "PO-1", "dock/r.yaml"]);
    assert_eq!(read(&shop.file("photos/in/a.png")), picture());
    shop.good(&["verify"]);
}

#[test]
fn no_link_leads_a_photograph_in_or_out() {
    let shop = shop();
    let outside = tempfile::TempDir::new().unwrap();
    std::fs::write(outside.path().join("a.png"), picture()).unwrap();
    shop.put("photos/own.png", picture());
    symlink("/etc/passwd", shop.file("photos/link.jpg")).unwrap();
    symlink(outside.path().join("a.png"), shop.file("photos/a.png")).unwrap();
    symlink(outside.path(), shop.file("photos/far")).unwrap();
    symlink("nowhere.png", shop.file("photos/dangling.png")).unwrap();
    shop.put("dock/photos/x.png", b"");
    for name in [
        "link.jpg",
        "a.png",
        "far/a.png",
        "far/new.png",
        "dangling.png",
    ] {
        shop.put("dock/r.yaml", with_photos(&format!("photos/{name}")));
        refused(
            &shop,
            "dock/r.yaml",
            &["dock/r.yaml:5:", "is a link, expected"],
        );
    }
    // Nor a link beside the receipt.
    symlink("/etc/passwd", shop.file("dock/photos/p.png")).unwrap();
    shop.put("dock/r.yaml", with_photos("photos/p.png"));
    refused(&shop, "dock/r.yaml", &["dock/photos/p.png` is a link"]);
    // Nor where the whole folder is one.
    std::fs::rename(shop.file("photos"), outside.path().join("photos")).unwrap();
    symlink(outside.path().join("photos"), shop.file("photos")).unwrap();
    shop.put("dock/photos/new.png", picture());
    shop.put("dock/r.yaml", with_photos("photos/new.png"));
    refused(
        &shop,
        "dock/r.yaml",
        &["`photos` is a link, expected a folder"],
    );
    assert!(!outside.path().join("photos/new.png").exists());
    assert!(!outside.path().join("new.png").exists());
}

#[test]
fn evidence_recorded_before_that_is_no_photograph_does_not_leave_the_shop() {
    let shop = shop();
    shop.put("photos/a.png", picture());
    shop.put("r.yaml", with_photos("photos/a.png"));
    shop.ends(1, &["receive", "PO-1", "r.yaml"]);
    let change = |path: &str| {
        let hash = asordered::book::document::sha256(&read(&shop.file(path)));
        rusqlite::Connection::open(shop.file("asordered.db"))
            .unwrap()
            .execute(
                "UPDATE evidence SET path = ?1, sha256 = ?2",
                [path, hash.as_str()],
            )
            .unwrap();
    };
    shop.put("photos/b.png", read(&shop.file("shop.yaml")));
    change("shop.yaml");
    shop.good(&["claim", "draft", "PO-1", "--today", "2026-03-20"]);
    for (path, told) in [
        ("shop.yaml", "so it does not leave the shop"),
        ("photos/b.png", "its content is neither JPEG nor PNG"),
    ] {
        change(path);
        let errors = shop.ends(
            2,
            &[
                "claim",
                "send",
                "PO-1-C1",
                "--to-folder",
                "out",
                "--yes",
                "--today",
                "2026-03-20",
            ],
        );
        assert!(errors.contains(told), "{errors}");
        for written in ["out", "claims/PO-1-C1/letter.eml"] {
            assert!(!shop.file(written).exists(), "{written}");
        }
    }
    change("photos/a.png");
    shop.good(&[
        "claim",
        "send",
        "PO-1-C1",
        "--to-folder",
        "out",
        "--yes",
        "--today",
        "2026-03-20",
    ]);
}

#[test]
fn papers_of_a_claim_are_written_through_no_link() {
    let shop = shop();
    let outside = tempfile::TempDir::new().unwrap();
    shop.put("r.yaml", receipt("R-1", 19, 25, 10, "A"));
    shop.ends(1, &["receive", "PO-1", "r.yaml"]);
    symlink(outside.path(), shop.file("claims")).unwrap();
    let draft = ["claim", "draft", "PO-1", "--today", "2026-03-20"];
    let errors = shop.ends(2, &draft);
    assert!(errors.contains("`claims` is a link"), "{errors}");
    assert_eq!(std::fs::read_dir(outside.path()).unwrap().count(), 0);
    let list = shop.json(0, &["claim", "list", "--all"]);
    assert_eq!(list["claims"].as_array().unwrap().len(), 0, "{list}");

    std::fs::remove_file(shop.file("claims")).unwrap();
    shop.good(&draft);
    let secret = outside.path().join("secret");
    std::fs::write(&secret, b"secret").unwrap();
    for name in ["letter.txt", "letter.eml"] {
        let paper = shop.file(&format!("claims/PO-1-C1/{name}"));
        let kept = read(&paper);
        std::fs::remove_file(&paper).unwrap();
        symlink(&secret, &paper).unwrap();
        shop.put("new.txt", format!("Another letter, for {name}.\n"));
        let errors = shop.ends(2, &["claim", "edit", "PO-1-C1", "--from", "new.txt"]);
        assert!(errors.contains("is a link"), "{errors}");
        assert_eq!(read(&secret), b"secret");
        std::fs::remove_file(&paper).unwrap();
        std::fs::write(&paper, kept).unwrap();
    }
}

#[test]
fn templates_are_read_through_no_link() {
    let shop = shop();
    shop.put("r.yaml", receipt("R-1", 19, 25, 8, "B"));
    shop.ends(1, &["receive", "PO-1", "r.yaml"]);
    std::fs::create_dir_all(shop.file("templates")).unwrap();
    for name in ["letter.txt.hbs", "tag.html.hbs"] {
        symlink("/etc/passwd", shop.file(&format!("templates/{name}"))).unwrap();
        let args = match name {
            "tag.html.hbs" => ["tag", "PO-1"],
            _ => ["letter", "check"],
        };
        let errors = shop.ends(2, &args);
        assert!(
            errors.contains(&format!("`templates/{name}` is a link")) && !errors.contains("root:"),
            "{errors}"
        );
        std::fs::remove_file(shop.file(&format!("templates/{name}"))).unwrap();
    }
}

#[test]
fn a_receipt_by_asking_is_written_through_no_link() {
    let shop = shop();
    let outside = tempfile::TempDir::new().unwrap();
    symlink(outside.path(), shop.file("receipts")).unwrap();
    let lines = "R-1\n2026-03-19\ndock\n88213\nrack 4\n\n30\n\n0\n\n\nn\n10\n\n=\n0\n\n\nn\nn\ny\n";
    shop.put("typed", lines);
    let output = shop
        .command(&["receive", "PO-1"])
        .stdin(std::fs::File::open(shop.file("typed")).unwrap())
        .output()
        .unwrap();
    let errors = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{errors}");
    assert!(errors.contains("`receipts` is a link"), "{errors}");
    assert_eq!(std::fs::read_dir(outside.path()).unwrap().count(), 0);
}

#[test]
fn a_pipe_is_refused_and_not_waited_for() {
    let shop = shop();
    let made = Command::new("mkfifo")
        .args([shop.file("pipe"), shop.file("pipe.png")])
        .status();
    if !made.is_ok_and(|status| status.success()) {
        println!("skipped: no mkfifo here");
        return;
    }
    for args in [
        &["check", "pipe", "pipe"][..],
        &["check", "orders/PO-1.yaml", "pipe"],
        &["order", "add", "pipe"],
        &["receive", "PO-1", "pipe"],
        &["check", "orders/PO-1.yaml", "/dev/null"],
    ] {
        let errors = shop.ends(2, args);
        assert!(
            errors.contains("is a pipe or a device, expected a file"),
            "{args:?}: {errors}"
        );
    }
    std::fs::create_dir_all(shop.file("photos")).unwrap();
    std::fs::rename(shop.file("pipe.png"), shop.file("photos/pipe.png")).unwrap();
    shop.put("r.yaml", with_photos("photos/pipe.png"));
    refused(&shop, "r.yaml", &["`photos/pipe.png` is no file"]);
}
