//! Grade scales: their order, and where there is none.

use asordered::trade::grades::{Scale, near_scale, scale, scales};
use std::cmp::Ordering;

fn of(name: &str) -> &'static Scale {
    scale(name).unwrap_or_else(|| panic!("no scale {name}"))
}

/// Best first, as published (check values: HP-1, NHLA, PS 1-19, woodwork workmanship, BHMA).
const CHAINS: [(&str, &[&str]); 8] = [
    ("hp1-face", &["AA", "A", "B", "C", "D", "E"]),
    ("hp1-back", &["1", "2", "3", "4"]),
    ("hp1-inner", &["J", "K", "L", "M"]),
    ("nhla", &["FAS", "F1F", "Selects", "1C", "2A", "2B", "3B"]),
    ("nhla", &["FAS", "F1F", "Selects", "1C", "2A", "3A", "3B"]),
    ("ps1-veneer", &["A", "B", "C-plugged", "C", "D"]),
    ("woodwork", &["Premium", "Custom", "Economy"]),
    ("bhma-hardware", &["1", "2", "3"]),
];

#[test]
fn published_orders_hold_for_every_pair() {
    for (name, chain) in CHAINS {
        for (i, a) in chain.iter().enumerate() {
            for (j, b) in chain.iter().enumerate() {
                assert_eq!(
                    of(name).compare(a, b),
                    Some(j.cmp(&i)),
                    "{name}: {a} against {b}"
                );
            }
        }
    }
}

#[test]
fn every_scale_is_a_partial_order() {
    for scale in scales() {
        let names: Vec<&str> = scale.names().collect();
        for a in &names {
            assert_eq!(
                scale.compare(a, a),
                Some(Ordering::Equal),
                "{}: {a}",
                scale.name
            );
            for b in &names {
                let forward = scale.compare(a, b);
                assert_eq!(forward.map(Ordering::reverse), scale.compare(b, a));
                assert_eq!(
                    forward == Some(Ordering::Equal),
                    a == b,
                    "{}: {a} {b}",
                    scale.name
                );
                for c in &names {
                    if forward == Some(Ordering::Greater)
                        && scale.compare(b, c) == Some(Ordering::Greater)
                    {
                        assert_eq!(scale.compare(a, c), Some(Ordering::Greater), "{a} {b} {c}");
                    }
                }
            }
        }
    }
}

#[test]
fn lumber_2b_and_3a_are_not_comparable() {
    assert_eq!(of("nhla").compare("2B", "3A"), None);
    assert_eq!(of("nhla").compare("3A", "2B"), None);
}

#[test]
fn a_specialty_face_has_no_rank() {
    for face in ["AA", "A", "E"] {
        assert_eq!(of("hp1-face").compare("SP", face), None);
        assert_eq!(of("hp1").compare("SP-1", &format!("{face}-1")), None);
    }
    assert_eq!(of("hp1").compare("SP-2", "SP-1"), Some(Ordering::Less));
}

#[test]
fn a_panel_is_lower_when_one_side_is_lower_and_the_other_not_higher() {
    let hp1 = of("hp1");
    assert_eq!(hp1.compare("B-1", "A-1"), Some(Ordering::Less));
    assert_eq!(hp1.compare("A-2", "A-1"), Some(Ordering::Less));
    assert_eq!(hp1.compare("B-2", "A-1"), Some(Ordering::Less));
    assert_eq!(hp1.compare("AA-1", "A-2"), Some(Ordering::Greater));
    assert_eq!(hp1.compare("AA-2", "A-1"), None);
    assert_eq!(hp1.compare("B-1", "A-2"), None);
}

#[test]
fn other_names_of_a_grade_are_known_whatever_their_case() {
    for (name, text, grade) in [
        ("nhla", "#1 Common", "1C"),
        ("nhla", "No. 1C", "1C"),
        ("nhla", "no. 1 common", "1C"),
        ("nhla", "#1C", "1C"),
        ("nhla", "FAS/1F", "F1F"),
        ("nhla", "fas", "FAS"),
        ("nhla", "Sel", "Selects"),
        ("nhla", "#2A Common", "2A"),
        ("hp1-face", "aa", "AA"),
        ("hp1-face", "Grade A", "A"),
        ("hp1", "a-1", "A-1"),
        ("hp1", "A1", "A-1"),
        ("hp1", "AA/2", "AA-2"),
        ("ps1-veneer", "c plugged", "C-plugged"),
        ("bhma-hardware", "Grade 1", "1"),
        ("woodwork", "premium", "Premium"),
    ] {
        assert_eq!(of(name).grade(text), Some(grade), "{name}: {text}");
    }
}

#[test]
fn a_grade_of_another_scale_or_with_a_sign_is_unknown() {
    for (name, text) in [
        ("hp1-face", "A1"),
        ("hp1-face", "A-"),
        ("hp1-face", "A+"),
        ("hp1-face", "FAS"),
        ("hp1-face", "Premium"),
        ("hp1-back", "A"),
        ("nhla", "#2 Common"),
        ("nhla", ""),
        ("woodwork", "AA"),
    ] {
        assert_eq!(of(name).grade(text), None, "{name}: {text}");
        assert_eq!(
            of(name).compare(text, of(name).names().next().unwrap()),
            None
        );
    }
}

#[test]
fn a_misspelt_grade_or_scale_is_offered_and_a_letter_is_not_guessed() {
    assert_eq!(of("woodwork").near("Premum"), Some("Premium"));
    assert_eq!(of("nhla").near("FSA"), Some("FAS"));
    assert_eq!(of("hp1-face").near("F"), None);
    assert_eq!(near_scale("hp1face"), Some("hp1-face"));
    assert_eq!(near_scale("nlha"), Some("nhla"));
    assert_eq!(near_scale("colours"), None);
}

#[test]
fn every_scale_has_a_source_and_a_title_and_two_grades_at_least() {
    for scale in scales() {
        assert!(!scale.source.trim().is_empty(), "{}", scale.name);
        assert!(!scale.title.trim().is_empty(), "{}", scale.name);
        assert!(scale.names().count() >= 2, "{}", scale.name);
    }
}
