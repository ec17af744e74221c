//! A tape of 500 random orders with known faults. Every fault must be found, and nothing else.
//!
//! The faults are injected by what the goods are, in `tape/goods.rs`; what a fault is worth in units is worked out there
//! and not by the program.

#[path = "tape/goods.rs"]
mod goods;

use crate::sequence_dice::Dice;
use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use asordered::model::answer::Answer;
use asordered::model::kind::Kind;
use goods::{Goods, Lot, chance, goods, pick};
use rust_decimal::Decimal;
use std::collections::BTreeMap;
use std::fmt::Write;

const ORDERS: usize = 500;

/// How the receipt says which line a lot belongs to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    /// By line number, or by item code alone.
    Coded,
    /// By what stands on the goods: a description in other words, and what was measured.
    InWords,
}

/// What is found, or was injected: the line (`-` for what nobody ordered), the kind, and how much of it in all.
type Faults = BTreeMap<(String, Kind), Decimal>;

/// One order of the tape with its papers, as text, and what was done to it.
struct Order {
    order: String,
    receipts: Vec<String>,
    invoices: Vec<String>,
    injected: Faults,
    /// For each receipt, the order line of each of its lines; `None` where nobody ordered it.
    truth: Vec<Vec<Option<usize>>>,
}

fn inject(faults: &mut Faults, line: &str, kind: Kind, amount: Decimal) {
    *faults.entry((line.to_owned(), kind)).or_default() += amount;
}

fn make(dice: &mut Dice, number: usize, told: Told) -> Order {
    let count = dice.roll(1, 9);
    let mut lines: Vec<Goods> = (0..count).map(|_| goods(dice)).collect();
    if told == Told::InWords {
        // Two lines of the same words cannot be told apart by anybody.
        let mut seen: Vec<String> = Vec::new();
        lines.retain(|line| {
            let new = !seen.contains(&line.description);
            seen.push(line.description.clone());
            new
        });
    }
    let mut made = Order {
        order: format!(
            "order: PO-{number}\nsupplier: s\ndate: 2026-01-02\npromised: 2026-02-20\nlines:\n"
        ),
        receipts: Vec::new(),
        invoices: Vec::new(),
        injected: Faults::new(),
        truth: Vec::new(),
    };
    for (place, line) in lines.iter().enumerate() {
        write_order_line(&mut made.order, place, line);
    }
    let receipts = if chance(dice, 30) { 2 } else { 1 };
    let mut bodies = vec![Vec::<(String, Option<usize>)>::new(); receipts];
    let mut arrived: Vec<BTreeMap<usize, Decimal>> = vec![BTreeMap::new(); receipts];
    for (place, line) in lines.iter().enumerate() {
        let name = (place + 1).to_string();
        for (kind, amount) in &line.injected {
            inject(&mut made.injected, &name, *kind, *amount);
        }
        let wrong = told == Told::Coded && line.injected.is_empty() && chance(dice, 8);
        if wrong {
            let all = line.lots.iter().map(|lot| lot.amount).sum();
            inject(&mut made.injected, &name, Kind::WrongItem, all);
            // Leaves of another item make none of the sets that were ordered.
            if line.order.contains_key("sequence") {
                inject(&mut made.injected, &name, Kind::SetsMissing, Decimal::ONE);
            }
        }
        let home = pick(dice, &[0, receipts - 1]).to_owned();
        for (turn, lot) in line.lots.iter().enumerate() {
            let receipt = if line.may_split {
                (home + turn) % receipts
            } else {
                home
            };
            *arrived[receipt].entry(place).or_default() += lot.amount;
            let identity = match told {
                Told::Coded if wrong => format!("line: {name}, item: OTHER-{name}"),
                Told::Coded => match dice.roll(0, 2) {
                    0 => format!("line: {name}"),
                    1 => format!("line: {name}, item: IT-{name}"),
                    _ => format!("item: it-{name}"),
                },
                Told::InWords => {
                    format!("description: \"{}\"", other_words(dice, &line.description))
                }
            };
            bodies[receipt].push((lot_text(&identity, line.unit, lot), Some(place)));
        }
    }
    if chance(dice, 15) {
        let amount = Decimal::from(dice.roll(1, 9));
        let identity = match told {
            Told::Coded => "item: STRAY-1".to_owned(),
            Told::InWords => "description: \"floor wax in a tin\"".to_owned(),
        };
        bodies[0].push((
            format!("  - {{{identity}, quantity: {amount} each}}\n"),
            None,
        ));
        inject(&mut made.injected, "-", Kind::NotOrdered, amount);
    }
    for (receipt, mut body) in bodies.into_iter().enumerate() {
        // What lies on top of the truck is counted first.
        for place in (1..body.len()).rev() {
            let other = usize::try_from(dice.roll(0, i64::try_from(place).unwrap())).unwrap();
            body.swap(place, other);
        }
        if body.is_empty() {
            // Nothing of something nobody ordered is no fault.
            body.push(("  - {item: STRAY-0, quantity: 0 each}\n".to_owned(), None));
        }
        let (day, kind) = match dice.roll(0, 9) {
            0 => ("23", Some(Kind::Late)),
            1 => ("10", Some(Kind::Early)),
            2 => ("18", None),
            _ => ("20", None),
        };
        for (place, amount) in &arrived[receipt] {
            if let Some(kind) = kind {
                inject(&mut made.injected, &(place + 1).to_string(), kind, *amount);
            }
        }
        let mut text = format!(
            "receipt: R-{number}-{receipt}\norder: PO-{number}\ndate: 2026-02-{day}\nlines:\n"
        );
        for (line, _) in &body {
            text.push_str(line);
        }
        made.receipts.push(text);
        made.truth
            .push(body.into_iter().map(|(_, place)| place).collect());
    }
    if chance(dice, 30) {
        let text = bill(dice, number, &lines, &mut made.injected);
        if chance(dice, 20) && lines.iter().all(is_billed_whole) {
            made.invoices
                .push(again(&text, number, &lines, &mut made.injected));
        }
        made.invoices.push(text);
    }
    made
}

fn write_order_line(text: &mut String, place: usize, line: &Goods) {
    let number = place + 1;
    write!(
        text,
        "  - {{line: {number}, item: IT-{number}, description: \"{}\", quantity: {} {}, unit_price: {}",
        line.description, line.ordered, line.unit, line.price
    )
    .unwrap();
    for (key, value) in &line.order {
        write!(text, ", {key}: {value}").unwrap();
    }
    text.push_str("}\n");
}

fn lot_text(identity: &str, unit: &str, lot: &Lot) -> String {
    let mut text = format!("  - {{{identity}");
    if !lot.fields.contains_key("quantity") {
        write!(text, ", quantity: {} {unit}", lot.amount).unwrap();
    }
    for (key, value) in lot.fields.iter().filter(|(_, value)| !value.is_empty()) {
        write!(text, ", {key}: {value}").unwrap();
    }
    text.push_str("}\n");
    text
}

/// Bills every line as ordered, at the order's price or another.
fn bill(dice: &mut Dice, number: usize, lines: &[Goods], injected: &mut Faults) -> String {
    let mut text = format!("invoice: I-{number}\norder: PO-{number}\ndate: 2026-02-21\nlines:\n");
    for (place, line) in lines.iter().enumerate() {
        let name = (place + 1).to_string();
        let difference = Decimal::new(dice.roll(1, 40), 2);
        let price = match dice.roll(0, 9) {
            0 => {
                inject(injected, &name, Kind::PriceAbove, line.ordered);
                line.price + difference
            }
            1 => {
                inject(injected, &name, Kind::PriceBelow, line.ordered);
                line.price - difference
            }
            _ => line.price,
        };
        writeln!(
            text,
            "  - {{line: {name}, quantity: {} {}, unit_price: {price}}}",
            line.ordered, line.unit
        )
        .unwrap();
    }
    text
}

/// Whether one bill of what was ordered leaves nothing to be billed: no more came than that, or more was not allowed.
fn is_billed_whole(line: &Goods) -> bool {
    let came: Decimal = line.lots.iter().map(|lot| lot.amount).sum();
    let allowed = line.order.get("tolerance");
    came <= line.ordered || allowed.is_none_or(|allowed| !allowed.contains("over"))
}

/// Bills the same a second time, whatever its prices: all of it is billed above the order.
fn again(first: &str, number: usize, lines: &[Goods], injected: &mut Faults) -> String {
    for (place, line) in lines.iter().enumerate() {
        let name = (place + 1).to_string();
        // The price is no fault of the second bill besides; of the first it stays one.
        inject(injected, &name, Kind::PriceAbove, line.ordered);
    }
    first
        .replace(
            &format!("invoice: I-{number}\n"),
            &format!("invoice: I-{number}-B\n"),
        )
        .replace("date: 2026-02-21", "date: 2026-02-25")
}

/// Says a description as a label would: other case, words in another order, one left out, one letter wrong.
fn other_words(dice: &mut Dice, description: &str) -> String {
    let mut words: Vec<String> = description.split(' ').map(ToOwned::to_owned).collect();
    if chance(dice, 40) {
        let by = usize::try_from(dice.roll(0, 3)).unwrap() % words.len();
        words.rotate_left(by);
    }
    if chance(dice, 25) && words.len() > 3 {
        let out = usize::try_from(dice.roll(0, 9)).unwrap() % words.len();
        words.remove(out);
    }
    if chance(dice, 30) {
        let place = usize::try_from(dice.roll(0, 9)).unwrap() % words.len();
        let word = &mut words[place];
        if word.len() > 5 && word.is_ascii() {
            word.remove(3);
        }
    }
    let text = words.join(" ");
    if chance(dice, 30) {
        text.to_uppercase()
    } else {
        text
    }
}

/// Checks an order; `None` where the check refuses, because a lot was put to a line it has no unit or grade for.
fn answer(order: &Order) -> Option<Answer> {
    let papers = intake::order("order", &order.order)
        .unwrap_or_else(|problems| panic!("{problems:#?}\n{}", order.order));
    let receipts: Vec<_> = order
        .receipts
        .iter()
        .map(|text| {
            intake::receipt("receipt", text)
                .unwrap_or_else(|problems| panic!("{problems:#?}\n{text}"))
        })
        .collect();
    let invoices: Vec<_> = order
        .invoices
        .iter()
        .map(|text| intake::invoice("invoice", text).unwrap())
        .collect();
    check(&Case {
        invoices: &invoices,
        ..Case::new(&papers, &receipts)
    })
    .ok()
}

fn found(answer: &Answer) -> Faults {
    let mut faults = Faults::new();
    for line in &answer.lines {
        for finding in &line.findings {
            inject(&mut faults, &line.line, finding.kind, finding.amount);
        }
    }
    for stray in &answer.not_ordered {
        for finding in &stray.findings {
            inject(&mut faults, "-", finding.kind, finding.amount);
        }
    }
    faults
}

/// What a run of the tape came to.
#[derive(Default)]
struct Score {
    lines: usize,
    injected: usize,
    found: usize,
    right: usize,
    lots: usize,
    lots_right: usize,
    refused: usize,
    /// Lots that no line was named for and that say nothing of why they were put where they are.
    silent: usize,
    by_kind: BTreeMap<Kind, usize>,
    wrong: Vec<String>,
}

impl Score {
    fn recall(&self) -> f64 {
        self.right as f64 / self.injected as f64
    }

    fn precision(&self) -> f64 {
        self.right as f64 / self.found as f64
    }

    fn paired(&self) -> f64 {
        self.lots_right as f64 / self.lots as f64
    }
}

fn run(told: Told, seed: u64) -> Score {
    let mut dice = Dice(seed);
    let mut score = Score::default();
    for number in 1..=ORDERS {
        let order = make(&mut dice, number, told);
        score.injected += order.injected.len();
        score.lots += order.truth.iter().map(Vec::len).sum::<usize>();
        let Some(answer) = answer(&order) else {
            score.refused += 1;
            continue;
        };
        let found = found(&answer);
        score.lines += answer.lines.len();
        score.found += found.len();
        let right = found
            .iter()
            .filter(|(fault, amount)| order.injected.get(*fault) == Some(*amount))
            .count();
        score.right += right;
        for (_, kind) in order.injected.keys() {
            *score.by_kind.entry(*kind).or_default() += 1;
        }
        if found != order.injected && score.wrong.len() < 3 {
            score.wrong.push(format!(
                "injected {:?}\nfound {found:?}\n{}{}",
                order.injected,
                order.order,
                order.receipts.concat()
            ));
        }
        if told == Told::InWords {
            let lots = answer.lines.iter().flat_map(|line| &line.lots);
            score.silent += lots.filter(|lot| lot.paired_by.is_none()).count();
        }
        for (receipt, truth) in order.truth.iter().enumerate() {
            let name = format!("R-{number}-{receipt}");
            for (index, place) in truth.iter().enumerate() {
                let put = answer.lines.iter().position(|line| {
                    line.lots
                        .iter()
                        .any(|lot| lot.receipt == name && lot.index == index + 1)
                });
                score.lots_right += usize::from(put == *place);
            }
        }
    }
    score
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are to be seen")]
fn where_items_carry_codes_every_fault_is_found_and_nothing_else() {
    let score = run(Told::Coded, 0x5eed_0001);
    println!(
        "{} lines, {} faults, {} found, {} right",
        score.lines, score.injected, score.found, score.right
    );
    assert!(score.wrong.is_empty(), "{}", score.wrong.join("\n\n"));
    assert_eq!((score.found, score.right), (score.injected, score.injected));
    assert_eq!((score.refused, score.lots_right), (0, score.lots));
    for kind in Kind::ALL {
        let times = score.by_kind.get(&kind).copied().unwrap_or_default();
        assert!(times >= 5, "{kind:?} was injected {times} times");
    }
}

#[test]
#[allow(clippy::print_stdout, reason = "the figures are to be seen")]
fn where_items_carry_no_codes_most_lots_find_their_line_and_most_faults_are_told_right() {
    let score = run(Told::InWords, 0x5eed_0002);
    println!(
        "{} lots, {} orders refused, {:.2} % put right; recall {:.2} %, precision {:.2} %",
        score.lots,
        score.refused,
        100.0 * score.paired(),
        100.0 * score.recall(),
        100.0 * score.precision()
    );
    // Measured on five tapes: 99.70 to 99.97 % of lots, recall 99.66 to 100 %, precision 99.16 to 99.93 %.
    assert_eq!(score.refused, 0);
    assert!(score.paired() >= 0.995, "{:.4}", score.paired());
    assert!(score.recall() >= 0.995, "{:.4}", score.recall());
    assert!(score.precision() >= 0.99, "{:.4}", score.precision());
    assert_eq!(score.silent, 0, "an inferred pair without its reason");
}
