//! What a letter says: every claimable finding, particularly; nothing that is only to be looked at again.

use crate::claim_draft::{Papers, day, papers};
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
    let data = letter::data(
        case,
        answer,
        draft,
        kind,
        &Beside::default(),
        day("2026-03-19"),
    )
    .unwrap();
    letter::render(kind, &data, &Templates::embedded()).unwrap()
}

/// The demo's papers of an order, by file.
pub fn demo(order: &str, receipts: &[&str]) -> Papers {
    let read =
        |place: String| std::fs::read_to_string(root().join("demo-orders").join(place)).unwrap();
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

/// A case for a kind: an answer that holds one finding of it, with number, unit and identifiers of its own.
fn one_of(kind: Kind) -> Answer {
    let about = match kind {
        Kind::PaperMissing => Some("TSCA Title VI label"),
        Kind::PriceAbove => Some("INV-77"),
        _ => None,
    };
    let mut finding = Finding::new(
        kind,
        Decimal::from(3),
        Unit::Sheet,
        format!("3 sheets found {}", kind.name()),
    )
    .compared("212.50", "220.00");
    finding.about = about.map(String::from);
    finding.receipts = vec!["RG-1".into()];
    finding.leaves = vec!["3318/14".into(), "3318/15".into(), "3320/2".into()];
    let stray = kind == Kind::NotOrdered;
    let line = LineAnswer {
        line: "1".into(),
        item: Some("RWO-48".into()),
        description: Some("White oak".into()),
        as_ordered: false,
        ordered: Decimal::from(8),
        arrived: Decimal::from(8),
        conforming: Decimal::from(5),
        usable: Decimal::from(5),
        open: Decimal::ZERO,
        unit: Unit::Sheet,
        lots: vec![Lot {
            receipt: "RG-1".into(),
            index: 1,
            amount: Decimal::from(8),
            rejected: Decimal::from(3),
            place: Some("rack 4".into()),
            paired_by: None,
            measured: None,
            held_for: vec![finding.text.clone()],
            advice: Vec::new(),
        }],
        sequence: (kind == Kind::SetsMissing).then(|| SequenceAnswer {
            wanted: vec![4, 4],
            faces: vec![None, None],
            missing: vec![4],
            ..SequenceAnswer::default()
        }),
        findings: if stray {
            Vec::new()
        } else {
            vec![finding.clone()]
        },
    };
    Answer {
        order: "PO-1".into(),
        supplier: "quillfeather".into(),
        receipts: vec!["RG-1".into()],
        as_ordered: false,
        lines: vec![line],
        not_ordered: if stray {
            vec![Stray {
                receipt: "RG-1".into(),
                index: 1,
                item: Some("RWO-48".into()),
                description: None,
                amount: Decimal::from(3),
                unit: Unit::Sheet,
                findings: vec![finding],
            }]
        } else {
            Vec::new()
        },
        causes: Vec::new(),
        billing: None,
        notes: Vec::new(),
        left_out: Vec::new(),
    }
}

fn eight() -> Papers {
    papers(
        "job: Lantern Street library\nlines: [{line: 1, item: RWO-48, quantity: 8 sheet, unit_price: 212.50}]\n",
        "place: rack 4\ncarrier: {name: Longhaul, pro: \"77\", noted: one carton crushed}\nlines: [{line: 1, quantity: 8 sheet}]\n",
    )
}

/// Joins the lines of a text letter again, so that a sentence is found wherever it was broken.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_claimable_kind_is_stated_with_number_unit_and_identifiers() {
    let papers = eight();
    let case = papers.case();
    let mut stated = 0;
    for kind in Kind::ALL {
        let answer = one_of(kind);
        let drafts = claim::draft(&case, &answer, day("2026-03-19"));
        if kind.effect() != Effect::Claimed {
            assert_eq!(drafts.len(), 0, "{kind:?} is never claimed unasked");
            continue;
        }
        assert_eq!(drafts.len(), 1, "{kind:?}");
        let letter = write(&case, &answer, &drafts[0], LetterKind::Notice);
        for text in [joined(&letter.text), joined(&letter.html)] {
            let mut wanted = vec![
                format!("3 sheets found {}", kind.name()),
                "flitch 3318, leaves 14 and 15; flitch 3320, leaf 2".to_owned(),
                "RWO-48".to_owned(),
                "RG-1".to_owned(),
                "881".to_owned(),
            ];
            match kind {
                Kind::PaperMissing => wanted.push("TSCA Title VI label".into()),
                Kind::PriceAbove => wanted.push("INV-77".into()),
                _ => {}
            }
            for words in wanted {
                assert!(
                    text.contains(&words),
                    "{kind:?}: `{words}` is not in\n{text}"
                );
            }
        }
        stated += 1;
    }
    assert_eq!(stated, 16);
}

/// What a notice must hold. UCC 2-602(1) and 2-607(3)(a): notice, in time; 2-605: every defect that reasonable
/// inspection shows, stated particularly; 2-602(2)(b): goods held with reasonable care at the seller's disposition;
/// 2-510(1): at the seller's risk; 2-717: notice before a deduction. CISG 39: the nature of the nonconformity.
#[test]
fn a_notice_holds_what_the_law_asks_for_every_kind() {
    let papers = eight();
    let case = papers.case();
    for kind in Kind::ALL
        .into_iter()
        .filter(|kind| kind.effect() == Effect::Claimed)
    {
        let answer = one_of(kind);
        let draft = &claim::draft(&case, &answer, day("2026-03-19"))[0];
        let text = joined(&write(&case, &answer, draft, LetterKind::Notice).text);
        let mut wanted = vec![
            "This is to notify you",
            "not as ordered",
            "PO-1 of March 2, 2026",
            "Received March 19, 2026: our receipt RG-1, your packing slip 881",
            "We reserve all our rights and remedies",
            "Please answer by March 29, 2026",
            "Quillfeather Veneers",
            "Marrow Lane Millwork",
            "Ines Okafor",
        ];
        // Nothing is here to be held where goods are only short or only billed otherwise.
        if !matches!(kind, Kind::Short | Kind::PriceAbove) {
            wanted.extend([
                "at your disposal and at your risk",
                "kept with reasonable care",
                "at rack 4",
            ]);
        }
        if kind != Kind::NotOrdered {
            wanted.push("Line 1 (RWO-48, White oak):");
        }
        for words in wanted {
            assert!(
                text.contains(words),
                "{kind:?}: `{words}` is not in\n{text}"
            );
        }
        assert!(
            text.contains("Please") && !fitting(kind, Against::Supplier).is_empty(),
            "{kind:?} asks for something"
        );
        for word in ["look again", "advice", "draft"] {
            assert!(
                !text.contains(word),
                "{kind:?}: `{word}` is no word for the supplier"
            );
        }
    }
}

/// 49 CFR 370.3(b): in writing; facts that identify the shipment; asserts liability; a specified or determinable
/// amount of money.
#[test]
fn a_carriers_letter_holds_what_the_rule_asks() {
    let mut papers = eight();
    papers.order.freight = asordered::model::order::Freight::Origin;
    let case = papers.case();
    let answer = one_of(Kind::Damaged);
    let drafts = claim::draft(&case, &answer, day("2026-03-19"));
    assert_eq!(drafts[0].against, Against::Carrier);
    let text = joined(&write(&case, &answer, &drafts[0], LetterKind::CarrierClaim).text);
    for words in [
        "Longhaul",
        "Shipment number 77",
        "Shipper Quillfeather Veneers",
        "Delivered March 19, 2026",
        "Noted at delivery: one carton crushed",
        "We hold you liable for this loss and claim 637.50 USD",
        "3 sheets found damaged",
        "Value: 3 sheets at 212.50 = 637.50.",
        "acknowledge this claim by April 18, 2026 (30 days)",
        "firm offer by July 17, 2026 (120 days)",
        "Where United States rules govern",
        "The contract of carriage and local law govern.",
        "Copy to: Quillfeather Veneers",
    ] {
        assert!(text.contains(words), "`{words}` is not in\n{text}");
    }
}

#[test]
fn a_carriers_amount_is_determinable_where_no_price_is_known() {
    let mut papers = eight();
    papers.order.freight = asordered::model::order::Freight::Origin;
    papers.order.lines[0].unit_price = None;
    let case = papers.case();
    let answer = one_of(Kind::Damaged);
    let draft = &claim::draft(&case, &answer, day("2026-03-19"))[0];
    let text = joined(&write(&case, &answer, draft, LetterKind::CarrierClaim).text);
    assert!(
        text.contains("claim the invoice value of the goods stated below"),
        "{text}"
    );
}

#[test]
fn a_line_that_is_only_to_be_looked_at_again_is_no_word_to_the_supplier() {
    let order = "lines: [{line: 1, quantity: 8 sheet, grade: A, scale: hp1-face}, {line: 2, item: MPL-7, quantity: 4 sheet, unit_price: 10}]\n";
    let lines = "lines: [{line: 1, quantity: 8 sheet}, {line: 2, quantity: 3 sheet}]\n";
    let papers = papers(order, lines);
    let (case, answer) = (papers.case(), papers.answer());
    let drafts = claim::draft(&case, &answer, day("2026-03-19"));
    let text = joined(&write(&case, &answer, &drafts[0], LetterKind::Notice).text);
    assert!(
        text.contains("Line 2 (MPL-7)") && !text.contains("Line 1"),
        "{text}"
    );
    assert!(!text.contains("recorded"), "{text}");
}

#[test]
fn a_letter_needs_the_shop_and_the_supplier_and_says_so() {
    let mut papers = eight();
    papers.shop = None;
    papers.supplier = None;
    let answer = one_of(Kind::Short);
    let case = papers.case();
    let draft = &claim::draft(&case, &answer, day("2026-03-19"))[0];
    let missing = letter::data(
        &case,
        &answer,
        draft,
        LetterKind::Notice,
        &Beside::default(),
        day("2026-03-19"),
    )
    .unwrap_err();
    assert_eq!(
        missing,
        [
            "a letter needs the shop's file, shop.yaml",
            "a letter needs the supplier's file, suppliers/quillfeather.yaml"
        ]
    );
}

#[test]
fn hostile_names_and_notes_come_out_harmless() {
    let evil = "<script>alert(1)</script>\r\nBcc: all@x.example\u{202e}\u{0} {{shop.name}} ";
    let mut papers = eight();
    let long = format!("{evil}{}", "ä".repeat(1_000_000));
    papers.order.job = Some(long.clone());
    papers.receipts[0].packing_slip = Some(evil.into());
    if let Some(supplier) = &mut papers.supplier {
        supplier.name = evil.into();
    }
    let mut answer = one_of(Kind::Damaged);
    answer.lines[0].findings[0].text = long;
    let case = papers.case();
    let draft = &claim::draft(&case, &answer, day("2026-03-19"))[0];
    let letter = write(&case, &answer, draft, LetterKind::Notice);
    assert!(!letter.html.contains("<script"), "markup is escaped");
    assert!(letter.html.contains("&lt;script&gt;"));
    for text in [&letter.text, &letter.html, &letter.subject] {
        assert!(
            !text.contains(['\r', '\0', '\u{202e}']),
            "no control and no mark that turns text"
        );
        assert!(!text.lines().any(|line| line.starts_with("Bcc:")));
        assert!(text.len() < 20_000, "a megabyte is cut: {}", text.len());
    }
    assert!(letter.text.contains("{{shop.name}}"), "data is no template");
    assert!(letter.text.lines().all(|line| line.chars().count() <= 78));
}

/// The design's own example: two sheets short and the set they leave unmade are 425.00, in one linked item.
#[test]
fn the_demos_exchange_is_one_item_worth_the_two_sheets() {
    let papers = demo("PO-2107", &["RG-311"]);
    let (case, answer) = (papers.case(), papers.answer());
    let drafts = claim::draft(&case, &answer, day("2026-03-19"));
    assert_eq!(drafts.len(), 1);
    let summary = claim::summary(&drafts).unwrap();
    assert_eq!(summary.value.unwrap().to_string(), "425.00");
    assert_eq!(summary.notify_by, Some(day("2026-03-23")));
    let text = joined(&write(&case, &answer, &drafts[0], LetterKind::Notice).text);
    for words in [
        "1. The quantities of lines 1 and 2 look exchanged",
        "In all: 425.00 USD.",
    ] {
        assert!(text.contains(words), "`{words}` is not in\n{text}");
    }
    for words in [
        "Please send leaves 23 and 24 of flitch 3318, which with the leaves that are here complete the set of 4.",
        "Leaves 19 and 20 of flitch 3318 would do as well.",
        "If they cannot be had from that flitch, please send a new set of 4 leaves",
        "2 sheets of line 1, at veneer rack 4",
    ] {
        assert!(text.contains(words), "`{words}` is not in\n{text}");
    }
    assert!(!text.contains("2. Line"), "one linked item");
}

/// One delivery, two letters: each names and holds only what is its reader's.
#[test]
fn the_carriers_letter_and_the_suppliers_share_no_goods() {
    let papers = papers(
        "freight: origin\nlines: [{line: 1, item: MPL, quantity: 20 sheet, unit_price: 1194, grade: A, scale: hp1-face}]\n",
        "place: rack 2\ncarrier: {name: Longhaul}\nlines: [{line: 1, quantity: 14 sheet, grade: A, damaged: 3 sheet}, {line: 1, quantity: 6 sheet, grade: B}]\n",
    );
    let (case, answer) = (papers.case(), papers.answer());
    let drafts = claim::draft(&case, &answer, day("2026-03-19"));
    let supplier = joined(&write(&case, &answer, &drafts[0], LetterKind::Notice).text);
    let carrier = joined(&write(&case, &answer, &drafts[1], LetterKind::CarrierClaim).text);
    for words in [
        "6 sheets of line 1, at rack 2",
        "In all: 7,164.00 USD",
        "none in number MPL",
    ] {
        assert!(supplier.contains(words), "`{words}` is not in\n{supplier}");
    }
    assert!(!supplier.contains("damaged"), "{supplier}");
    for words in [
        "3 sheets of line 1, at rack 2",
        "claim 3,582.00 USD",
        "3 damaged MPL",
    ] {
        assert!(carrier.contains(words), "`{words}` is not in\n{carrier}");
    }
    assert!(!carrier.contains("grade B"), "{carrier}");
}
