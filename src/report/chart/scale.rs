//! Round axes. Writes nothing.

use crate::review::statistics::thousands;

/// An axis from 0 to a round end, with its ticks.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scale {
    step: f64,
    most: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// Makes an axis from 0 to the first round value at or past `most`, drawn between the places `from` and `to`.
    pub(super) fn round(most: f64, from: f64, to: f64) -> Scale {
        let exact = Scale::exact(most, from, to);
        Scale {
            most: (exact.most / exact.step - 1e-9).ceil() * exact.step,
            ..exact
        }
    }

    /// Makes an axis from 0 to `most`, which need not be round.
    pub(super) fn exact(most: f64, from: f64, to: f64) -> Scale {
        let most = if most > 0.0 { most } else { 1.0 };
        let rough = most / 6.0;
        let power = 10_f64.powf(rough.log10().floor());
        let step = [1.0, 2.0, 5.0]
            .map(|round| round * power)
            .into_iter()
            .find(|step| *step >= rough * 0.999);
        Scale {
            step: step.unwrap_or(10.0 * power),
            most,
            from,
            to,
        }
    }

    /// Returns the end of the axis.
    pub(super) fn most(&self) -> f64 {
        self.most
    }

    /// Returns the place of a value.
    pub(super) fn at(&self, value: f64) -> f64 {
        self.from + (self.to - self.from) * value / self.most
    }

    /// Returns the ticks of an axis of rates: `0 %`, `5 %`.
    pub(super) fn rates(&self) -> Vec<(f64, String)> {
        let places = (-(self.step * 100.0).log10().floor()).max(0.0) as usize;
        self.ticks(|value| format!("{:.*} %", places, value * 100.0))
    }

    /// Returns the ticks of an axis of counts; those between whole numbers are left out.
    pub(super) fn counts(&self) -> Vec<(f64, String)> {
        let mut ticks = self.ticks(|value| thousands(value.round() as u64));
        ticks.retain(|(value, _)| (value - value.round()).abs() < 1e-9);
        ticks
    }

    fn ticks(&self, words: impl Fn(f64) -> String) -> Vec<(f64, String)> {
        let steps = (self.most / self.step + 1e-9) as u32;
        (0..=steps)
            .map(|tick| self.step * f64::from(tick))
            .map(|value| (value, words(value)))
            .collect()
    }
}
