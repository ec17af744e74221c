//! Prints how many order lines a second the pure check answers on one core, and how long the program takes for one
//! delivery beside `/bin/true`. Asserts nothing.
//!
//! `cargo bench --bench check`
#![allow(
    missing_docs,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench measures and prints"
)]

use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const LINES: usize = 2_000;

fn main() {
    lines_a_second("as ordered", |_| (8, "A"));
    lines_a_second("one in ten short, one in ten lower", |line| {
        match line % 10 {
            0 => (7, "A"),
            1 => (8, "B"),
            _ => (8, "A"),
        }
    });
    whole_process();
}

/// Checks one order of many lines over and over, and prints the median rate.
fn lines_a_second(name: &str, came: fn(usize) -> (u32, &'static str)) {
    let mut order = String::from("order: PO-1\nsupplier: s\ndate: 2026-03-02\nlines:\n");
    let mut receipt = String::from("receipt: R-1\norder: PO-1\ndate: 2026-03-19\nlines:\n");
    for line in 0..LINES {
        let (amount, grade) = came(line);
        writeln!(
            order,
            "  - {{line: {line}, item: I-{line}, quantity: 8 sheet, unit_price: 212.50, grade: A, scale: hp1-face, size: 48 in x 96 in}}"
        )
        .unwrap();
        writeln!(
            receipt,
            "  - {{line: {line}, item: I-{line}, slip: 8 sheet, quantity: {amount} sheet, grade: {grade}, size: 48 in x 96 in}}"
        )
        .unwrap();
    }
    let order = intake::order("o", &order).unwrap();
    let receipts = [intake::receipt("r", &receipt).unwrap()];
    let case = Case::new(&order, &receipts);
    let mut rates: Vec<f64> = (0..60)
        .map(|_| {
            let started = Instant::now();
            let answer = check(&case).unwrap();
            let taken = started.elapsed();
            assert_eq!(answer.lines.len(), LINES);
            LINES as f64 / taken.as_secs_f64()
        })
        .collect();
    rates.sort_by(f64::total_cmp);
    println!(
        "pure check, {name}: {:.0} order lines a second (median of 60 runs of {LINES} lines; wanted 500000)",
        rates[30]
    );
}

fn whole_process() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-orders");
    let run = |program: &str, args: &[&str]| {
        let started = Instant::now();
        Command::new(program)
            .args(args)
            .current_dir(&demo)
            .stdout(Stdio::null())
            .status()
            .unwrap();
        started.elapsed()
    };
    let (mut ours, mut nothing) = (Vec::new(), Vec::new());
    for _ in 0..101 {
        ours.push(run(
            env!("CARGO_BIN_EXE_asordered"),
            &["check", "orders/PO-2107.yaml", "receipts/RG-311.yaml"],
        ));
        nothing.push(run("/bin/true", &[]));
    }
    let median = |times: &mut Vec<Duration>| {
        times.sort();
        times[times.len() / 2].as_secs_f64() * 1e3
    };
    let (ours, nothing) = (median(&mut ours), median(&mut nothing));
    println!(
        "whole process: check {ours:.2} ms, /bin/true {nothing:.2} ms, ratio {:.1} (medians of 101; wanted at most 5)",
        ours / nothing
    );
}
