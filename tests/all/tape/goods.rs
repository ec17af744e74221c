//! What a shop orders, in five sorts, and the faults each can come with. Invented; decides nothing of how it is checked.

use crate::sequence_dice::Dice;
use asordered::model::kind::Kind;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The properties of a line or a lot, as YAML values by key.
pub type Fields = BTreeMap<&'static str, String>;

/// So much of a line's goods, with these properties.
#[derive(Debug, Clone)]
pub struct Lot {
    pub amount: Decimal,
    pub fields: Fields,
}

/// One line: what is ordered, what comes, and what was done to it on the way.
#[derive(Debug, Clone)]
pub struct Goods {
    pub description: String,
    pub unit: &'static str,
    pub ordered: Decimal,
    pub order: Fields,
    pub lots: Vec<Lot>,
    pub injected: Vec<(Kind, Decimal)>,
    pub price: Decimal,
    /// Whether its lots may come on two receipts: not where what a slip says belongs to one of them.
    pub may_split: bool,
}

pub fn pick<'a, T>(dice: &mut Dice, from: &'a [T]) -> &'a T {
    let last = i64::try_from(from.len()).unwrap() - 1;
    &from[usize::try_from(dice.roll(0, last)).unwrap()]
}

pub fn chance(dice: &mut Dice, per_cent: i64) -> bool {
    dice.roll(1, 100) <= per_cent
}

fn fields(pairs: &[(&'static str, &str)]) -> Fields {
    pairs
        .iter()
        .map(|(key, value)| (*key, (*value).to_owned()))
        .collect()
}

/// Makes a line of a random sort and faults it, or not.
pub fn goods(dice: &mut Dice) -> Goods {
    let mut goods = match dice.roll(0, 5) {
        0 | 1 => panel(dice),
        2 => hardware(dice),
        3 => boards(dice),
        4 => board_feet(dice),
        _ => {
            if chance(dice, 60) {
                leaves(dice)
            } else {
                appliance(dice)
            }
        }
    };
    goods.price = Decimal::new(dice.roll(50, 30_000), 2);
    goods
}

/// A line as ordered, all of it in one lot, and how many came after a fault in quantity, or none.
fn line(
    dice: &mut Dice,
    description: String,
    unit: &'static str,
    step: i64,
    order: Fields,
) -> Goods {
    let count = dice.roll(4, 40);
    let whole = |count: i64| Decimal::from(count * step);
    let mut goods = Goods {
        description,
        unit,
        ordered: whole(count),
        order,
        lots: Vec::new(),
        injected: Vec::new(),
        price: Decimal::ZERO,
        may_split: true,
    };
    let some = dice.roll(1, (count - 1).min(9));
    let mut arrived = count;
    let mut lot = Fields::new();
    match dice.roll(0, 19) {
        0 | 1 => {
            arrived -= some;
            goods.injected.push((Kind::Short, whole(some)));
        }
        2 | 3 => {
            arrived += some;
            goods.injected.push((Kind::Over, whole(some)));
        }
        4 => {
            arrived -= some;
            goods.may_split = false;
            lot.insert("back_order", format!("{} {unit}", whole(some)));
            goods.injected.push((Kind::BackOrdered, whole(some)));
        }
        5 => {
            goods.may_split = false;
            lot.insert("slip", format!("{} {unit}", whole(count + some)));
            goods.injected.push((Kind::SlipDiffers, whole(some)));
        }
        // Not faults: a slip that agrees, a shortage and an excess that the order allows.
        6 => {
            goods.may_split = false;
            lot.insert("slip", format!("{} {unit}", whole(count)));
        }
        7 => {
            arrived -= some;
            let allowed = whole(some);
            goods
                .order
                .insert("tolerance", format!("{{under: {allowed}}}"));
        }
        8 => {
            arrived += some;
            let allowed = whole(some);
            goods
                .order
                .insert("tolerance", format!("{{over: {allowed}}}"));
        }
        _ => {}
    }
    goods.lots.push(Lot {
        amount: whole(arrived),
        fields: lot,
    });
    goods
}

impl Goods {
    fn all(&self) -> Decimal {
        self.lots.iter().map(|lot| lot.amount).sum()
    }

    /// Gives every lot the properties of goods as ordered.
    fn right(&mut self, right: &Fields) {
        for lot in &mut self.lots {
            lot.fields.extend(right.clone());
        }
    }

    /// Faults some of the goods, or all: sets the fields, or takes out those without a value.
    fn fault(&mut self, dice: &mut Dice, kind: Kind, changed: &[(&'static str, &str)]) {
        let some = if chance(dice, 50) && self.may_split && self.all() > Decimal::ONE {
            (self.all() / Decimal::from(dice.roll(2, 4)))
                .floor()
                .max(Decimal::ONE)
        } else {
            self.all()
        };
        let mut lot = self.lots[0].clone();
        lot.amount = some;
        for (key, value) in changed {
            if value.is_empty() {
                lot.fields.remove(key);
            } else {
                lot.fields.insert(key, (*value).to_owned());
            }
        }
        self.lots[0].amount -= some;
        if self.lots[0].amount.is_zero() {
            self.lots.remove(0);
        }
        self.lots.push(lot);
        self.injected.push((kind, some));
    }

    fn damage(&mut self, dice: &mut Dice) {
        let most = self.lots[0].amount.min(Decimal::from(3));
        let damaged = Decimal::from(dice.roll(1, i64::try_from(most).unwrap_or(1).max(1)));
        let when = if chance(dice, 50) {
            "visible"
        } else {
            "concealed"
        };
        let unit = self.unit;
        let fields = &mut self.lots[0].fields;
        fields.insert("damaged", format!("{damaged} {unit}"));
        fields.insert("damage", when.to_owned());
        self.injected.push((Kind::Damaged, damaged));
    }
}

const SPECIES: &[&str] = &[
    "maple",
    "white oak",
    "walnut",
    "cherry",
    "ash",
    "birch",
    "sapele",
];

fn panel(dice: &mut Dice) -> Goods {
    let species = *pick(dice, SPECIES);
    let thickness = *pick(dice, &["1/4", "1/2", "3/4", "1"]);
    let size = format!("48 in x 96 in x {thickness} in");
    let order = fields(&[
        ("grade", "A"),
        ("scale", "hp1-face"),
        ("size", &size),
        ("size_tolerance", "{under: 1/16 in, over: 1/16 in}"),
        ("finish", "{core: veneer}"),
        ("requires", "[TSCA Title VI label]"),
    ]);
    let description = format!("{species} plywood {thickness} in, veneer core");
    let mut goods = line(dice, description, "sheet", 1, order);
    // Within the tolerance, which is no fault.
    let across = *pick(dice, &["48", "47 15/16", "48 1/16"]);
    let sized =
        |across: &str, along: &str, thick: &str| format!("{across} in x {along} in x {thick} in");
    goods.right(&fields(&[
        ("grade", "A"),
        ("size", &sized(across, "96", thickness)),
        ("finish", "{core: Veneer}"),
        ("papers", "[tsca title vi label, packing list]"),
    ]));
    match dice.roll(0, 17) {
        0 => goods.fault(dice, Kind::GradeLower, &[("grade", "B")]),
        1 => goods.fault(dice, Kind::GradeHigher, &[("grade", "AA")]),
        2 => goods.fault(dice, Kind::GradeNotComparable, &[("grade", "SP")]),
        3 => goods.fault(dice, Kind::GradeNotRecorded, &[("grade", "")]),
        4 => goods.fault(
            dice,
            Kind::Undersize,
            &[("size", &sized("47 7/8", "96", thickness))],
        ),
        5 => goods.fault(
            dice,
            Kind::Oversize,
            &[("size", &sized("48", "96 1/8", thickness))],
        ),
        6 => goods.fault(
            dice,
            Kind::GrainTurned,
            &[("size", &sized("96", "48", thickness))],
        ),
        7 => goods.fault(dice, Kind::SizeNotRecorded, &[("size", "")]),
        8 => goods.fault(dice, Kind::FinishDiffers, &[("finish", "{core: mdf}")]),
        9 => goods.fault(dice, Kind::FinishNotRecorded, &[("finish", "")]),
        10 => goods.fault(dice, Kind::PaperMissing, &[("papers", "[packing list]")]),
        11 => goods.fault(
            dice,
            Kind::FinishNotRecorded,
            &[("finish", "{core: veneer, flatness: bowed}")],
        ),
        12 => goods.damage(dice),
        _ => {}
    }
    goods
}

fn hardware(dice: &mut Dice) -> Goods {
    let thing = *pick(
        dice,
        &[
            "bar pull",
            "cup pull",
            "round knob",
            "butt hinge",
            "cam lock",
            "shelf pin",
        ],
    );
    let length = *pick(dice, &["20 mm", "96 mm", "128 mm", "160 mm"]);
    // One finish under two numbers, and others.
    let (wanted, same, other) = *pick(
        dice,
        &[
            ("US10B", "613", "619"),
            ("US14", "BHMA 618", "US10B"),
            ("628", "US28", "US32D"),
        ],
    );
    let order = fields(&[
        ("finish", &format!("{{finish: \"{wanted}\"}}")),
        ("pack", "10 each"),
    ]);
    let description = format!("{thing} {length}, {wanted}");
    let mut goods = line(dice, description, "each", 10, order);
    goods.right(&fields(&[("finish", &format!("{{finish: \"{same}\"}}"))]));
    match dice.roll(0, 9) {
        0 => goods.fault(
            dice,
            Kind::FinishDiffers,
            &[("finish", &format!("{{finish: \"{other}\"}}"))],
        ),
        1 => goods.fault(dice, Kind::FinishNotRecorded, &[("finish", "")]),
        2 => goods.damage(dice),
        _ => {}
    }
    // Whole boxes may be counted as boxes.
    let boxes = chance(dice, 40);
    for lot in &mut goods.lots {
        let count = lot.amount / Decimal::TEN;
        if boxes && count.fract().is_zero() {
            lot.fields
                .insert("quantity", format!("{} box", count.normalize()));
        }
    }
    goods
}

fn boards(dice: &mut Dice) -> Goods {
    let species = *pick(dice, SPECIES);
    let (wanted, right, lower, higher) = *pick(
        dice,
        &[
            ("1C", "1C", "2A", "FAS"),
            ("1C & better", "FAS", "2A", ""),
            ("2B", "2B", "3B", "1C"),
        ],
    );
    let order = fields(&[("grade", wanted), ("scale", "nhla"), ("moisture", "6-8 %")]);
    let description = format!("{species} lumber kiln dried {wanted}");
    let mut goods = line(dice, description, "board", 1, order);
    goods.right(&fields(&[("grade", right), ("moisture", "7 %")]));
    match dice.roll(0, 11) {
        0 => goods.fault(dice, Kind::GradeLower, &[("grade", lower)]),
        1 if !higher.is_empty() => goods.fault(dice, Kind::GradeHigher, &[("grade", higher)]),
        2 if wanted == "2B" => goods.fault(dice, Kind::GradeNotComparable, &[("grade", "3A")]),
        3 => goods.fault(dice, Kind::GradeNotRecorded, &[("grade", "")]),
        4 => goods.fault(dice, Kind::FinishNotRecorded, &[("moisture", "11 %")]),
        5 => goods.fault(
            dice,
            Kind::FinishDiffers,
            &[("moisture", "11 %"), ("checked_again", "[moisture]")],
        ),
        6 => goods.fault(dice, Kind::FinishNotRecorded, &[("moisture", "")]),
        _ => {}
    }
    goods
}

/// Boards of 6 in x 10 ft are 5 ft of surface measure each, so 5, 6 1/4 and 10 board feet at 4/4, 5/4 and 8/4.
fn board_feet(dice: &mut Dice) -> Goods {
    let species = *pick(dice, SPECIES);
    let (quarters, feet, least, below) = *pick(
        dice,
        &[
            (4, 500, "15/16 in", "7/8 in"),
            (5, 625, "1 3/16 in", "1 1/8 in"),
            (8, 1000, "1 7/8 in", "1 13/16 in"),
        ],
    );
    let one = Decimal::new(feet, 2);
    let count = dice.roll(4, 40);
    let mut arrived = count;
    let mut injected = Vec::new();
    let some = dice.roll(1, 3);
    match dice.roll(0, 5) {
        0 => {
            arrived -= some;
            injected.push((Kind::Short, one * Decimal::from(some)));
        }
        1 => {
            arrived += some;
            injected.push((Kind::Over, one * Decimal::from(some)));
        }
        _ => {}
    }
    let all = one * Decimal::from(arrived);
    let thin = chance(dice, 20);
    if thin {
        injected.push((Kind::Undersize, all));
    }
    let boards = vec!["6x10"; usize::try_from(arrived).unwrap()].join(", ");
    let measured = if thin { below } else { least };
    let tally = format!("{{thickness: {quarters}/4, measured: {measured}, boards: \"{boards}\"}}");
    Goods {
        description: format!("{species} lumber rough {quarters}/4"),
        unit: "bd ft",
        ordered: one * Decimal::from(count),
        order: fields(&[("finish", &format!("{{thickness: {quarters}/4}}"))]),
        lots: vec![Lot {
            amount: all,
            fields: fields(&[("tally", &tally), ("quantity", "")]),
        }],
        injected,
        price: Decimal::ZERO,
        may_split: false,
    }
}

fn leaves(dice: &mut Dice) -> Goods {
    let species = *pick(dice, SPECIES);
    let cut = *pick(dice, &["rift", "flat cut", "quartered"]);
    // One set of four out of six leaves that follow on, two spare.
    let order = fields(&[
        ("size", "12 in x 120 in"),
        ("clear", "10 in x 96 in"),
        ("sequence", "{sets: [4]}"),
    ]);
    let first = dice.roll(1, 60);
    // A leaf is a thing: no two lines of an order share one.
    let flitch = dice.roll(1, 1_000_000_000);
    let leaf = |place: i64, defects: &str| {
        format!(
            "{{flitch: \"F-{flitch}\", leaf: {}, defects: [{defects}]}}",
            first + place
        )
    };
    // A knot in the middle leaves no clear piece; one in the corner does.
    let middle = "{kind: knot, at: 5 in x 50 in, size: 2 in x 3 in}";
    let corner = "{kind: knot, at: 0 in x 0 in, size: 1 in x 2 in}";
    let mut places: Vec<(i64, &str)> = (0..6).map(|place| (place, "")).collect();
    let mut injected = Vec::new();
    let mut recorded = true;
    match dice.roll(0, 9) {
        0 => {
            places.pop();
            injected.push((Kind::Short, Decimal::ONE));
        }
        1 => {
            places.push((6, ""));
            injected.push((Kind::Over, Decimal::ONE));
        }
        2 => {
            for (place, skipped) in places.iter_mut().zip([0, 0, 1, 1, 2, 2]) {
                place.0 += skipped;
            }
            injected.push((Kind::SetsMissing, Decimal::ONE));
        }
        3 => {
            recorded = false;
            injected.push((Kind::SequenceNotRecorded, Decimal::from(6)));
        }
        4 => {
            places[0].1 = middle;
            injected.push((Kind::NotClear, Decimal::ONE));
        }
        5 => {
            places[2].1 = middle;
            injected.push((Kind::NotClear, Decimal::ONE));
            injected.push((Kind::SetsMissing, Decimal::ONE));
        }
        6 => places[1].1 = corner,
        _ => {}
    }
    let amount = Decimal::from(places.len());
    let mut lot = fields(&[("size", "12 in x 120 in")]);
    if recorded {
        let list: Vec<String> = places
            .iter()
            .map(|(place, defects)| leaf(*place, defects))
            .collect();
        lot.insert("leaves", format!("[{}]", list.join(", ")));
    }
    Goods {
        description: format!("{species} veneer {cut}"),
        unit: "leaf",
        ordered: Decimal::from(6),
        order,
        lots: vec![Lot {
            amount,
            fields: lot,
        }],
        injected,
        price: Decimal::ZERO,
        may_split: false,
    }
}

fn appliance(dice: &mut Dice) -> Goods {
    let thing = *pick(
        dice,
        &["cooktop", "wall oven", "dishwasher", "refrigerator"],
    );
    let energy = *pick(dice, &["gas", "electric"]);
    let model = dice.roll(100, 999);
    let order = fields(&[
        ("opening", "24 in x 34 1/2 in"),
        ("finish", &format!("{{energy: {energy}, model: M-{model}}}")),
    ]);
    let mut goods = line(
        dice,
        format!("{thing} {energy} M-{model}"),
        "each",
        1,
        order,
    );
    goods.right(&fields(&[
        ("size", "23 7/8 in x 34 1/2 in"),
        ("finish", &format!("{{energy: {energy}, model: M-{model}}}")),
    ]));
    match dice.roll(0, 7) {
        0 => goods.fault(dice, Kind::Oversize, &[("size", "24 1/8 in x 34 in")]),
        1 => goods.fault(
            dice,
            Kind::FinishDiffers,
            &[(
                "finish",
                &format!("{{energy: {energy}, model: M-{}}}", model + 1),
            )],
        ),
        2 => goods.damage(dice),
        _ => {}
    }
    goods
}
