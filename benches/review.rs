//! Prints how long `asordered review` takes over a year of 1,000,000 receipt lines and how much memory, beside the
//! `sqlite3` shell's plain grouped count and sum over the same lines, and the same sums in `DuckDB` and pandas. Asserts
//! nothing. Needs `sqlite3`; uses GNU `time` for memory and `python3` with pandas and duckdb where they are there.
//!
//! `cargo bench --bench review`
#![allow(
    missing_docs,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench measures and prints"
)]

use asordered::book::Book;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Rounds; the two kinds alternate, because a machine has its moods.
const ROUNDS: usize = 11;

/// The yardstick: one plain grouped count and sum. Timed on the book as it is, and on a copy with an index that covers
/// it, which is the fastest the shell can be.
const PLAIN: &str = "SELECT supplier_id, month, unit, count(*), sum(rejected_u) FROM receipt_lines GROUP BY 1, 2, 3";

fn main() {
    // A folder beside the sources: the system's temporary folder may be no disk at all.
    let folder = tempfile::Builder::new()
        .prefix("bench-review-")
        .tempdir_in(env!("CARGO_TARGET_TMPDIR"))
        .unwrap();
    let file = folder.path().join("asordered.db");
    let book = Book::write(&file).unwrap();
    let start = Instant::now();
    book.connection()
        .execute_batch(include_str!("review_fill.sql"))
        .unwrap();
    let lines: i64 = book
        .connection()
        .query_row("SELECT count(*) FROM receipt_lines", [], |row| row.get(0))
        .unwrap();
    book.connection()
        .pragma_update(None, "journal_mode", "wal")
        .unwrap();
    drop(
        book.connection()
            .query_row("PRAGMA wal_checkpoint(truncate)", [], |_| Ok(())),
    );
    drop(book);
    println!(
        "{lines} receipt lines, {} MB, filled in {:.1} s",
        std::fs::metadata(&file).unwrap().len() / 1_000_000,
        start.elapsed().as_secs_f64()
    );
    let covered = folder.path().join("covered.db");
    std::fs::copy(&file, &covered).unwrap();
    let index = "CREATE INDEX covers ON receipt_lines (supplier_id, month, unit, rejected_u)";
    timed(Command::new("sqlite3").arg(&covered).arg(index));
    let (mut plain, mut best, mut ours) = (Vec::new(), Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        plain.push(timed(Command::new("sqlite3").arg(&file).arg(PLAIN)));
        best.push(timed(Command::new("sqlite3").arg(&covered).arg(PLAIN)));
        ours.push(timed(&mut review(&file)));
    }
    let (plain, best, ours) = (median(&mut plain), median(&mut best), median(&mut ours));
    let times = |than: Duration| ours.as_secs_f64() / than.as_secs_f64();
    println!(
        "sqlite3, plain grouped count and sum   {:>7.1} ms",
        millis(plain)
    );
    println!(
        "sqlite3, the same with its own index   {:>7.1} ms",
        millis(best)
    );
    println!(
        "asordered review, all figures          {:>7.1} ms  ({:.2} and {:.2} times)",
        millis(ours),
        times(plain),
        times(best)
    );
    memory(&file);
    others(&file);
}

fn review(file: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_asordered"));
    command
        .args([
            "review",
            "--month",
            "2026-03",
            "--today",
            "2026-04-02",
            "--book",
        ])
        .arg(file);
    command
}

fn timed(command: &mut Command) -> Duration {
    let start = Instant::now();
    let status = command.stdout(Stdio::null()).status().unwrap();
    assert!(status.success());
    start.elapsed()
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

fn millis(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

/// GNU `time` tells the most memory a process had.
fn memory(file: &Path) {
    let review = review(file);
    let output = Command::new("/usr/bin/time")
        .args(["-f", "%M"])
        .arg(review.get_program())
        .args(review.get_args())
        .stdout(Stdio::null())
        .output();
    match output {
        Ok(output) => {
            let told = String::from_utf8_lossy(&output.stderr);
            match told
                .lines()
                .last()
                .and_then(|kb| kb.trim().parse::<f64>().ok())
            {
                Some(kb) => println!(
                    "asordered review, most memory          {:>7.1} MB",
                    kb / 1000.0
                ),
                None => println!("memory not measured: {told}"),
            }
        }
        Err(_) => println!("memory not measured: no GNU time"),
    }
}

/// Times the same sums elsewhere, each measured in its own process after loading the library.
fn others(file: &Path) {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/review_others.py");
    let ran = Command::new("python3").arg(script).arg(file).status();
    if !ran.is_ok_and(|status| status.success()) {
        println!("pandas and DuckDB not timed: python3 with pandas and duckdb is not there");
    }
}
