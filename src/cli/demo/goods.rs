//! The suppliers of the invented year: what they sell, how often a delivery goes wrong, and how. All invented.

use crate::review::compare::Verdict;

/// What can be wrong with a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Less than ordered.
    Short,
    /// More than ordered.
    Over,
    /// A grade lower, or the wrong finish where the goods have no grade.
    Lower,
    /// Damaged.
    Damaged,
    /// Leaves that do not follow on, where the goods are leaves; else damaged.
    Broken,
}

/// Something to buy.
#[derive(Debug)]
pub struct Goods {
    /// The item's code.
    pub item: &'static str,
    /// What it is.
    pub description: &'static str,
    /// Its unit of measure.
    pub unit: &'static str,
    /// The price of one, as written.
    pub price: &'static str,
    /// The least that is ordered; the most is twice that.
    pub least: u32,
    /// What is asked for beside the amount: key, value, and the value that comes when it is wrong. More lines of
    /// YAML may stand before.
    pub asked: Option<(&'static str, &'static str, &'static str)>,
    /// Whether it comes as leaves that make two sets of four.
    pub leaves: bool,
}

/// One supplier.
#[derive(Debug)]
pub struct Supplier {
    /// Its identifier.
    pub id: &'static str,
    /// Deliveries that go wrong, per cent.
    pub bad: u64,
    /// Deliveries that come late, per cent.
    pub late: u64,
    /// What goes wrong, each alike.
    pub faults: &'static [Fault],
    /// What it sells, each alike.
    pub goods: &'static [Goods],
    /// Days until a claim is settled, at least and below.
    pub settles: (u64, u64),
    /// What an honest review says of it.
    pub truth: Verdict,
}

const fn goods(
    item: &'static str,
    description: &'static str,
    unit: &'static str,
    price: &'static str,
    least: u32,
    asked: Option<(&'static str, &'static str, &'static str)>,
) -> Goods {
    Goods {
        item,
        description,
        unit,
        price,
        least,
        asked,
        leaves: false,
    }
}

const FACE: Option<(&str, &str, &str)> = Some(("hp1-face", "A", "B"));
const BOARD: Option<(&str, &str, &str)> = Some(("nhla", "FAS", "1C"));
const PANEL: Option<(&str, &str, &str)> = Some(("hp1", "A-1", "B-2"));
const COLOUR: Option<(&str, &str, &str)> = Some(("", "satin brass", "polished brass"));
const SHEEN: Option<(&str, &str, &str)> = Some(("", "matt", "gloss"));

/// The five suppliers. Usual is 15 in 100 deliveries; one truly has many more and one truly nearly none.
pub const SUPPLIERS: [Supplier; 5] = [
    Supplier {
        id: "bramblegate",
        bad: 15,
        late: 10,
        faults: &[Fault::Lower, Fault::Damaged, Fault::Short],
        goods: &[
            goods(
                "MPL-A1-34",
                "Maple plywood 3/4 in, A-1",
                "sheet",
                "94.00",
                10,
                PANEL,
            ),
            goods(
                "BIR-A1-12",
                "Birch plywood 1/2 in, A-1",
                "sheet",
                "68.00",
                12,
                PANEL,
            ),
            goods("MDF-34", "MDF 3/4 in", "sheet", "41.50", 16, None),
        ],
        settles: (6, 40),
        truth: Verdict::AsOthers,
    },
    Supplier {
        id: "copperfinch",
        bad: 38,
        late: 18,
        faults: &[Fault::Short, Fault::Short, Fault::Lower, Fault::Over],
        goods: &[
            goods("HNG-110", "Hinges, 110 degrees", "pair", "7.40", 40, COLOUR),
            goods("PUL-160", "Bar pulls, 160 mm", "each", "11.90", 30, COLOUR),
            goods(
                "SLD-500",
                "Drawer slides, 500 mm",
                "pair",
                "32.00",
                12,
                None,
            ),
        ],
        settles: (15, 90),
        truth: Verdict::Worse,
    },
    Supplier {
        id: "gorsewick",
        bad: 1,
        late: 4,
        faults: &[Fault::Damaged, Fault::Short],
        goods: &[
            goods("HPL-WHT", "Laminate, white", "sheet", "88.00", 8, SHEEN),
            goods("HPL-GRY", "Laminate, warm grey", "sheet", "91.00", 8, SHEEN),
            goods("EDG-22", "Edge band, 22 mm", "roll", "54.00", 6, None),
        ],
        settles: (4, 14),
        truth: Verdict::Better,
    },
    Supplier {
        id: "quillfeather",
        bad: 15,
        late: 12,
        faults: &[Fault::Broken, Fault::Lower, Fault::Short, Fault::Damaged],
        goods: &[
            Goods {
                item: "RWO-48x120",
                description: "Rift white oak veneer, paper-backed",
                unit: "sheet",
                price: "212.50",
                least: 8,
                asked: FACE,
                leaves: true,
            },
            goods(
                "WAL-48x96",
                "Walnut veneer, flat cut, paper-backed",
                "sheet",
                "168.00",
                6,
                FACE,
            ),
            goods(
                "CHY-48x96",
                "Cherry veneer, paper-backed",
                "sheet",
                "121.00",
                8,
                FACE,
            ),
        ],
        settles: (8, 45),
        truth: Verdict::AsOthers,
    },
    Supplier {
        id: "tallowmere",
        bad: 15,
        late: 15,
        faults: &[Fault::Lower, Fault::Short, Fault::Damaged],
        goods: &[
            goods(
                "WO-54-FAS",
                "White oak, rift, kiln dried",
                "board",
                "41.00",
                30,
                BOARD,
            ),
            goods(
                "WAL-44-FAS",
                "Walnut, kiln dried",
                "board",
                "58.00",
                20,
                BOARD,
            ),
            goods("POP-44", "Poplar, kiln dried", "board", "14.50", 40, None),
        ],
        settles: (7, 50),
        truth: Verdict::AsOthers,
    },
];
