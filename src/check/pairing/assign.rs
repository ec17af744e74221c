//! The best assignment of receipt lines to order lines: all together, never first come first served.

use pathfinding::kuhn_munkres::kuhn_munkres;
use pathfinding::matrix::Matrix;

/// Assigns each row to a column so that the sum of the weights is largest, where a column that several rows take costs each
/// row after the first so much: lots of one line share it, unless another line is nearly as good and free. A weight of
/// zero or less assigns nothing. Returns the column of each row.
pub fn assign(weights: &[Vec<i64>], to_share: i64) -> Vec<Option<usize>> {
    solve(weights, |row| {
        best(row).map_or(0, |column| row[column] - to_share)
    })
    .into_iter()
    .zip(weights)
    .map(|(column, row)| column.or_else(|| best(row)))
    .collect()
}

/// Assigns rows to columns, one row a column at most, so that the sum of the weights is largest; a weight of zero or less
/// assigns nothing. Returns the column of each row.
pub fn matching(weights: &[Vec<i64>]) -> Vec<Option<usize>> {
    solve(weights, |_| 0)
}

/// The best matching where a row may also go without a column of its own, for what that is worth to it.
fn solve(weights: &[Vec<i64>], without: impl Fn(&[i64]) -> i64) -> Vec<Option<usize>> {
    let rows = weights.len();
    let columns = weights.first().map_or(0, Vec::len);
    if rows == 0 || columns == 0 {
        return vec![None; rows];
    }
    // Every row gets columns that stand for "none of its own", so that no row is forced to a bad one.
    let width = columns + rows;
    let without: Vec<i64> = weights.iter().map(|row| without(row).max(0)).collect();
    let matrix = Matrix::from_fn(rows, width, |(row, column)| {
        weights[row]
            .get(column)
            .map_or(without[row], |weight| (*weight).max(0))
    });
    let (_, assigned) = kuhn_munkres(&matrix);
    assigned
        .into_iter()
        .enumerate()
        .map(|(row, column)| (column < columns && weights[row][column] > 0).then_some(column))
        .collect()
}

/// Returns the first column of the largest weight above zero.
fn best(weights: &[i64]) -> Option<usize> {
    let most = weights.iter().copied().max().filter(|most| *most > 0)?;
    weights.iter().position(|weight| *weight == most)
}
