//! How like is a receipt line to an order line? Chooses nothing; that is `assign`.

use crate::check::case::Case;
use crate::check::item::same_item;
use crate::model::order::{Order, OrderLine};
use crate::model::receipt::ReceiptLine;
use crate::model::size::{Measure, Size};
use crate::trade::finishes::{self, Likeness as SameFinish};
use crate::trade::units;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use std::collections::HashMap;

/// Below this likeness nothing is paired: the goods are reported as not ordered.
pub const ENOUGH: u32 = 60;

/// A likeness from 0 to 100 and what it rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Likeness {
    /// Per cent, of what both state.
    pub per_cent: u32,
    /// Breaks ties: how near the amounts are, 0 to 1000. Never makes goods alike by itself.
    pub nearness: u32,
    /// What was alike, in words.
    pub why: Vec<&'static str>,
}

/// Weighs what both lines state: description 50, size 25, finish 15, grade 10. What only one states says nothing;
/// where no description and no size can be compared the rest is too little to go by. Words that stand on few lines of the
/// order count more.
pub fn likeness(
    case: &Case<'_>,
    descriptions: &Descriptions,
    place: usize,
    came: &ReceiptLine,
    came_words: &[String],
) -> Likeness {
    let ordered = &case.order.lines[place];
    let nearness = nearness(ordered, came);
    let unlike = Likeness {
        per_cent: 0,
        nearness,
        why: Vec::new(),
    };
    if let (Some(wanted), Some(code)) = (&ordered.item, &came.item)
        && !same_item(case, wanted, code)
    {
        return unlike;
    }
    let mut weighed = Weighed::default();
    if ordered.description.is_some() && came.description.is_some() {
        let words = &descriptions.of_line[place];
        let per_cent = alike(words, came_words, |word| descriptions.weight(word));
        weighed.add(50, per_cent, "description");
    }
    if let (Some(wanted), Some(size)) = (&ordered.size, &came.size) {
        weighed.add(25, sizes_alike(wanted, size), "size");
    }
    for (name, wanted) in &ordered.finish {
        if let Some((_, value)) = came
            .finish
            .iter()
            .find(|(known, _)| known.eq_ignore_ascii_case(name))
        {
            let share = u32::try_from(15 / ordered.finish.len().max(1))
                .unwrap_or(1)
                .max(1);
            weighed.add(
                share,
                if same_value(wanted, value) { 100 } else { 0 },
                "finish",
            );
        }
    }
    if let (Some(wanted), Some(grade)) = (&ordered.grade, &came.grade) {
        let ours = case.our_grade(&grade.value);
        weighed.add(
            10,
            if ours.eq_ignore_ascii_case(&wanted.grade) {
                100
            } else {
                30
            },
            "grade",
        );
    }
    if weighed.weight < 25 {
        return unlike;
    }
    Likeness {
        per_cent: weighed.sum / weighed.weight,
        nearness,
        why: weighed.why,
    }
}

/// Ranks order lines of one item for a receipt line: same grade, size and finish first. Any value may be best.
pub fn fit(case: &Case<'_>, ordered: &OrderLine, came: &ReceiptLine) -> u32 {
    let mut fit = 0;
    match (&ordered.grade, &came.grade) {
        (Some(wanted), Some(grade))
            if case
                .our_grade(&grade.value)
                .eq_ignore_ascii_case(&wanted.grade) =>
        {
            fit += 40
        }
        (None, None) => fit += 20,
        (Some(_) | None, Some(_) | None) => {}
    }
    if let (Some(wanted), Some(size)) = (&ordered.size, &came.size)
        && wanted.across.length == size.across.length
        && wanted.along.length == size.along.length
    {
        fit += 30;
    }
    for (name, wanted) in &ordered.finish {
        let same = came
            .finish
            .iter()
            .any(|(known, value)| known.eq_ignore_ascii_case(name) && same_value(wanted, value));
        fit += u32::from(same) * 20;
    }
    fit
}

/// Returns how near the amounts are, 0 to 1000: the smaller over the larger, where the units measure the same thing.
pub fn nearness(ordered: &OrderLine, came: &ReceiptLine) -> u32 {
    let Some(quantity) = &came.quantity else {
        return 0;
    };
    let (wanted, came) = (ordered.quantity, quantity.value);
    if units::dimension(wanted.unit) != units::dimension(came.unit) {
        return 0;
    }
    let (small, large) = if wanted.amount < came.amount {
        (wanted.amount, came.amount)
    } else {
        (came.amount, wanted.amount)
    };
    small
        .checked_mul(Decimal::ONE_THOUSAND)
        .and_then(|small| small.checked_div(large))
        .and_then(|share| share.to_u32())
        .unwrap_or(0)
}

#[derive(Debug, Default)]
struct Weighed {
    sum: u32,
    weight: u32,
    why: Vec<&'static str>,
}

impl Weighed {
    fn add(&mut self, weight: u32, alike: u32, word: &'static str) {
        self.sum += weight * alike;
        self.weight += weight;
        if alike >= 50 && !self.why.contains(&word) {
            self.why.push(word);
        }
    }
}

/// The same words, or two numbers of one finish.
fn same_value(wanted: &str, came: &str) -> bool {
    wanted.eq_ignore_ascii_case(came) || finishes::compare(wanted, came) == Some(SameFinish::Same)
}

/// Returns how alike two sizes are, 0 to 100. Goods a little under or over are still the goods meant; the same size with
/// the grain turned is likely so.
fn sizes_alike(wanted: &Size, came: &Size) -> u32 {
    let face = if near(&wanted.across, &came.across) && near(&wanted.along, &came.along) {
        100
    } else if near(&wanted.across, &came.along) && near(&wanted.along, &came.across) {
        60
    } else {
        return 0;
    };
    match (&wanted.thickness, &came.thickness) {
        (Some(wanted), Some(came)) if !same_thickness(wanted, came) => face / 3,
        (Some(_) | None, Some(_) | None) => face,
    }
}

/// Within half an inch.
fn near(wanted: &Measure, came: &Measure) -> bool {
    const HALF_INCH: i64 = 12_700_000;
    (wanted.length.nm() - came.length.nm()).abs() <= HALF_INCH
}

/// Within a tenth: panels are made a little thinner than their name.
fn same_thickness(wanted: &Measure, came: &Measure) -> bool {
    (wanted.length.nm() - came.length.nm()).abs() <= wanted.length.nm() / 10
}

/// The words of an order's descriptions, and how many lines have each. What stands on every line tells none of them apart.
#[derive(Debug, Clone, Default)]
pub struct Descriptions {
    of_line: Vec<Vec<String>>,
    described: usize,
    counts: HashMap<String, usize>,
}

impl Descriptions {
    /// Reads the descriptions of an order's lines, in the order's order.
    pub fn of(order: &Order) -> Self {
        let mut all = Descriptions::default();
        for line in &order.lines {
            let words = line.description.as_deref().map(words).unwrap_or_default();
            all.described += usize::from(line.description.is_some());
            for word in &words {
                *all.counts.entry(word.clone()).or_default() += 1;
            }
            all.of_line.push(words);
        }
        all
    }

    /// Returns a word's weight, 1 to 4: a word of every line, or of none, weighs 1; a word of one line in four or fewer
    /// weighs 4.
    fn weight(&self, word: &str) -> usize {
        self.counts
            .get(word)
            .map_or(1, |count| (self.described / count).clamp(1, 4))
    }
}

/// Returns how alike two descriptions are, 0 to 100: words in common, each counted once and forgiving a slip of the
/// pen, over all their words (Dice).
pub fn words_alike(one: &str, other: &str) -> u32 {
    alike(&words(one), &words(other), |_| 1)
}

/// The same with a weight for each word; a word and its twin weigh what the first weighs.
fn alike(one: &[String], other: &[String], weight: impl Fn(&str) -> usize) -> u32 {
    let mut left: Vec<&String> = other.iter().collect();
    let mut all = 0;
    let mut common = 0;
    for word in one {
        all += weight(word);
        let twin = left
            .iter()
            .position(|known| *known == word)
            .or_else(|| left.iter().position(|known| one_slip(known, word)));
        if let Some(twin) = twin {
            left.remove(twin);
            all += weight(word);
            common += weight(word);
        }
    }
    all += left.iter().map(|word| weight(word)).sum::<usize>();
    if all == 0 {
        return 0;
    }
    u32::try_from(200 * common / all).unwrap_or(0)
}

/// Returns whether a word of five letters or more is another with one slip of the pen.
fn one_slip(known: &str, word: &str) -> bool {
    (5..=40).contains(&word.len())
        && known.len().abs_diff(word.len()) <= 4
        && strsim::damerau_levenshtein(known, word) == 1
}

/// Returns the words of a description in small letters, each once, at most forty.
pub fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let mut words: Vec<String> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '/')
        .filter(|word| !word.is_empty())
        .take(40)
        .map(ToOwned::to_owned)
        .collect();
    words.sort();
    words.dedup();
    words
}
