//! The leaf strip: which leaves came, which are missing between them, which set each goes to. Chooses no set.

use crate::model::answer::{LeafShown, SequenceAnswer};
use crate::report::ink::Ink;
use crate::report::terminal::wrap::Page;

/// One cell of the strip: what stands above and below.
struct Cell {
    above: String,
    below: String,
}

/// Writes a strip for each flitch.
pub fn leaves(page: &mut Page, sequence: &SequenceAnswer, ink: Ink) {
    let mut flitches: Vec<&str> = Vec::new();
    for leaf in &sequence.leaves {
        if !flitches.contains(&leaf.flitch.as_str()) {
            flitches.push(&leaf.flitch);
        }
    }
    let mut legend = Legend::default();
    for flitch in flitches {
        let of_flitch: Vec<&LeafShown> = sequence
            .leaves
            .iter()
            .filter(|leaf| leaf.flitch == flitch)
            .collect();
        rows(page, flitch, &cells(&of_flitch, sequence, &mut legend));
    }
    let words = legend.words();
    if !words.is_empty() {
        page.wrapped_as(2, &words, |text| ink.quiet(text));
    }
    if !sequence.most_proven {
        page.wrapped(
            2,
            "not proven best: another way of cutting might fill more sets",
        );
    }
    for set in &sequence.filled {
        if let Some(window) = &set.window_text {
            page.wrapped(2, &format!("set {}: clear window {window}", set.wanted + 1));
        }
    }
}

#[derive(Default)]
struct Legend {
    set: bool,
    spare: bool,
    held: bool,
    unfit: bool,
    gap: bool,
}

impl Legend {
    fn words(&self) -> String {
        [
            (self.set, "1, 2 … the set it goes to"),
            (self.spare, ". spare"),
            (self.held, "h hold for a set"),
            (self.unfit, "x cannot serve"),
            (self.gap, "(..) not here"),
        ]
        .iter()
        .filter_map(|(used, words)| used.then_some(*words))
        .collect::<Vec<_>>()
        .join("   ")
    }
}

fn cells(leaves: &[&LeafShown], sequence: &SequenceAnswer, legend: &mut Legend) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut last: Option<u32> = None;
    for leaf in leaves {
        if let (Some(last), Some(number)) = (last, leaf.place)
            && number > last + 1
        {
            legend.gap = true;
            let above = if leaf.number.is_none() {
                "(..)".to_owned()
            } else if number == last + 2 {
                format!("({})", last + 1)
            } else {
                format!("({}-{})", last + 1, number - 1)
            };
            cells.push(Cell {
                above,
                below: String::new(),
            });
        }
        let below = match (leaf.set, &leaf.unfit) {
            (Some(set), _) => {
                legend.set = true;
                (sequence.filled[set].wanted + 1).to_string()
            }
            (None, Some(_)) => {
                legend.unfit = true;
                "x".to_owned()
            }
            (None, None) if sequence.missing.is_empty() => {
                legend.spare = true;
                ".".to_owned()
            }
            (None, None) => {
                legend.held = true;
                "h".to_owned()
            }
        };
        cells.push(Cell {
            above: leaf.name.clone(),
            below,
        });
        last = leaf.place;
    }
    cells
}

/// Writes the cells in pairs of rows, as many as fit.
fn rows(page: &mut Page, flitch: &str, cells: &[Cell]) {
    let label = format!("flitch {flitch}");
    let indent = 4 + label.chars().count();
    let mut above = String::new();
    let mut below = String::new();
    let mut first = true;
    for cell in cells {
        let wide = cell.above.chars().count().max(cell.below.chars().count());
        if !above.is_empty() && indent + above.chars().count() + wide + 1 > page.width() {
            flush(
                page,
                if first { &label } else { "" },
                indent,
                &mut above,
                &mut below,
            );
            first = false;
        }
        above.push_str(&format!(" {:>wide$}", cell.above));
        below.push_str(&format!(" {:>wide$}", cell.below));
    }
    flush(
        page,
        if first { &label } else { "" },
        indent,
        &mut above,
        &mut below,
    );
}

fn flush(page: &mut Page, label: &str, indent: usize, above: &mut String, below: &mut String) {
    let room = indent - 3;
    page.plain(&format!("  {label:<room$}{above}"));
    page.plain(&format!("  {:<room$}{below}", ""));
    above.clear();
    below.clear();
}
