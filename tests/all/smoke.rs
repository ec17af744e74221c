//! A smoke of mutated files over intake and check: every one ends in a record or in problems, never in a panic.
//! `ASORDERED_SMOKE=100000 cargo test --release smoke -- --nocapture` runs the long one and prints what it saw.

use crate::support::root;
use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use std::time::Instant;

/// SplitMix64, so that a run can be repeated from its seed.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides.max(1) as u64) as usize
    }
}

/// Pieces that have broken parsers before, ours or others'.
const PIECES: [&str; 36] = [
    "{a: ",
    "[",
    "]",
    "}",
    ": ",
    "- ",
    "\n",
    "\t",
    "&a ",
    "*a",
    "!!str ",
    "|\n",
    ">\n",
    "---\n",
    "...\n",
    "%YAML 1.2\n",
    "'",
    "\"",
    "\\x",
    "#",
    "? ",
    "<<: ",
    "-8",
    "1e99",
    "99999999999999999999999999999",
    "0.0000000000000000000000000001",
    "1/0",
    "\u{feff}",
    "\u{202e}",
    "\u{0}",
    "\r\n",
    "é",
    "NaN",
    "-",
    "2026-02-30",
    "0 sheet",
];

fn mutate(text: &str, other: &str, dice: &mut Dice) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for _ in 0..=dice.roll(4) {
        let at = dice.roll(chars.len() + 1).min(chars.len());
        match dice.roll(12) {
            0 => {
                chars.splice(at..at, PIECES[dice.roll(PIECES.len())].chars());
            }
            1 => {
                let end = (at + dice.roll(20)).min(chars.len());
                chars.drain(at..end);
            }
            2 => {
                let end = (at + dice.roll(60)).min(chars.len());
                let copy: Vec<char> = chars[at..end].to_vec();
                chars.splice(at..at, copy);
            }
            3 if !chars.is_empty() => {
                let at = at.min(chars.len() - 1);
                chars[at] = char::from_u32(dice.roll(0x250) as u32).unwrap_or('?');
            }
            4 => {
                let tail: Vec<char> = other
                    .chars()
                    .skip(dice.roll(other.len()))
                    .take(dice.roll(200))
                    .collect();
                chars.splice(at..at, tail);
            }
            5 => {
                let piece = PIECES[dice.roll(PIECES.len())].repeat(1 + dice.roll(200));
                chars.splice(at..at, piece.chars());
            }
            6 => chars.truncate(at),
            // A digit turned into another keeps most files readable, so that the check is reached too.
            _ => {
                let digits: Vec<usize> = (0..chars.len())
                    .filter(|at| chars[*at].is_ascii_digit())
                    .collect();
                if !digits.is_empty() {
                    let at = digits[dice.roll(digits.len())];
                    chars[at] = char::from(b'0' + dice.roll(10) as u8);
                }
            }
        }
    }
    chars.into_iter().collect()
}

#[test]
fn mutated_files_end_in_a_record_or_in_problems() {
    let runs: usize = std::env::var("ASORDERED_SMOKE")
        .ok()
        .and_then(|runs| runs.parse().ok())
        .unwrap_or(1_500);
    let read = |folder: &str| -> Vec<String> {
        let mut paths: Vec<_> = std::fs::read_dir(root().join("demo-orders").join(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .collect();
        paths.sort();
        paths
            .iter()
            .map(|path| std::fs::read_to_string(path).unwrap())
            .collect()
    };
    let (orders, receipts, suppliers) = (read("orders"), read("receipts"), read("suppliers"));
    let shop = std::fs::read_to_string(root().join("demo-orders/shop.yaml")).unwrap();
    let mut dice = Dice(2107);
    let (mut records, mut refused, mut answers) = (0, 0, 0);
    let started = Instant::now();
    let mut slowest = std::time::Duration::ZERO;
    for _ in 0..runs {
        let order = &orders[dice.roll(orders.len())];
        let receipt = &receipts[dice.roll(receipts.len())];
        let one = Instant::now();
        let problems = match dice.roll(4) {
            0 => {
                let text = mutate(order, receipt, &mut dice);
                match intake::order("o", &text) {
                    Ok(order) => {
                        let receipts: Vec<_> = intake::receipt("r", receipt).into_iter().collect();
                        answers += usize::from(check(&Case::new(&order, &receipts)).is_ok());
                        None
                    }
                    Err(problems) => Some(problems),
                }
            }
            1 => {
                let text = mutate(receipt, order, &mut dice);
                match intake::receipt("r", &text) {
                    Ok(read) => {
                        let order = orders
                            .iter()
                            .filter_map(|text| intake::order("o", text).ok())
                            .find(|order| order.number == read.order.value);
                        if let Some(order) = order {
                            answers += usize::from(check(&Case::new(&order, &[read])).is_ok());
                        }
                        None
                    }
                    Err(problems) => Some(problems),
                }
            }
            2 => {
                let text = &suppliers[dice.roll(suppliers.len())];
                intake::supplier("s", &mutate(text, order, &mut dice)).err()
            }
            _ => intake::shop("s", &mutate(&shop, order, &mut dice)).err(),
        };
        slowest = slowest.max(one.elapsed());
        match problems {
            None => records += 1,
            Some(problems) => {
                assert!(!problems.is_empty(), "refused without a word");
                assert!(
                    problems
                        .iter()
                        .all(|problem| problem.spot.line >= 1 && !problem.text.is_empty())
                );
                refused += 1;
            }
        }
    }
    assert_eq!(records + refused, runs);
    println!(
        "{runs} mutated files in {:.1} s: {records} read ({answers} answered), {refused} refused, slowest {:.1} ms",
        started.elapsed().as_secs_f64(),
        slowest.as_secs_f64() * 1e3
    );
}
