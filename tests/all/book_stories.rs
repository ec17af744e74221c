//! Random stories of an order: deliveries, claims and what comes for them, in any order. After every step the book is
//! sound; and however it went, once every claim is settled and every pickup noted nothing is owed, held or due.
//! `STORIES=400 cargo test --test all book_stories` tells more of them.

use crate::book_support::Shop;
use rust_decimal::Decimal;
use std::process::Output;

/// Numbers that look random and are the same in every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        // The constants are those of Knuth's MMIX generator.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }
}

struct Story {
    shop: Shop,
    dice: Dice,
    day: u64,
    receipts: u64,
    /// How many sheets the newest receipt brought.
    newest: u64,
    told: Vec<String>,
}

impl Story {
    fn new(seed: u64) -> Self {
        let shop = Shop::new();
        shop.put(
            "orders/Q-1.yaml",
            "order: Q-1\nsupplier: s\ndate: 2026-03-02\ncurrency: USD\nlines:\n  \
             - {line: 1, item: MDF, quantity: 10 sheet, unit_price: 40.00}\n",
        );
        shop.good(&["order", "add", "orders/Q-1.yaml"]);
        Story {
            shop,
            dice: Dice(seed * 7919 + 1),
            day: 3,
            receipts: 0,
            newest: 0,
            told: Vec::new(),
        }
    }

    fn run(&mut self, args: &[&str]) -> Output {
        let today = format!("2026-03-{:02}", self.day.min(31));
        let mut all = args.to_vec();
        all.extend(["--today", &today]);
        let output = self.shop.run(&all);
        let status = output.status.code();
        self.told.push(format!("{all:?}: {status:?}"));
        assert!(matches!(status, Some(0..=2)), "{:?}", self.told);
        output
    }

    fn comes(&mut self, count: u64, damaged: u64, back_order: u64) {
        self.receipts += 1;
        self.newest = count;
        let n = self.receipts;
        let more = if back_order > 0 {
            format!(", back_order: {back_order} sheet")
        } else {
            String::new()
        };
        let day = self.day.min(31);
        let text = format!(
            "receipt: R{n}\norder: Q-1\ndate: 2026-03-{day:02}\nlines:\n  \
             - {{line: 1, quantity: {count} sheet, damaged: {damaged} sheet{more}}}\n"
        );
        self.told.push(text.clone());
        self.shop.receive(&text, false);
    }

    /// Puts the newest receipt right: other sheets are damaged than was thought.
    fn put_right(&mut self) {
        let n = self.receipts;
        let count = self.newest;
        let damaged = self.dice.roll(3).min(count);
        let text = format!(
            "receipt: R{n}\norder: Q-1\ndate: 2026-03-{:02}\nlines:\n  \
             - {{line: 1, quantity: {count} sheet, damaged: {damaged} sheet}}\n",
            self.day.min(31)
        );
        self.told.push(text.clone());
        self.shop.receive(&text, true);
    }

    /// The claims and their states.
    fn claims(&self) -> Vec<(String, String)> {
        let listed = self.shop.json(0, &["claim", "list", "--all"]);
        listed["claims"]
            .as_array()
            .unwrap()
            .iter()
            .map(|claim| {
                let text = |key: &str| claim[key].as_str().unwrap().to_owned();
                (text("claim"), text("state"))
            })
            .collect()
    }

    fn standing(&self) -> (Decimal, Decimal) {
        let shown = self.shop.json(0, &["order", "show", "Q-1"]);
        let of = |key: &str| shown["standing"][0][key].as_str().unwrap().parse().unwrap();
        (of("owed"), of("held"))
    }

    fn draft(&mut self) {
        self.run(&["claim", "draft", "Q-1"]);
        for (claim, state) in self.claims() {
            if state == "drafted" {
                let output = self.run(&["claim", "send", &claim, "--told-by", "phone", "--yes"]);
                // What is no longer so is taken back.
                if output.status.code() == Some(2) {
                    self.run(&["claim", "withdraw", &claim, "--reason", "no longer so"]);
                }
            }
        }
    }

    fn step(&mut self) {
        self.day += 1;
        let claims = self.claims();
        let any = (!claims.is_empty()).then(|| {
            let place = self.dice.roll(claims.len() as u64) as usize;
            claims[place].0.clone()
        });
        match (self.dice.roll(9), any) {
            (0 | 1, any) => {
                let count = 1 + self.dice.roll(4);
                let damaged = self.dice.roll(3).min(count);
                let back_order = if self.dice.roll(3) == 0 { 2 } else { 0 };
                self.comes(count, damaged, back_order);
                if let (Some(claim), 0) = (any, self.dice.roll(2)) {
                    let receipt = format!("R{}", self.receipts);
                    self.run(&["claim", "settle", &claim, "--receipt", &receipt]);
                }
            }
            (2 | 3, Some(_)) | (_, None) => self.draft(),
            (4, Some(claim)) => {
                let receipt = format!("R{}", self.receipts);
                self.run(&["claim", "settle", &claim, "--receipt", &receipt]);
            }
            (5, Some(claim)) => {
                let amount = format!("{}.00", 40 * (1 + self.dice.roll(3)));
                self.run(&["claim", "settle", &claim, "--credit", &amount, "--yes"]);
            }
            (7, Some(_)) => self.put_right(),
            (6, Some(claim)) => {
                self.run(&["claim", "settle", &claim, "--collected"]);
            }
            (_, Some(claim)) if self.dice.roll(2) == 0 => {
                self.run(&["claim", "settle", &claim, "--enough", "tired of it"]);
            }
            (_, Some(claim)) => {
                self.run(&["claim", "withdraw", &claim, "--reason", "a mistake"]);
            }
        }
        self.is_sound();
    }

    #[track_caller]
    fn is_sound(&self) {
        assert_eq!(self.shop.wrong(), Vec::<String>::new(), "{:#?}", self.told);
        let (owed, held) = self.standing();
        assert!(
            owed >= Decimal::ZERO && held >= Decimal::ZERO,
            "{:#?}",
            self.told
        );
    }

    /// Brings all of it to an end, as an owner would.
    fn end(&mut self) {
        self.day += 1;
        // What still follows comes.
        let checked = self.shop.run(&["check", "Q-1", "--json"]);
        let checked: serde_json::Value = serde_json::from_slice(&checked.stdout).unwrap();
        let open: Decimal = checked["lines"][0]["open"]
            .as_str()
            .unwrap()
            .parse()
            .unwrap();
        if !open.is_zero() {
            let open = open.to_string().parse().unwrap();
            self.comes(open, 0, 0);
        }
        for _ in 0..3 {
            self.draft();
            for (claim, state) in self.claims() {
                if !["made right", "withdrawn"].contains(&state.as_str()) {
                    self.run(&["claim", "settle", &claim, "--enough", "done"]);
                }
                self.run(&["claim", "settle", &claim, "--collected"]);
            }
        }
        self.is_sound();
        let (owed, held) = self.standing();
        let told = &self.told;
        assert_eq!((owed, held), (Decimal::ZERO, Decimal::ZERO), "{told:#?}");
        assert_eq!(
            self.shop.good(&["order", "list"]),
            "no open orders\n",
            "{told:#?}"
        );
        let due = self.shop.good(&["due", "--today", "2026-12-01"]);
        assert_eq!(due, "nothing is due\n", "{told:#?}");
        assert!(
            self.shop.ends(2, &["tag", "Q-1"]).contains("is held"),
            "{told:#?}"
        );
    }
}

#[test]
fn however_it_went_a_settled_order_leaves_nothing_owed_held_or_due() {
    let stories = std::env::var("STORIES")
        .ok()
        .and_then(|many| many.parse().ok());
    for seed in 0..stories.unwrap_or(6) {
        let mut story = Story::new(seed);
        let (count, damaged) = (7 + story.dice.roll(5), story.dice.roll(4));
        story.comes(count, damaged, 0);
        for _ in 0..8 {
            story.step();
        }
        story.end();
    }
}
