//! The papers of the invented year as the files a shop would write. Plans nothing and records nothing.

use crate::cli::demo::goods::Fault;
use crate::cli::demo::year::{Deal, Line};
use chrono::NaiveDate;

/// The file of the one supplier that the demo shop does not have.
pub const GORSEWICK: &str = "supplier: gorsewick\nname: Gorsewick Laminates\n\
    contact: {name: Service, email: service@gorsewick.example}\naddress: [\"5 Press Lane\", \"Hollin, CT 06000\"]\n\
    reply: 10 days\n";

/// Returns the order.
pub fn order(deal: &Deal) -> String {
    let mut out = format!(
        "order: {}\nsupplier: {}\ndate: {}\npromised: {}\ncurrency: USD\nlines:\n",
        deal.order, deal.supplier.id, deal.ordered, deal.promised
    );
    for (place, line) in deal.lines.iter().enumerate() {
        let goods = line.goods;
        out.push_str(&format!(
            "  - line: {}\n    item: {}\n    description: \"{}\"\n    quantity: {} {}\n    unit_price: {}\n",
            place + 1,
            goods.item,
            goods.description,
            line.quantity,
            goods.unit,
            goods.price
        ));
        match goods.asked {
            Some(("", finish, _)) => out.push_str(&format!("    finish: {{finish: {finish}}}\n")),
            Some((scale, grade, _)) => {
                out.push_str(&format!("    grade: {grade}\n    scale: {scale}\n"));
            }
            None => {}
        }
        if goods.leaves {
            out.push_str("    sequence: {sets: [4, 4]}\n");
        }
    }
    out
}

/// Returns the receipt of what came.
pub fn receipt(deal: &Deal) -> String {
    let mut out = head(&deal.receipt, deal, deal.arrived);
    for (place, line) in deal.lines.iter().enumerate() {
        lots(&mut out, place + 1, line);
    }
    out
}

/// Returns the receipt of a replacement: of each line what was wrong, right this time.
pub fn replacement(deal: &Deal, day: NaiveDate) -> String {
    let mut out = head(&format!("{}R", deal.receipt), deal, day);
    for (place, line) in deal.lines.iter().enumerate() {
        let Some((fault, some)) = line.fault else {
            continue;
        };
        match fault {
            Fault::Over => {}
            // A set that does not follow on is replaced by a set from a flitch of its own.
            Fault::Broken if line.goods.leaves => {
                let leaves = format!("\"{}R: 1-4\"", line.flitch);
                lot(&mut out, place + 1, line, 4, None, Some(leaves));
            }
            Fault::Short | Fault::Lower | Fault::Damaged | Fault::Broken => {
                let leaves = line
                    .goods
                    .leaves
                    .then(|| format!("\"{}R: 1-{some}\"", line.flitch));
                lot(&mut out, place + 1, line, some, None, leaves);
            }
        }
    }
    out
}

fn head(number: &str, deal: &Deal, day: NaiveDate) -> String {
    format!(
        "receipt: {number}\norder: {}\ndate: {day}\nby: dock\nlines:\n",
        deal.order
    )
}

fn lots(out: &mut String, place: usize, line: &Line) {
    let leaves = |from: u32, to: u32| {
        line.goods
            .leaves
            .then(|| format!("\"{}: {from}-{to}\"", line.flitch))
    };
    let all = line.quantity;
    let whole = leaves(1, all);
    match line.fault {
        None => lot(out, place, line, all, None, whole),
        Some((Fault::Short, some)) => {
            lot(out, place, line, all - some, None, leaves(1, all - some))
        }
        Some((Fault::Over, some)) => lot(out, place, line, all + some, None, leaves(1, all + some)),
        Some((Fault::Lower, some)) if line.goods.asked.is_some() => {
            lot(out, place, line, all - some, None, leaves(1, all - some));
            lot(
                out,
                place,
                line,
                some,
                Some(Wrong::Lower),
                leaves(all - some + 1, all),
            );
        }
        Some((Fault::Broken, _)) if line.goods.leaves => {
            let broken = format!("\"{}: 1-6, 9-10\"", line.flitch);
            lot(out, place, line, all, None, Some(broken));
        }
        Some((Fault::Lower | Fault::Damaged | Fault::Broken, some)) => {
            lot(out, place, line, all, Some(Wrong::Damaged(some)), whole);
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Wrong {
    Lower,
    Damaged(u32),
}

fn lot(
    out: &mut String,
    place: usize,
    line: &Line,
    many: u32,
    wrong: Option<Wrong>,
    leaves: Option<String>,
) {
    out.push_str(&format!(
        "  - line: {place}\n    quantity: {many} {}\n",
        line.goods.unit
    ));
    if let Some((scale, right, lower)) = line.goods.asked {
        let value = if wrong == Some(Wrong::Lower) {
            lower
        } else {
            right
        };
        if scale.is_empty() {
            out.push_str(&format!("    finish: {{finish: {value}}}\n"));
        } else {
            out.push_str(&format!("    grade: {value}\n"));
        }
    }
    if let Some(leaves) = leaves {
        out.push_str(&format!("    leaves: {leaves}\n"));
    }
    if let Some(Wrong::Damaged(some)) = wrong {
        out.push_str(&format!("    damaged: {some} {}\n", line.goods.unit));
    }
}
