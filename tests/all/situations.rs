//! The twenty-five situations at the dock and the null case (check values: common practice, no published source), each
//! as the demo holds it: the findings and no other, what can be used and what is held, the cause, the exit status, and
//! what is asked of whom.

use crate::support::{Run, program, root};
use asordered::check::case::Case;
use asordered::check::check;
use asordered::claim;
use asordered::intake;
use asordered::model::answer::Answer;
use asordered::model::invoice::Invoice;
use asordered::model::order::Order;
use asordered::model::receipt::Receipt;
use asordered::model::shop::Shop;
use asordered::model::supplier::Supplier;
use chrono::NaiveDate;
use serde_json::Value;
use std::fs;
use std::path::PathBuf;

/// What a situation must give. Findings are `line aspect/kind amount unit`, remedies `line kind: remedy party`.
struct Expected {
    status: i32,
    findings: &'static [&'static str],
    /// Line, what can be used now, what is held.
    goods: &'static [(&'static str, &'static str, &'static str)],
    causes: &'static [&'static str],
    remedies: &'static [&'static str],
}

/// The papers of a situation, read from the demo; `changed` may change a file's text.
struct Papers {
    order: Order,
    receipts: Vec<Receipt>,
    invoices: Vec<Invoice>,
    supplier: Supplier,
    shop: Shop,
}

fn folder(name: &str) -> PathBuf {
    root().join("demo-orders/situations").join(name)
}

/// The files of a situation besides its order, as the command names them.
fn others(name: &str) -> Vec<String> {
    let mut files: Vec<String> = fs::read_dir(folder(name))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|file| file != "order.yaml")
        .map(|file| format!("situations/{name}/{file}"))
        .collect();
    files.sort();
    files
}

impl Papers {
    fn of(name: &str, changed: impl Fn(String) -> String) -> Self {
        let read = |file: &str| {
            changed(fs::read_to_string(root().join("demo-orders").join(file)).unwrap())
        };
        let order = read(&format!("situations/{name}/order.yaml"));
        let order = intake::order("order", &order).unwrap();
        let (mut receipts, mut invoices) = (Vec::new(), Vec::new());
        for file in others(name) {
            if file.contains("/invoice") {
                invoices.push(intake::invoice(&file, &read(&file)).unwrap());
            } else {
                receipts.push(intake::receipt(&file, &read(&file)).unwrap());
            }
        }
        let supplier = read(&format!("suppliers/{}.yaml", order.supplier));
        Papers {
            supplier: intake::supplier("supplier", &supplier).unwrap(),
            shop: intake::shop("shop", &read("shop.yaml")).unwrap(),
            order,
            receipts,
            invoices,
        }
    }

    fn case(&self) -> Case<'_> {
        Case {
            order: &self.order,
            receipts: &self.receipts,
            invoices: &self.invoices,
            supplier: Some(&self.supplier),
            shop: Some(&self.shop),
            today: None,
        }
    }

    fn answer(&self) -> Answer {
        check(&self.case()).unwrap()
    }
}

fn findings(answer: &Answer) -> Vec<String> {
    answer
        .lines
        .iter()
        .flat_map(|line| {
            line.findings
                .iter()
                .map(|finding| (line.line.as_str(), finding))
        })
        .chain(
            answer
                .not_ordered
                .iter()
                .flat_map(|stray| stray.findings.iter().map(|finding| ("-", finding))),
        )
        .map(|(line, finding)| {
            format!(
                "{line} {}/{} {} {}",
                finding.kind.aspect().name(),
                finding.kind.name(),
                finding.amount.normalize(),
                finding.unit
            )
        })
        .collect()
}

fn remedies(papers: &Papers, answer: &Answer) -> Vec<String> {
    let today = NaiveDate::from_ymd_opt(2026, 4, 15).unwrap();
    let mut remedies = Vec::new();
    for draft in claim::draft(&papers.case(), answer, today) {
        for part in draft.items.iter().flat_map(|item| &item.parts) {
            let kinds: Vec<&str> = part
                .findings
                .iter()
                .map(|finding| finding.kind.name())
                .collect();
            remedies.push(format!(
                "{} {}: {} {}",
                part.place,
                kinds.join("+"),
                part.remedy.name(),
                draft.against.name()
            ));
        }
    }
    remedies
}

/// Runs a situation as its reader would, in a copy of the demo, and again below the command line for its claim.
#[track_caller]
fn situation(name: &str, expected: &Expected) -> (Value, String) {
    let order = format!("situations/{name}/order.yaml");
    let files = others(name);
    let mut args = vec!["--today", "2026-04-15", "check", &order];
    args.extend(files.iter().map(String::as_str));
    let shown = Run::demo(&args).output();
    assert_eq!(shown.stderr, "");
    assert_eq!(shown.status, expected.status, "{}", shown.stdout);
    args.push("--json");
    let json = Run::demo(&args).json();
    assert_eq!(json["as_ordered"], Value::Bool(expected.status == 0));
    assert_eq!(
        json["left_out"],
        Value::Array(Vec::new()),
        "the shop and the supplier are found"
    );

    let papers = Papers::of(name, |text| text);
    let answer = papers.answer();
    assert_eq!(findings(&answer), expected.findings, "findings");
    let causes: Vec<&str> = answer
        .causes
        .iter()
        .map(|cause| cause.kind.name())
        .collect();
    assert_eq!(causes, expected.causes, "causes");
    let goods: Vec<(String, String, String)> = json["lines"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| {
            let text = |key: &str| line[key].as_str().unwrap().to_owned();
            let number = |key: &str| text(key).parse::<rust_decimal::Decimal>().unwrap();
            (
                text("line"),
                text("usable"),
                (number("arrived") - number("usable")).to_string(),
            )
        })
        .collect();
    let goods: Vec<(&str, &str, &str)> = goods
        .iter()
        .map(|(line, usable, held)| (line.as_str(), usable.as_str(), held.as_str()))
        .collect();
    assert_eq!(goods, expected.goods, "line, use now, hold");
    assert_eq!(remedies(&papers, &answer), expected.remedies, "remedies");
    assert_eq!(json["claim"].is_null(), expected.remedies.is_empty());
    (json, shown.stdout)
}

fn advice(json: &Value, line: usize) -> String {
    json["lines"][line]["findings"][0]["advice"]
        .as_str()
        .unwrap_or_default()
        .to_owned()
}

#[test]
fn null_case_a_wrong_slip_with_right_goods_claims_nothing() {
    let (json, _) = situation(
        "00-slip-wrong",
        &Expected {
            status: 0,
            findings: &["1 quantity/slip-differs 2 sheet"],
            goods: &[("1", "30", "0")],
            causes: &[],
            remedies: &[],
        },
    );
    assert!(json["claim"].is_null());
}

#[test]
fn s01_exchanged_lines_keep_what_was_ordered_and_make_one_linked_claim() {
    situation(
        "01-exchanged",
        &Expected {
            status: 1,
            findings: &["1 quantity/short 36 each", "2 quantity/over 36 each"],
            goods: &[("1", "24", "0"), ("2", "24", "36")],
            causes: &["exchanged"],
            remedies: &["1 short: send supplier", "2 over: collect supplier"],
        },
    );
    let papers = Papers::of("01-exchanged", |text| text);
    let today = NaiveDate::from_ymd_opt(2026, 4, 15).unwrap();
    let drafts = claim::draft(&papers.case(), &papers.answer(), today);
    assert_eq!(drafts.len(), 1);
    assert_eq!(drafts[0].items.len(), 1, "one linked item");
    assert_eq!(drafts[0].items[0].parts.len(), 2);
}

#[test]
fn s02_a_lower_grade_is_held_and_replaced_or_conceded() {
    situation(
        "02-lower-grade",
        &Expected {
            status: 1,
            findings: &["1 grade/lower 20 sheet"],
            goods: &[("1", "0", "20")],
            causes: &[],
            remedies: &["1 lower: replace supplier"],
        },
    );
    assert!(alternatives("02-lower-grade").contains(&"reduce"));
}

fn alternatives(name: &str) -> Vec<&'static str> {
    let papers = Papers::of(name, |text| text);
    let today = NaiveDate::from_ymd_opt(2026, 4, 15).unwrap();
    claim::draft(&papers.case(), &papers.answer(), today)
        .iter()
        .flat_map(|draft| &draft.items)
        .flat_map(|item| &item.parts)
        .flat_map(|part| &part.alternatives)
        .map(|(remedy, _)| remedy.name())
        .collect()
}

#[test]
fn s03_a_higher_grade_waits_for_the_owner_and_may_stay_at_the_order_price() {
    let (json, _) = situation(
        "03-higher-grade",
        &Expected {
            status: 1,
            findings: &["1 grade/higher 10 sheet"],
            goods: &[("1", "0", "10")],
            causes: &[],
            remedies: &["1 higher: keep supplier"],
        },
    );
    assert!(advice(&json, 0).contains("if it still matches"));
}

#[test]
fn s04_a_broken_sequence_holds_the_whole_set_though_the_count_is_right() {
    situation(
        "04-sequence-broken",
        &Expected {
            status: 1,
            findings: &["1 sequence/sets-missing 1 set"],
            goods: &[("1", "0", "8")],
            causes: &[],
            remedies: &["1 sets-missing: send-leaves supplier"],
        },
    );
    assert!(alternatives("04-sequence-broken").contains(&"new-set"));
}

#[test]
fn s05_two_flitches_mixed_are_held_and_photographed_before_they_are_separated() {
    let (json, _) = situation(
        "05-flitches-mixed",
        &Expected {
            status: 1,
            findings: &["1 sequence/sets-missing 1 set"],
            goods: &[("1", "0", "8")],
            causes: &["mixed-flitches"],
            remedies: &["1 sets-missing: send-leaves supplier"],
        },
    );
    // For the shop, and not for the letter that tells the cause.
    assert!(
        json["causes"][0]["advice"]
            .as_str()
            .unwrap()
            .contains("photograph the bundle before")
    );
    assert!(
        !json["causes"][0]["text"]
            .as_str()
            .unwrap()
            .contains("photograph")
    );
}

#[test]
fn s06_an_excess_is_set_apart_and_collected_or_bought() {
    situation(
        "06-over",
        &Expected {
            status: 1,
            findings: &["1 quantity/over 4 each"],
            goods: &[("1", "12", "4")],
            causes: &[],
            remedies: &["1 over: collect supplier"],
        },
    );
    assert!(alternatives("06-over").contains(&"buy"));
}

#[test]
fn s07_a_declared_back_order_leaves_the_line_open_without_a_claim() {
    let (json, _) = situation(
        "07-back-order-declared",
        &Expected {
            status: 0,
            findings: &["1 quantity/back-ordered 6 pair"],
            goods: &[("1", "18", "0")],
            causes: &[],
            remedies: &[],
        },
    );
    assert_eq!(json["lines"][0]["open"], "6");
}

#[test]
fn s07_a_back_order_past_its_date_is_late_and_still_no_claim() {
    let papers = Papers::of("07-back-order-declared", |text| text);
    let on = |day| Case {
        today: NaiveDate::from_ymd_opt(2026, 4, day),
        ..papers.case()
    };
    let due = check(&on(24)).unwrap();
    assert_eq!(findings(&due), ["1 quantity/back-ordered 6 pair"]);
    let late = check(&on(27)).unwrap();
    assert_eq!(
        findings(&late),
        ["1 quantity/back-ordered 6 pair", "1 timing/late 6 pair"]
    );
    assert!(!late.as_ordered);
    assert_eq!(remedies(&papers, &late), Vec::<String>::new());
}

#[test]
fn s08_a_shortage_nobody_declared_is_sent_or_credited() {
    situation(
        "08-short",
        &Expected {
            status: 1,
            findings: &["1 quantity/short 6 pair"],
            goods: &[("1", "18", "0")],
            causes: &[],
            remedies: &["1 short: send supplier"],
        },
    );
    assert!(alternatives("08-short").contains(&"credit"));
}

#[test]
fn s09_a_wrong_finish_is_replaced() {
    situation(
        "09-wrong-finish",
        &Expected {
            status: 1,
            findings: &["1 finish/differs 40 each"],
            goods: &[("1", "0", "40")],
            causes: &[],
            remedies: &["1 differs: replace supplier"],
        },
    );
}

/// US10B and 613 are one finish (BHMA A156.18, check values).
#[test]
fn s09_the_same_finish_under_its_other_number_is_as_ordered() {
    let papers = Papers::of("09-wrong-finish", |text| {
        text.replace("BHMA 619", "BHMA 613")
    });
    assert_eq!(findings(&papers.answer()), Vec::<String>::new());
}

#[test]
fn s10_the_wrong_hand_is_replaced() {
    let (json, _) = situation(
        "10-wrong-hand",
        &Expected {
            status: 1,
            findings: &["1 finish/differs 4 each"],
            goods: &[("1", "0", "4")],
            causes: &[],
            remedies: &["1 differs: replace supplier"],
        },
    );
    assert_eq!(json["lines"][0]["findings"][0]["about"], "hand");
}

#[test]
fn s11_visible_damage_is_claimed_by_who_bears_the_risk() {
    situation(
        "11-damage-visible",
        &Expected {
            status: 1,
            findings: &["1 condition/damaged 2 sheet"],
            goods: &[("1", "28", "2")],
            causes: &[],
            remedies: &["1 damaged: replace supplier"],
        },
    );
    let origin = Papers::of("11-damage-visible", |text| {
        text.replace("freight: destination", "freight: origin")
    });
    assert_eq!(
        remedies(&origin, &origin.answer()),
        ["1 damaged: pay carrier"]
    );
}

#[test]
fn s11_visible_damage_that_nobody_noted_is_to_be_noted() {
    let papers = Papers::of("11-damage-visible", |text| {
        text.replace(", noted: \"pallet 2: two sheets split by the fork\"", "")
    });
    let answer = papers.answer();
    assert_eq!(findings(&answer), ["1 condition/damaged 2 sheet"]);
    let finding = &answer.lines[0].findings[0];
    // The words of a finding go into the letter; what we left undone does not.
    assert!(!finding.text.contains("noted"));
    assert!(finding.advice.as_ref().unwrap().contains("have it noted"));
}

#[test]
fn s12_concealed_damage_keeps_its_packaging_and_has_five_business_days() {
    let (json, _) = situation(
        "12-damage-concealed",
        &Expected {
            status: 1,
            findings: &["1 condition/damaged 3 each"],
            goods: &[("1", "9", "3")],
            causes: &[],
            remedies: &["1 damaged: replace supplier"],
        },
    );
    assert!(advice(&json, 0).contains("keep the packaging"));
    // Found on Monday 13 April 2026; five business days on is Monday the 20th.
    assert_eq!(json["claim"]["notify_by"], "2026-04-20");
}

#[test]
fn s13_undersize_beyond_the_standard_is_replaced_or_conceded() {
    situation(
        "13-undersize",
        &Expected {
            status: 1,
            findings: &["1 size/undersize 6 sheet"],
            goods: &[("1", "10", "6")],
            causes: &[],
            remedies: &["1 undersize: replace supplier"],
        },
    );
    assert!(alternatives("13-undersize").contains(&"reduce"));
}

#[test]
fn s14_grain_the_wrong_way_is_replaced() {
    situation(
        "14-grain-turned",
        &Expected {
            status: 1,
            findings: &["1 size/grain-turned 8 sheet"],
            goods: &[("1", "0", "8")],
            causes: &[],
            remedies: &["1 grain-turned: replace supplier"],
        },
    );
}

#[test]
fn s15_lumber_scant_within_the_drying_allowance_is_accepted() {
    situation(
        "15-scant-allowed",
        &Expected {
            status: 0,
            findings: &[],
            goods: &[("1", "35", "0")],
            causes: &[],
            remedies: &[],
        },
    );
}

/// Kiln-dried rough: 4/4 at least 15/16 in, 5/4 at least 1 3/16 in, 8/4 at least 1 7/8 in (NHLA 2023, check values).
#[test]
fn s15_lumber_below_the_drying_allowance_is_undersize() {
    for (quarters, least, below) in [
        ("4/4", "15/16 in", "59/64 in"),
        ("5/4", "1 3/16 in", "1 11/64 in"),
        ("8/4", "1 7/8 in", "1 55/64 in"),
    ] {
        let measured = |thickness: &str| {
            Papers::of("15-scant-allowed", |text| {
                text.replace("1 3/16 in", thickness)
                    .replace("5/4", quarters)
            })
        };
        let of_size = |papers: &Papers| {
            findings(&papers.answer())
                .into_iter()
                .filter(|finding| finding.contains("size/"))
                .count()
        };
        assert_eq!(of_size(&measured(least)), 0, "{quarters} {least}");
        assert_eq!(of_size(&measured(below)), 1, "{quarters} {below}");
    }
}

#[test]
fn s15_lumber_of_another_thickness_differs() {
    let papers = Papers::of("15-scant-allowed", |text| {
        text.replace("thickness: 5/4}", "thickness: 6/4}")
    });
    assert_eq!(findings(&papers.answer()), ["1 finish/differs 35 bd ft"]);
}

#[test]
fn s16_composite_panels_without_their_label_are_held_until_traced() {
    let (json, _) = situation(
        "16-label-missing",
        &Expected {
            status: 1,
            findings: &["1 papers/missing 30 sheet"],
            goods: &[("1", "0", "30")],
            causes: &[],
            remedies: &["1 missing: send-papers supplier"],
        },
    );
    assert!(advice(&json, 0).contains("traced"));
}

#[test]
fn s17_late_but_right_is_used_and_logged_and_not_claimed() {
    situation(
        "17-late",
        &Expected {
            status: 1,
            findings: &["1 timing/late 100 each"],
            goods: &[("1", "100", "0")],
            causes: &[],
            remedies: &[],
        },
    );
}

#[test]
fn s18_early_is_taken_or_refused_and_not_claimed() {
    let (json, _) = situation(
        "18-early",
        &Expected {
            status: 1,
            findings: &["1 timing/early 100 each"],
            goods: &[("1", "100", "0")],
            causes: &[],
            remedies: &[],
        },
    );
    assert!(advice(&json, 0).contains("take it or refuse it"));
}

#[test]
fn s19_a_shipment_sent_twice_is_collected_and_its_invoice_cancelled() {
    let (json, _) = situation(
        "19-sent-twice",
        &Expected {
            status: 1,
            findings: &[
                "1 quantity/over 60 each",
                "1 price/above 60 each",
                "2 quantity/over 24 each",
                "2 price/above 24 each",
            ],
            goods: &[("1", "60", "60"), ("2", "24", "24")],
            causes: &["sent-twice"],
            remedies: &[
                "1 over: collect supplier",
                "2 over: collect supplier",
                "1 above: correct-invoice supplier",
                "2 above: correct-invoice supplier",
            ],
        },
    );
    // 60 x 6.80 + 24 x 3.90 + 18.00 freight = 408.00 + 93.60 + 18.00.
    assert_eq!(json["billing"]["pay_now"], "519.60");
    assert_eq!(json["billing"]["withhold"], "519.60");
    assert_eq!(json["claim"]["value"], "519.60");
    let arithmetic = json["billing"]["arithmetic"].to_string();
    assert!(arithmetic.contains("INV-19B bills again what INV-19A billed"));
}

#[test]
fn s20_boxes_are_converted_first_and_only_the_true_difference_is_claimed() {
    situation(
        "20-box-and-each",
        &Expected {
            status: 1,
            findings: &["1 quantity/short 50 each"],
            goods: &[("1", "150", "0"), ("2", "200", "0")],
            causes: &[],
            remedies: &["1 short: send supplier"],
        },
    );
}

#[test]
fn s21_an_invoice_that_differs_leaves_the_goods_usable_and_holds_the_difference() {
    let (json, _) = situation(
        "21-invoice-differs",
        &Expected {
            status: 1,
            findings: &["1 price/above 30 sheet"],
            goods: &[("1", "30", "0")],
            causes: &[],
            remedies: &["1 above: correct-invoice supplier"],
        },
    );
    // 30 x 38.20 + 60.00 freight; 30 x (41.70 - 38.20).
    assert_eq!(json["billing"]["pay_now"], "1206.00");
    assert_eq!(json["billing"]["withhold"], "105.00");
}

#[test]
fn s22_the_wrong_item_goes_back() {
    situation(
        "22-wrong-item",
        &Expected {
            status: 1,
            findings: &["1 item/wrong-item 8 sheet"],
            goods: &[("1", "0", "8")],
            causes: &[],
            remedies: &["1 wrong-item: replace supplier"],
        },
    );
}

#[test]
fn s22_the_wrong_species_under_the_right_code_differs() {
    let papers = Papers::of("22-wrong-item", |text| {
        text.replace("item: CHY-34,", "item: WAL-34, finish: {species: cherry},")
    });
    let answer = papers.answer();
    assert_eq!(findings(&answer), ["1 finish/differs 8 sheet"]);
    assert_eq!(remedies(&papers, &answer), ["1 differs: replace supplier"]);
}

#[test]
fn s23_high_moisture_is_held_and_measured_again_before_it_is_claimed() {
    let (json, _) = situation(
        "23-moisture-high",
        &Expected {
            status: 1,
            findings: &["1 finish/not-recorded 40 board"],
            goods: &[("1", "0", "40")],
            causes: &[],
            remedies: &[],
        },
    );
    assert_eq!(json["lines"][0]["findings"][0]["about"], "moisture");
    assert!(advice(&json, 0).contains("measure again"));
}

#[test]
fn s23_moisture_measured_again_is_claimed_if_still_high_and_fine_if_not() {
    let again = |reading: &str| {
        Papers::of("23-moisture-high", |text| {
            text.replace(
                "moisture: 11 %",
                &format!("moisture: {reading}, checked_again: [moisture]"),
            )
        })
    };
    let high = again("10 %");
    let answer = high.answer();
    assert_eq!(findings(&answer), ["1 finish/differs 40 board"]);
    assert_eq!(remedies(&high, &answer), ["1 differs: replace supplier"]);
    assert!(again("8 %").answer().as_ordered);
}

#[test]
fn s24_bowed_panels_are_held_and_the_shops_own_storage_is_checked_first() {
    let (json, _) = situation(
        "24-panels-bowed",
        &Expected {
            status: 1,
            findings: &["1 finish/not-recorded 4 sheet"],
            goods: &[("1", "26", "4")],
            causes: &[],
            remedies: &[],
        },
    );
    assert!(advice(&json, 0).contains("check your own storage first"));
}

#[test]
fn s24_panels_still_bowed_with_the_storage_ruled_out_are_replaced() {
    let papers = Papers::of("24-panels-bowed", |text| {
        text.replace(
            "{flatness: bowed}",
            "{flatness: bowed}, checked_again: [flatness]",
        )
    });
    let answer = papers.answer();
    assert_eq!(findings(&answer), ["1 finish/differs 4 sheet"]);
    assert_eq!(remedies(&papers, &answer), ["1 differs: replace supplier"]);
}

#[test]
fn s25_a_damaged_appliance_is_isolated_and_never_connected() {
    let (json, shown) = situation(
        "25-appliance-damaged",
        &Expected {
            status: 1,
            findings: &["1 condition/damaged 1 each"],
            goods: &[("1", "1", "1")],
            causes: &[],
            remedies: &["1 damaged: replace supplier"],
        },
    );
    assert!(shown.contains("!  isolate it and never connect it"));
    // The words also go to the lot's tag.
    assert!(
        json["lines"][0]["lots"][0]["advice"][0]
            .as_str()
            .unwrap()
            .contains("never connect")
    );
}

#[test]
fn s25_the_hold_tag_says_so_too() {
    let shop = Run::demo(&["order", "add", "situations/25-appliance-damaged/order.yaml"]);
    assert_eq!(shop.output().status, 0);
    let next = |args: &[&str]| {
        let output = program()
            .current_dir(shop.path())
            .args(args)
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    next(&[
        "receive",
        "ST-25",
        "situations/25-appliance-damaged/receipt.yaml",
    ]);
    let listed = next(&["tag", "ST-25"]);
    assert!(listed.contains("HOLD 1 piece of 2"), "{listed}");
    next(&["tag", "ST-25", "--html", "tag.html"]);
    let tag = std::fs::read_to_string(shop.path().join("tag.html")).unwrap();
    assert!(
        tag.contains("<b>isolate it and never connect it, neither to gas nor to power</b>"),
        "{tag}"
    );
}

#[test]
fn s25_the_same_damage_on_goods_that_run_on_no_energy_says_nothing_of_connecting() {
    let papers = Papers::of("25-appliance-damaged", |text| {
        text.replace("energy: gas, ", "")
    });
    let answer = papers.answer();
    assert_eq!(findings(&answer), ["1 condition/damaged 1 each"]);
    assert_eq!(answer.lines[0].findings[0].advice, None);
}

/// The table of the situations' README: every situation has a row, its command runs as written, and it ends as the row says.
#[test]
fn the_readme_lists_every_situation_and_its_commands_end_as_it_says() {
    let text = fs::read_to_string(folder("README.md")).unwrap();
    let rows: Vec<Vec<&str>> = text
        .lines()
        .filter(|line| line.contains("`asordered check "))
        .map(|line| line.trim_matches('|').split('|').map(str::trim).collect())
        .collect();
    let mut named = Vec::new();
    for row in &rows {
        let [_, _, command, _, status] = row.as_slice() else {
            panic!("a row of five columns: {row:?}");
        };
        let args: Vec<&str> = command
            .trim_matches('`')
            .split_whitespace()
            .skip(1)
            .collect();
        let output = Run::demo(&args).output();
        assert_eq!(output.stderr, "", "{command}");
        assert_eq!(output.status.to_string(), *status, "{command}");
        let order = args
            .iter()
            .find(|arg| arg.ends_with("/order.yaml"))
            .unwrap();
        named.push(order.split('/').nth(1).unwrap().to_owned());
    }
    let mut folders: Vec<String> = fs::read_dir(folder(""))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.file_type().unwrap().is_dir())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    folders.sort();
    assert_eq!(folders.len(), 26);
    assert_eq!(named, folders);
}
