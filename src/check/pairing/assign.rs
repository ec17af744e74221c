//! The best assignment of receipt lines to order lines: all together, never first come first served. Knows nothing of
//! what makes lines alike.

use pathfinding::kuhn_munkres::kuhn_munkres;
use pathfinding::matrix::Matrix;
use std::collections::HashMap;

/// The columns a row may take, each once and with a weight above zero.
pub type Row = Vec<(usize, i64)>;

/// The most rows that are weighed against each other: no truck brings more lots that could all be one another's.
const MOST_ROWS: usize = 500;

/// Assigns each row to a column so that the sum of the weights is largest, where a column that several rows take costs each
/// row after the first so much: lots of one line share it, unless another line is nearly as good and free. Returns the
/// column of each row.
pub fn assign(rows: &[Row], to_share: i64) -> Vec<Option<usize>> {
    solve(rows, |row| best(row).map_or(0, |(_, most)| most - to_share))
        .into_iter()
        .zip(rows)
        .map(|(column, row)| column.or_else(|| best(row).map(|(column, _)| column)))
        .collect()
}

/// Assigns rows to columns, one row a column at most, so that the sum of the weights is largest. Returns the column of each
/// row.
pub fn matching(rows: &[Row]) -> Vec<Option<usize>> {
    solve(rows, |_| 0)
}

/// The best matching where a row may also go without a column of its own, for what that is worth to it. Rows that share no
/// column, not even through others, are solved apart.
fn solve(rows: &[Row], without: impl Fn(&Row) -> i64) -> Vec<Option<usize>> {
    let mut solved = vec![None; rows.len()];
    for part in parts(rows) {
        // Rows of so large a part are left to take their own best: the work grows with the cube.
        if part.len() > MOST_ROWS {
            continue;
        }
        let mut columns: Vec<usize> = part
            .iter()
            .flat_map(|row| rows[*row].iter().map(|(column, _)| *column))
            .collect();
        columns.sort_unstable();
        columns.dedup();
        // Every row gets columns that stand for "none of its own", so that no row is forced to a bad one.
        let width = columns.len() + part.len();
        let mut matrix = Matrix::new(part.len(), width, 0);
        for (place, row) in part.iter().enumerate() {
            let none = without(&rows[*row]).max(0);
            for column in columns.len()..width {
                matrix[(place, column)] = none;
            }
            for (column, weight) in &rows[*row] {
                if let Ok(column) = columns.binary_search(column) {
                    matrix[(place, column)] = *weight;
                }
            }
        }
        let (_, assigned) = kuhn_munkres(&matrix);
        for (row, column) in part.iter().zip(assigned) {
            let column = columns.get(column).copied();
            solved[*row] = column.filter(|column| rows[*row].iter().any(|(own, _)| own == column));
        }
    }
    solved
}

/// Returns the rows that hang together through common columns, each part and its rows in order.
fn parts(rows: &[Row]) -> Vec<Vec<usize>> {
    let mut of_column: HashMap<usize, Vec<usize>> = HashMap::new();
    for (place, row) in rows.iter().enumerate() {
        for (column, _) in row {
            of_column.entry(*column).or_default().push(place);
        }
    }
    let mut seen = vec![false; rows.len()];
    let mut parts = Vec::new();
    for start in 0..rows.len() {
        if seen[start] || rows[start].is_empty() {
            continue;
        }
        seen[start] = true;
        let (mut part, mut next) = (Vec::new(), vec![start]);
        while let Some(place) = next.pop() {
            part.push(place);
            for (column, _) in &rows[place] {
                for other in of_column.remove(column).unwrap_or_default() {
                    if !seen[other] {
                        seen[other] = true;
                        next.push(other);
                    }
                }
            }
        }
        part.sort_unstable();
        parts.push(part);
    }
    parts
}

/// Returns the first column of the largest weight.
fn best(row: &Row) -> Option<(usize, i64)> {
    row.iter()
        .copied()
        .max_by_key(|(column, weight)| (*weight, std::cmp::Reverse(*column)))
}
