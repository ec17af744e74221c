//! The best assignment of receipt lines to order lines: all together, never first come first served.

use pathfinding::kuhn_munkres::kuhn_munkres;
use pathfinding::matrix::Matrix;

/// Assigns each row to a column: first the best [`matching`]; rows left over then take their own best column, as lots of a
/// line that came in several. A weight of zero or less assigns nothing. Returns the column of each row.
pub fn assign(weights: &[Vec<i64>]) -> Vec<Option<usize>> {
    matching(weights)
        .into_iter()
        .zip(weights)
        .map(|(column, row)| column.or_else(|| best(row)))
        .collect()
}

/// Assigns rows to columns, one row a column at most, so that the sum of the weights is largest; a weight of zero or less
/// assigns nothing. Returns the column of each row.
pub fn matching(weights: &[Vec<i64>]) -> Vec<Option<usize>> {
    let rows = weights.len();
    let columns = weights.first().map_or(0, Vec::len);
    if rows == 0 || columns == 0 {
        return vec![None; rows];
    }
    // Every row gets a column of its own that stands for "nothing", so that no row is forced to a bad one.
    let width = columns + rows;
    let matrix = Matrix::from_fn(rows, width, |(row, column)| {
        weights[row]
            .get(column)
            .map_or(0, |weight| (*weight).max(0))
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
