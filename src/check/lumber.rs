//! Measures lumber from its tally by the NHLA rules. Judges neither thickness nor grade.

use crate::check::ratio::Ratio;
use crate::model::order::MeasureRule;
use crate::model::receipt::{Board, Tally};
use rust_decimal::{Decimal, RoundingStrategy};

/// Decimals of a measure that was brought back from net to green: shrinkage is an estimate.
const GREEN_PLACES: u32 = 2;

/// A tally measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// How many boards.
    pub boards: u64,
    /// Surface measure of all boards, square feet, whole.
    pub surface: u64,
    /// Thickness that counts, in quarters of an inch: at least 4.
    pub quarters: u32,
    /// What the tally makes, board feet: surface measure times thickness, before any allowance for drying.
    pub tallied: Decimal,
    /// The per cent of the green measure that drying took, where the order is for green measure and states it.
    pub shrinkage: Option<Decimal>,
    /// What counts against the order, board feet.
    pub board_feet: Decimal,
    /// The same for each grade that boards bear, in the order of first mention; boards without one count under `None`.
    pub grades: Vec<GradeSum>,
}

/// The boards of one grade in a tally.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GradeSum {
    /// The grade as tallied.
    pub grade: Option<String>,
    /// How many boards.
    pub boards: u64,
    /// Surface measure, square feet.
    pub surface: u64,
    /// What counts against the order, board feet. The grades add up to the whole.
    pub board_feet: Decimal,
}

/// Rounds to whole numbers; of exact halves the first goes up, the next down, and so on over a tally (NHLA).
struct Halves {
    up: bool,
}

impl Halves {
    const fn new() -> Self {
        Halves { up: true }
    }

    /// Returns the sum of `count` amounts alike, each rounded to the nearest whole number.
    fn sum(&mut self, amount: Ratio, count: u64) -> Option<u64> {
        let floor = u64::try_from(amount.floor()).ok()?;
        let twice = amount.times(Ratio::new(2, 1)?)?;
        let ups = match (twice.floor() % 2 == 1, twice.is_whole()) {
            (true, true) => self.ups(count),
            (true, false) => count,
            (false, _) => 0,
        };
        floor.checked_mul(count)?.checked_add(ups)
    }

    /// Returns how many of `count` exact halves go up.
    fn ups(&mut self, count: u64) -> u64 {
        let ups = count / 2 + u64::from(self.up && count % 2 == 1);
        self.up ^= count % 2 == 1;
        ups
    }
}

/// The roundings of one tally; widths and surface measures alternate each on their own.
struct Rounding {
    surfaces: Halves,
    widths: Halves,
}

impl Rounding {
    /// Returns the surface measure of a number of alike boards, square feet: width with fractions times whole feet over
    /// twelve, each board rounded to a whole number.
    fn surface(&mut self, width: Ratio, feet: u128, count: u64) -> Option<u64> {
        self.surfaces
            .sum(width.times(Ratio::new(feet, 12)?)?, count)
    }

    /// The same where widths count in whole inches: to the nearest inch, exact halves alternately up and down (export
    /// practice, from memory).
    fn surface_of_whole_inches(&mut self, width: Ratio, feet: u128, count: u64) -> Option<u64> {
        let halves = width.times(Ratio::new(2, 1)?)?;
        if !halves.is_whole() || width.is_whole() {
            let inches = Ratio::new(self.widths.sum(width, 1)?.into(), 1)?;
            return self.surface(inches, feet, count);
        }
        let wide = self.widths.ups(count);
        let below = width.floor();
        let lower = self.surface(Ratio::new(below, 1)?, feet, count - wide)?;
        let upper = self.surface(Ratio::new(below.checked_add(1)?, 1)?, feet, wide)?;
        lower.checked_add(upper)
    }
}

/// Measures a tally; `None` when it is larger than any real one, or an amount in it is negative.
///
/// A fraction of a foot of length is dropped, under 1 in of thickness counts as 1 in, and surface measures are summed before
/// they are multiplied by the thickness (NHLA). The board feet are not rounded. Where the order is for green measure and
/// states what drying takes, the tally is brought back to green, to a hundredth of a board foot.
pub fn measured(tally: &Tally, rule: MeasureRule) -> Option<Measured> {
    let mut rounding = Rounding {
        surfaces: Halves::new(),
        widths: Halves::new(),
    };
    let mut sums: Vec<GradeSum> = Vec::new();
    for board in &tally.boards {
        let surface = surface(board, rule, &mut rounding)?;
        let at = match sums.iter().position(|sum| sum.grade == board.grade) {
            Some(at) => at,
            None => {
                sums.push(GradeSum {
                    grade: board.grade.clone(),
                    boards: 0,
                    surface: 0,
                    board_feet: Decimal::ZERO,
                });
                sums.len() - 1
            }
        };
        sums[at].boards = sums[at].boards.checked_add(board.count.into())?;
        sums[at].surface = sums[at].surface.checked_add(surface)?;
    }
    let quarters = tally.quarters.max(4);
    let shrinkage = rule.shrinkage.filter(|_| !rule.net);
    let mut whole = Measured {
        boards: 0,
        surface: 0,
        quarters,
        tallied: Decimal::ZERO,
        shrinkage,
        board_feet: Decimal::ZERO,
        grades: sums,
    };
    for sum in &mut whole.grades {
        let tallied = board_feet(sum.surface, quarters)?;
        sum.board_feet = green(tallied, shrinkage)?;
        whole.boards = whole.boards.checked_add(sum.boards)?;
        whole.surface = whole.surface.checked_add(sum.surface)?;
        whole.tallied = whole.tallied.checked_add(tallied)?;
        whole.board_feet = whole.board_feet.checked_add(sum.board_feet)?;
    }
    Some(whole)
}

fn surface(board: &Board, rule: MeasureRule, rounding: &mut Rounding) -> Option<u64> {
    let width = Ratio::of(board.width)?;
    let feet = Ratio::of(board.length)?.floor();
    let count = u64::from(board.count);
    if rule.whole_inch {
        rounding.surface_of_whole_inches(width, feet, count)
    } else {
        rounding.surface(width, feet, count)
    }
}

/// Returns surface measure times thickness, exact.
fn board_feet(surface: u64, quarters: u32) -> Option<Decimal> {
    let quarter_feet = Decimal::from(surface).checked_mul(Decimal::from(quarters))?;
    Some(quarter_feet.checked_div(Decimal::from(4))?.normalize())
}

/// Returns the green measure of a net one: 460 net at 8 per cent are 500 green.
fn green(net: Decimal, shrinkage: Option<Decimal>) -> Option<Decimal> {
    let Some(per_cent) = shrinkage else {
        return Some(net);
    };
    let left = Decimal::ONE_HUNDRED.checked_sub(per_cent)?;
    if left <= Decimal::ZERO || per_cent < Decimal::ZERO {
        return None;
    }
    let green = net.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(left)?;
    Some(
        green
            .round_dp_with_strategy(GREEN_PLACES, RoundingStrategy::MidpointNearestEven)
            .normalize(),
    )
}
