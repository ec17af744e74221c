//! A small linear program: of some mixtures of pieces, the average that leaves the fewest pieces wanting. Its prices are
//! only a guide; whoever relies on them reckons in whole numbers. Knows nothing of parts or flitches.

/// A mixture: for each size how many pieces, then 1 where it is a whole cutting, and what it costs.
struct Column {
    entries: Vec<f64>,
    cost: f64,
}

/// The program in its revised simplex form. Rows: one for each size, and one that makes the shares add up to 1.
pub(super) struct Master {
    columns: Vec<Column>,
    /// For each row the column that stands for it, and how much of it.
    basis: Vec<usize>,
    amounts: Vec<f64>,
    inverse: Vec<Vec<f64>>,
}

const SMALL: f64 = 1e-9;
/// What may be spent on one average: the more sizes, the fewer steps, each of which then takes longer.
const STEPS: usize = 200_000;

impl Master {
    /// Starts from one cutting of everything.
    pub(super) fn new(wanted: &[u16], first: &[i64]) -> Master {
        let rows = wanted.len() + 1;
        let unit = |row: usize, value: f64| {
            (0..rows)
                .map(|at| if at == row { value } else { 0.0 })
                .collect::<Vec<f64>>()
        };
        let mut columns = Vec::new();
        for row in 0..wanted.len() {
            columns.push(Column {
                entries: unit(row, 1.0),
                cost: 1.0,
            });
            columns.push(Column {
                entries: unit(row, -1.0),
                cost: 0.0,
            });
        }
        let mut master = Master {
            basis: Vec::new(),
            amounts: Vec::new(),
            inverse: Vec::new(),
            columns,
        };
        master.add(first);
        for (row, (wanted, had)) in wanted.iter().zip(first).enumerate() {
            let lacks = f64::from(*wanted) - *had as f64;
            let sign = if lacks < 0.0 { -1.0 } else { 1.0 };
            master.basis.push(2 * row + usize::from(lacks < 0.0));
            master.amounts.push(lacks.abs());
            let mut line = unit(row, sign);
            line[rows - 1] = -sign * *had as f64;
            master.inverse.push(line);
        }
        master.basis.push(master.columns.len() - 1);
        master.amounts.push(1.0);
        master.inverse.push(unit(rows - 1, 1.0));
        master
    }

    /// Adds a cutting of everything.
    pub(super) fn add(&mut self, counts: &[i64]) {
        let mut entries: Vec<f64> = counts.iter().map(|count| *count as f64).collect();
        entries.push(1.0);
        self.columns.push(Column { entries, cost: 0.0 });
    }

    /// Returns how many pieces are left wanting at the best average, and the price of each size, 0 to 1.
    pub(super) fn solve(&mut self) -> (f64, Vec<f64>) {
        let rows = self.basis.len();
        for _ in 0..(20 * rows).min(STEPS / (rows * rows) + 1) {
            let prices = self.prices();
            let gain = |column: &Column| {
                column.cost
                    - column
                        .entries
                        .iter()
                        .zip(&prices)
                        .map(|(entry, price)| entry * price)
                        .sum::<f64>()
            };
            let entering = (0..self.columns.len())
                .map(|index| (gain(&self.columns[index]), index))
                .filter(|(gain, _)| *gain < -1e-7)
                .min_by(|one, other| one.0.total_cmp(&other.0));
            let Some((_, entering)) = entering else { break };
            let entries = &self.columns[entering].entries;
            let steps: Vec<f64> = self
                .inverse
                .iter()
                .map(|line| {
                    line.iter()
                        .zip(entries)
                        .map(|(one, other)| one * other)
                        .sum()
                })
                .collect();
            let leaving = (0..rows)
                .filter(|row| steps[*row] > SMALL)
                .min_by(|one, other| {
                    (self.amounts[*one] / steps[*one])
                        .total_cmp(&(self.amounts[*other] / steps[*other]))
                });
            let Some(leaving) = leaving else { break };
            self.pivot(entering, leaving, &steps);
        }
        let wanting = self
            .basis
            .iter()
            .zip(&self.amounts)
            .map(|(column, amount)| self.columns[*column].cost * amount)
            .sum();
        let mut prices = self.prices();
        prices.pop();
        (wanting, prices)
    }

    /// Returns which cuttings make up the best average, in the order they were added, and the share of each.
    pub(super) fn shares(&self) -> Vec<(usize, f64)> {
        let slack = 2 * (self.basis.len() - 1);
        self.basis
            .iter()
            .zip(&self.amounts)
            .filter_map(|(column, amount)| Some((column.checked_sub(slack)?, *amount)))
            .filter(|(_, share)| *share > SMALL)
            .collect()
    }

    fn prices(&self) -> Vec<f64> {
        let mut prices = vec![0.0; self.basis.len()];
        for (column, line) in self.basis.iter().zip(&self.inverse) {
            let cost = self.columns[*column].cost;
            if cost != 0.0 {
                for (price, entry) in prices.iter_mut().zip(line) {
                    *price += cost * entry;
                }
            }
        }
        prices
    }

    fn pivot(&mut self, entering: usize, leaving: usize, steps: &[f64]) {
        let by = steps[leaving];
        let amount = self.amounts[leaving] / by;
        let line: Vec<f64> = self.inverse[leaving]
            .iter()
            .map(|entry| entry / by)
            .collect();
        for (row, step) in steps.iter().enumerate() {
            if row != leaving {
                for (entry, pivot) in self.inverse[row].iter_mut().zip(&line) {
                    *entry -= step * pivot;
                }
                self.amounts[row] = (self.amounts[row] - step * amount).max(0.0);
            }
        }
        self.inverse[leaving] = line;
        self.amounts[leaving] = amount;
        self.basis[leaving] = entering;
    }
}

#[cfg(test)]
mod tests {
    use super::Master;

    #[test]
    fn two_cuttings_by_halves_make_one_of_each_size() {
        let mut master = Master::new(&[1, 1], &[2, 0]);
        assert!((master.solve().0 - 1.0).abs() < 1e-9);
        master.add(&[0, 2]);
        assert!(master.solve().0.abs() < 1e-9);
        let mut shares = master.shares();
        shares.sort_by_key(|(cutting, _)| *cutting);
        assert_eq!(
            shares
                .iter()
                .map(|(cutting, _)| *cutting)
                .collect::<Vec<_>>(),
            [0, 1]
        );
        assert!(shares.iter().all(|(_, share)| (share - 0.5).abs() < 1e-9));
    }

    #[test]
    fn the_size_that_is_wanting_has_the_price() {
        let mut master = Master::new(&[3, 1], &[1, 5]);
        let (wanting, prices) = master.solve();
        assert!((wanting - 2.0).abs() < 1e-9);
        assert!((prices[0] - 1.0).abs() < 1e-9 && prices[1].abs() < 1e-9);
    }
}
