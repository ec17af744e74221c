//! Our messages read by another reader, Python's `email` (tests/python/read_mail.py).

use crate::support::root;
use asordered::claim::mail::{Attached, Draft, message, sha256};
use asordered::claim::photo::for_mail;
use serde_json::{Value, json};
use std::process::{Command, Stdio};

fn read(bytes: &[u8]) -> Option<Value> {
    let folder = tempfile::TempDir::new().unwrap();
    let file = folder.path().join("letter.eml");
    std::fs::write(&file, bytes).unwrap();
    let output = Command::new("python3")
        .arg(root().join("tests/python/read_mail.py"))
        .arg(file)
        .stderr(Stdio::inherit())
        .output();
    match output {
        Ok(output) => {
            assert!(output.status.success(), "the reader failed");
            Some(serde_json::from_slice(&output.stdout).unwrap())
        }
        Err(_) => {
            println!("skipped: python3 is not here");
            None
        }
    }
}

#[test]
fn another_reader_finds_the_letter_its_page_and_its_enclosures() {
    let photo = for_mail(&std::fs::read(root().join("tests/python/crate.png")).unwrap()).unwrap();
    let long = "x".repeat(5000);
    let draft = Draft {
        from_name: "Größe & Söhne, \"Millwork\"".into(),
        from: "claims@marrow.example".into(),
        to_name: Some("Quillfeather (Veneers)".into()),
        to: vec![
            "claims@quillfeather.example".into(),
            "yard@quillfeather.example".into(),
        ],
        subject: format!("Order PO-1: größer, 2 short, {}", "very long ".repeat(12)),
        text: format!(".\nFrom here on\nGrüße, 212.50 = 425.00\n{long}\n"),
        html: format!("<p>Grüße</p>\n<p>{long}</p>\n"),
        attached: vec![
            Attached {
                name: "1 crate.jpg".into(),
                bytes: photo.clone(),
            },
            Attached {
                name: "2 größe.pdf".into(),
                bytes: b"%PDF-1.4\r\n\r\n.\r\nFrom x\r\n".to_vec(),
            },
        ],
        about: "C-1 notice".into(),
        date: "2026-03-19T12:00:00Z".parse().unwrap(),
    };
    let mail = message(&draft, true, None).unwrap();
    let Some(got) = read(&mail.bytes) else {
        return;
    };
    assert_eq!(got["defects"], json!([]));
    assert_eq!(
        got["headers"],
        json!([
            "From",
            "Subject",
            "Date",
            "Message-ID",
            "To",
            "X-Unsent",
            "MIME-Version",
            "Content-Type"
        ])
    );
    assert_eq!(
        got["structure"],
        json!({"multipart/mixed": [
            {"multipart/alternative": ["text/plain", "text/html"]}, "image/jpeg", "application/pdf"
        ]})
    );
    assert_eq!(
        got["text"].as_str().unwrap().trim_end(),
        draft.text.trim_end()
    );
    assert_eq!(
        got["html"].as_str().unwrap().trim_end(),
        draft.html.trim_end()
    );
    assert_eq!(got["subject"].as_str().unwrap(), draft.subject.trim_end());
    assert_eq!(got["from_name"], json!(draft.from_name));
    assert_eq!(got["from"], json!(draft.from));
    assert_eq!(got["to"], json!(draft.to));
    assert_eq!(got["message_id"], json!(mail.message_id));
    assert_eq!(got["date"], json!("2026-03-19T12:00:00+00:00"));
    assert_eq!(got["unsent"], json!("1"));
    assert_eq!(
        got["attached"],
        json!([
            {"name": "1 crate.jpg", "type": "image/jpeg", "sha256": sha256(&photo)},
            {"name": "2 größe.pdf", "type": "application/pdf", "sha256": sha256(&draft.attached[1].bytes)}
        ])
    );
    // RFC 5322: a line has at most 998 bytes.
    assert!(
        got["longest_line"].as_u64().unwrap() <= 998,
        "{}",
        got["longest_line"]
    );
}
