//! Hold tags to print: one a lot, read from two metres, with a QR code of receipt and line. Decides nothing about what
//! is held.

pub mod held;

use crate::report::terminal::wrap::Page;
use handlebars::{Handlebars, RenderError};
use qrcode::render::svg;
use qrcode::{EcLevel, QrCode};
use serde_json::{Value, json};

const TEMPLATE: &str = include_str!("../../templates/tag.html.hbs");

/// One lot that is held.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag {
    /// Receipt and line, as the code has it: `RG-311/2`.
    pub number: String,
    /// How much is held.
    pub amount: String,
    /// What it is.
    pub item: String,
    /// The leaves that are held, where they are known: `3318/21-22`.
    pub leaves: Vec<String>,
    /// Why it is held, in a few words.
    pub why: String,
    /// What to do with it until it is settled, where there is more to do than to leave it alone.
    pub advice: Option<String>,
    /// Since which day.
    pub since: String,
    /// Where it stands, where recorded.
    pub place: Option<String>,
    /// The supplier.
    pub supplier: String,
    /// Who may release it.
    pub release: String,
    /// The claim about it, where there is one.
    pub claim: Option<String>,
}

/// Returns the page of an order's tags; `template` is the shop's own where it has one.
///
/// # Errors
/// The template does not render.
pub fn page(order: &str, tags: &[Tag], template: Option<&str>) -> Result<String, RenderError> {
    let mut registry = Handlebars::new();
    registry.set_strict_mode(true);
    let tags: Vec<Value> = tags.iter().map(value).collect();
    registry.render_template(
        template.unwrap_or(TEMPLATE),
        &json!({ "order": order, "tags": tags }),
    )
}

fn value(tag: &Tag) -> Value {
    json!({
        "number": tag.number,
        "amount": tag.amount,
        "item": tag.item,
        "leaves": leaves(tag),
        "why": tag.why,
        "advice": tag.advice,
        "since": tag.since,
        "place": tag.place,
        "supplier": tag.supplier,
        "release": tag.release,
        "claim": tag.claim,
        "qr": qr(&tag.number),
    })
}

/// Returns the held leaves in words.
fn leaves(tag: &Tag) -> Option<String> {
    (!tag.leaves.is_empty()).then(|| tag.leaves.join("; "))
}

/// Returns the tags in short, for the terminal.
pub fn listed(tags: &[Tag], width: usize) -> String {
    let mut page = Page::new(width);
    for tag in tags {
        page.blank();
        page.plain(&format!("{}  HOLD {}", tag.number, tag.amount));
        page.wrapped(2, &tag.item);
        if let Some(leaves) = leaves(tag) {
            page.wrapped(2, &format!("leaves {leaves}"));
        }
        page.wrapped(2, &format!("{}, held since {}", tag.why, tag.since));
        if let Some(advice) = &tag.advice {
            page.item("!", advice);
        }
        if let Some(place) = &tag.place {
            page.wrapped(2, &format!("stands: {place}"));
        }
        let claim = tag
            .claim
            .as_ref()
            .map(|claim| format!("; claim {claim}"))
            .unwrap_or_default();
        page.wrapped(2, &format!("released only by {}{claim}", tag.release));
    }
    page.text()
}

/// Returns a QR code as SVG. A quarter of it may be dirty and it still reads; nothing where the text is too long for
/// a code, and the tag says it in letters.
fn qr(text: &str) -> String {
    QrCode::with_error_correction_level(text.as_bytes(), EcLevel::Q)
        .map(|code| {
            let drawn = code
                .render::<svg::Color<'_>>()
                .min_dimensions(200, 200)
                .build();
            // An XML declaration has no place inside a page.
            drawn
                .split_once("?>")
                .map_or(drawn.clone(), |(_, svg)| svg.to_owned())
        })
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::{Tag, listed, page};

    fn tag(number: &str, why: &str) -> Tag {
        Tag {
            number: number.to_owned(),
            amount: "6 sheets".to_owned(),
            item: "RWO-48x120".to_owned(),
            leaves: vec!["3318/21-22".to_owned()],
            why: why.to_owned(),
            advice: Some("never connect it".to_owned()),
            since: "2026-03-19".to_owned(),
            place: Some("rack 4".to_owned()),
            supplier: "Quillfeather Veneers".to_owned(),
            release: "Ines Okafor, Owner".to_owned(),
            claim: None,
        }
    }

    #[test]
    fn one_tag_a_lot_with_its_code() {
        let page = page(
            "PO-2107",
            &[tag("RG-311/1", "lower grade"), tag("RG-311/2", "over")],
            None,
        )
        .unwrap();
        assert_eq!(page.matches("<section class=\"tag\"").count(), 2);
        assert_eq!(page.matches("<svg").count(), 2);
        assert_eq!(page.matches("<b>never connect it</b>").count(), 2);
        assert_eq!(page.matches("leaves <b>3318/21-22</b>").count(), 2);
        assert!(page.contains("RG-311/2") && page.contains("rack 4") && !page.contains("<?xml"));
    }

    #[test]
    fn the_list_for_the_terminal_says_the_same_in_short_lines() {
        let listed = listed(&[tag("RG-311/1", "sets cannot be made")], 80);
        assert_eq!(
            listed,
            "RG-311/1  HOLD 6 sheets\n  RWO-48x120\n  leaves 3318/21-22\n  \
             sets cannot be made, held since 2026-03-19\n  !  never connect it\n  stands: rack 4\n  \
             released only by Ines Okafor, Owner\n"
        );
    }

    #[test]
    fn what_a_clerk_wrote_cannot_become_part_of_the_page() {
        let page = page("PO-1", &[tag("RG-1/1", "<script>alert(1)</script>")], None).unwrap();
        assert!(!page.contains("<script>"));
        assert!(page.contains("&lt;script&gt;"));
    }
}
