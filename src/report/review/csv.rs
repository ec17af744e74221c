//! The figures as CSV (RFC 4180): a row a supplier, figure and period. Draws nothing.

use crate::review::measures::reading::Reading;
use crate::review::pages::Review;

const HEAD: [&str; 12] = [
    "supplier", "name", "verdict", "figure", "period", "from", "to", "n", "value", "unit", "words",
    "formula",
];

/// Returns the figures of all together (supplier empty) and of each supplier.
pub fn csv(review: &Review) -> String {
    let mut out = String::new();
    line(&mut out, &HEAD.map(str::to_owned));
    let pages = std::iter::once(("", "", "", &review.all.figures)).chain(
        review.suppliers.iter().map(|page| {
            (
                page.supplier.as_str(),
                page.name.as_str(),
                page.judged.verdict.words(),
                &page.figures,
            )
        }),
    );
    let to = review.period.month.to_string();
    for (supplier, name, verdict, figures) in pages {
        for figure in figures {
            let spans: [(&str, String, &Reading); 2] = [
                ("month", to.clone(), &figure.month),
                (
                    "twelve months",
                    review.period.from().to_string(),
                    &figure.year,
                ),
            ];
            for (period, from, reading) in spans {
                let (value, unit) = reading.number().unwrap_or_default();
                line(
                    &mut out,
                    &[
                        supplier.to_owned(),
                        name.to_owned(),
                        verdict.to_owned(),
                        figure.name.clone(),
                        period.to_owned(),
                        from,
                        to.clone(),
                        reading.n().to_string(),
                        value,
                        unit,
                        reading.words(),
                        figure.formula.clone(),
                    ],
                );
            }
        }
    }
    out
}

fn line(out: &mut String, cells: &[String]) {
    let cells: Vec<String> = cells.iter().map(|cell| quoted(cell)).collect();
    out.push_str(&cells.join(","));
    out.push_str("\r\n");
}

/// Quotes a cell where it must be, and keeps a spreadsheet from taking a name for a formula.
fn quoted(cell: &str) -> String {
    let is_number = cell.parse::<f64>().is_ok();
    let cell = if !is_number && cell.starts_with(['=', '+', '-', '@', '\t']) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    };
    if cell.contains([',', '"', '\n', '\r', '\'']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn a_cell_is_quoted_where_it_must_and_never_a_formula() {
        assert_eq!(quoted("27 of 30"), "27 of 30");
        assert_eq!(quoted("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(quoted("=1+1"), "\"'=1+1\"");
        assert_eq!(quoted("-12.50"), "-12.50");
    }
}
