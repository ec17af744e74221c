//! Letters printed by a browser (headless Chromium): the usual one fits a page.

use crate::claim_draft::day;
use crate::letter_words::{demo, write};
use asordered::claim;
use asordered::claim::letter::LetterKind;
use std::process::{Command, Stdio};
use tempfile::TempDir;

fn pages(html: &str) -> Option<usize> {
    let folder = TempDir::new().unwrap();
    let (page, pdf) = (
        folder.path().join("letter.html"),
        folder.path().join("letter.pdf"),
    );
    std::fs::write(&page, html).unwrap();
    let status = Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--no-pdf-header-footer",
        ])
        .arg(format!(
            "--user-data-dir={}",
            folder.path().join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(&page)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .ok()?;
    assert!(status.success(), "the browser failed");
    let bytes = std::fs::read(pdf).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    // Each page of a PDF is an object of `/Type /Page`; their tree is `/Type /Pages`.
    let all = text.matches("/Type /Page").count();
    Some(all - text.matches("/Type /Pages").count())
}

#[test]
fn the_letter_of_the_demo_fits_one_printed_page() {
    let papers = demo("PO-2107", &["RG-311"]);
    let (case, answer) = (papers.case(), papers.answer());
    let draft = &claim::draft(&case, &answer, day("2026-03-19"))[0];
    for kind in [LetterKind::Notice, LetterKind::FinalReminder] {
        match pages(&write(&case, &answer, draft, kind).html) {
            Some(pages) => assert_eq!(pages, 1, "{kind:?}"),
            None => println!("skipped: no chromium here"),
        }
    }
}
