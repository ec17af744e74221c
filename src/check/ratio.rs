//! Exact fractions of whole numbers, for converting units without rounding on the way. Not a general number type: it never
//! goes below zero, and everything that would overflow says so.

use rust_decimal::{Decimal, RoundingStrategy};
use std::cmp::Ordering;

/// Decimals kept where a fraction does not end: a billionth of a unit.
const KEPT: u32 = 9;

/// A fraction, never negative, in lowest terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    above: u128,
    below: u128,
}

const fn common(mut a: u128, mut b: u128) -> u128 {
    // Most amounts are whole; 128-bit division is the slowest step of a check.
    if a == 1 || b == 1 {
        return 1;
    }
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Ratio {
    /// Nothing.
    pub const ZERO: Ratio = Ratio { above: 0, below: 1 };

    /// One.
    pub const ONE: Ratio = Ratio { above: 1, below: 1 };

    /// Makes `above / below`; `None` when `below` is zero.
    pub fn new(above: u128, below: u128) -> Option<Self> {
        if below == 0 {
            return None;
        }
        let by = common(above, below).max(1);
        Some(Ratio {
            above: above / by,
            below: below / by,
        })
    }

    /// Makes the fraction a decimal is; `None` when it is negative.
    pub fn of(amount: Decimal) -> Option<Self> {
        let above = u128::try_from(amount.mantissa()).ok()?;
        let below = 10_u128.checked_pow(amount.scale())?;
        Ratio::new(above, below)
    }

    /// Returns the product; `None` when it is too large.
    pub fn times(self, other: Ratio) -> Option<Self> {
        // Cancelled crosswise first, the products are as small as they can be.
        let first = Ratio::new(self.above, other.below)?;
        let second = Ratio::new(other.above, self.below)?;
        Some(Ratio {
            above: first.above.checked_mul(second.above)?,
            below: first.below.checked_mul(second.below)?,
        })
    }

    /// Returns the quotient; `None` when it is too large or `other` is zero.
    pub fn over(self, other: Ratio) -> Option<Self> {
        self.times(Ratio::new(other.below, other.above)?)
    }

    /// Returns the sum; `None` when it is too large.
    pub fn plus(self, other: Ratio) -> Option<Self> {
        let by = common(self.below, other.below);
        let (mine, theirs) = (other.below / by, self.below / by);
        let above = self
            .above
            .checked_mul(mine)?
            .checked_add(other.above.checked_mul(theirs)?)?;
        Ratio::new(above, self.below.checked_mul(mine)?)
    }

    /// Returns the whole part.
    pub const fn floor(self) -> u128 {
        self.above / self.below
    }

    /// Returns whether nothing is left beside the whole part.
    pub const fn is_whole(self) -> bool {
        self.below == 1
    }

    /// Returns the decimal: exact where the fraction ends within 28 places, else rounded to nine, halves to even; `None` when
    /// it is too large.
    pub fn decimal(self) -> Option<Decimal> {
        let whole = |n: u128| Decimal::try_from_i128_with_scale(i128::try_from(n).ok()?, 0).ok();
        if let Some(exact) = self.ending() {
            return Some(exact);
        }
        let part = match (whole(self.above), whole(self.below)) {
            (Some(above), Some(below)) => above.checked_div(below)?,
            // Both are longer than a decimal holds: whole part and the first places by long division.
            _ => {
                let mut rest = self.above % self.below;
                let mut digits = whole(self.above / self.below)?;
                for place in 1..=KEPT + 2 {
                    rest = rest.checked_mul(10)?;
                    let digit = i64::try_from(rest / self.below).ok()?;
                    digits = digits.checked_add(Decimal::new(digit, place))?;
                    rest %= self.below;
                }
                digits
            }
        };
        Some(
            part.round_dp_with_strategy(KEPT, RoundingStrategy::MidpointNearestEven)
                .normalize(),
        )
    }

    /// Returns the decimal where the fraction ends and fits.
    fn ending(self) -> Option<Decimal> {
        let (mut below, mut twos, mut fives) = (self.below, 0_u32, 0_u32);
        while below % 2 == 0 {
            (below, twos) = (below / 2, twos + 1);
        }
        while below % 5 == 0 {
            (below, fives) = (below / 5, fives + 1);
        }
        let scale = twos.max(fives);
        if below != 1 || scale > 28 {
            return None;
        }
        let above = self
            .above
            .checked_mul(2_u128.checked_pow(scale - twos)?)?
            .checked_mul(5_u128.checked_pow(scale - fives)?)?;
        Decimal::try_from_i128_with_scale(i128::try_from(above).ok()?, scale)
            .ok()
            .map(|exact| exact.normalize())
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    /// Compares the fractions exactly, digit by digit of their continued fractions, so that nothing overflows.
    fn cmp(&self, other: &Self) -> Ordering {
        let (mut a, mut b) = (*self, *other);
        let mut flipped = false;
        loop {
            let order = match (a.above / a.below).cmp(&(b.above / b.below)) {
                Ordering::Equal => {
                    let (rest_a, rest_b) = (a.above % a.below, b.above % b.below);
                    if rest_a != 0 && rest_b != 0 {
                        // Of two fractions below one, the larger has the smaller reciprocal.
                        (a, b) = (
                            Ratio {
                                above: a.below,
                                below: rest_a,
                            },
                            Ratio {
                                above: b.below,
                                below: rest_b,
                            },
                        );
                        flipped = !flipped;
                        continue;
                    }
                    rest_a.cmp(&rest_b)
                }
                order => order,
            };
            return if flipped { order.reverse() } else { order };
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::Ratio;
    use proptest::prelude::{any, prop_assert_eq, proptest};
    use rust_decimal::Decimal;

    fn ratio(above: u128, below: u128) -> Ratio {
        Ratio::new(above, below).unwrap()
    }

    proptest! {
        #[test]
        fn order_sum_product_and_quotient_agree_with_common_denominators(
            (a, b, c, d) in (any::<u16>(), 1_u16.., any::<u16>(), 1_u16..)
        ) {
            let (a, b, c, d) = (u128::from(a), u128::from(b), u128::from(c), u128::from(d));
            let (x, y) = (ratio(a, b), ratio(c, d));
            prop_assert_eq!(x.cmp(&y), (a * d).cmp(&(c * b)));
            prop_assert_eq!(x.plus(y), Ratio::new(a * d + c * b, b * d));
            prop_assert_eq!(x.times(y), Ratio::new(a * c, b * d));
            prop_assert_eq!(x.over(y), Ratio::new(a * d, b * c));
        }

        #[test]
        fn a_decimal_comes_back_as_it_was(low: u32, mid: u32, high: u32, scale in 0_u32..=28) {
            let amount = Decimal::from_parts(low, mid, high, false, scale);
            prop_assert_eq!(Ratio::of(amount).and_then(Ratio::decimal), Some(amount));
        }
    }

    #[test]
    fn fractions_too_long_for_a_decimal_are_rounded_by_long_division() {
        let long = 3 * 10_u128.pow(30);
        assert_eq!(ratio(2 * long + 1, long).decimal(), Some(Decimal::TWO));
        assert_eq!(
            ratio(2 * 10_u128.pow(30) + 3, long).decimal(),
            Some(Decimal::new(666_666_667, 9))
        );
    }

    #[test]
    fn negatives_zero_divisors_and_overflow_are_refused() {
        assert_eq!(Ratio::of(Decimal::NEGATIVE_ONE), None);
        assert_eq!(Ratio::new(1, 0), None);
        assert_eq!(Ratio::ONE.over(Ratio::ZERO), None);
        let most = ratio(u128::MAX, 1);
        assert_eq!(most.times(ratio(2, 1)), None);
        assert_eq!(most.plus(Ratio::ONE), None);
        assert_eq!(most.decimal(), None);
    }
}
