//! What a letter says: every claimable finding, particularly; nothing that is only to be looked at again.

use crate::claim_draft::{Papers, SHOP, SUPPLIER, day, papers};
use crate::support::root;
use asordered::check::case::Case;
use asordered::claim;
use asordered::claim::draft::ClaimDraft;
use asordered::claim::letter::{self, Beside, Letter, LetterKind, Templates};
use asordered::claim::remedy::{Against, fitting};
use asordered::intake;
use asordered::model::answer::{Answer, LineAnswer, Lot, SequenceAnswer, Stray};
use asordered::model::finding::Finding;
use asordered::model::kind::{Effect, Kind};
use asordered::model::unit::Unit;
use rust_decimal::Decimal;

pub fn write(case: &Case<'_>, answer: &Answer, draft: &ClaimDraft, kind: LetterKind) -> Letter {
    let data = letter::data(case, answer, draft, kind, &Beside::default(), day("2026-03-19")).unwrap();
    letter::render(kind, &data, &Templates::embedded()).unwrap()
}

/// The demo's papers of an order, by file.
pub fn demo(order: &str, receipts: &[&str]) -> Papers {
    let read = |place: String| std::fs::read_to_string(root().join("demo-orders").join(place)).unwrap();
    let order = intake::order("order.yaml", &read(format!("orders/{order}.yaml"))).unwrap();
    let supplier = read(format!("suppliers/{}.yaml", order.supplier));
    Papers {
        supplier: Some(intake::supplier("supplier.yaml", &supplier).unwrap()),
        receipts: receipts
            .iter()
            .map(|receipt| {
                intake::receipt("receipt.yaml", &read(format!("receipts/{receipt}.yaml"))).unwrap()
            })
            .collect(),
        invoices: Vec::new(),
        shop: Some(intake::shop("shop.yaml", &read("shop.yaml".into())).unwrap()),
        order,
    }
}

#[test]
fn print() {
    for (order, receipt) in [("PO-2107", "RG-311"), ("PO-2112", "RG-314"), ("PO-2123", "RG-323")] {
        let papers = demo(order, &[receipt]);
        let (case, answer) = (papers.case(), papers.answer());
        for draft in claim::draft(&case, &answer, day("2026-03-19")) {
            for kind in LetterKind::ALL {
                if kind == LetterKind::CarrierClaim { continue; }
                let letter = write(&case, &answer, &draft, kind);
                println!("{}", letter.text);
                std::fs::write(format!("/tmp/{order}-{}.html", kind.name()), &letter.html).unwrap();
            }
        }
    }
}
