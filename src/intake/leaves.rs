//! Reads leaves: the short form `3318: 14-17, 21-22; 3320: 2` and the long form, leaf by leaf.

use crate::intake::amount::{any_measure, place, size};
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::{Node, Value};
use crate::intake::text::{id, raw, whole};
use crate::model::leaf::{Defect, Landmark, Leaf};
use crate::model::length::Length;
use crate::model::problem::Problem;
use crate::model::rect::Rect;
use crate::model::words::{evenly_spaced, longer, shortened};
use std::collections::HashSet;

/// The most leaves of one receipt line; a flitch rarely has more than a few hundred.
const MAX_LEAVES: usize = 10_000;
/// The highest leaf number.
const MAX_NUMBER: u32 = 100_000;

/// The keys of a leaf.
pub const LEAF: Table = Table {
    what: "a leaf",
    fields: &[
        Field::may(
            "flitch",
            Shape::Text("3318"),
            "the flitch it is marked with",
        ),
        Field::may("leaf", Shape::Number, "its number in the flitch"),
        Field::may(
            "mark",
            Shape::Text("P1"),
            "the mark it was given at the bench",
        ),
        Field::may(
            "defects",
            Shape::List(&Shape::Record(&DEFECT)),
            "defects seen, each with its place and size",
        ),
        Field::may(
            "figure",
            Shape::Names,
            "landmarks of the figure: distance from the butt end, or absent",
        ),
        Field::may(
            "size",
            Shape::Text("48 in x 120 in"),
            "its own size, where it differs from the others",
        ),
        Field::may(
            "photo",
            Shape::Text("photos/p1.jpg"),
            "a photograph (JPEG or PNG) in the shop's folder `photos/`",
        ),
    ],
};

const DEFECT: Table = Table {
    what: "a defect",
    fields: &[
        Field::must("kind", Shape::Text("knot"), "what it is"),
        Field::must(
            "at",
            Shape::Text("12 in x 40 in"),
            "its corner: from the left edge x from the butt end",
        ),
        Field::must(
            "size",
            Shape::Text("2 in x 3 in"),
            "its size: across the grain x along it",
        ),
    ],
};

/// Reads the leaves of a receipt line. A leaf that is named twice is a problem.
pub fn read(node: &Node, problems: &mut Problems) -> Vec<Leaf> {
    let leaves =
        match &node.value {
            Value::Text { .. } => short(node, problems),
            Value::List(items) => items
                .iter()
                .take(MAX_LEAVES + 1)
                .filter_map(|item| long(item, problems))
                .collect(),
            Value::Map(_) => {
                problems.push(Problem::new(
                &node.spot,
                "a mapping where leaves were expected, as `\"3318: 14-17, 21-22\"` or a list",
            )
            .hint("the short form needs quotes, because it holds a colon"));
                return Vec::new();
            }
        };
    if leaves.len() > MAX_LEAVES {
        problems.push(Problem::new(
            &node.spot,
            format!("more than {MAX_LEAVES} leaves on one line"),
        ));
        return Vec::new();
    }
    let mut seen = HashSet::new();
    for leaf in &leaves {
        let key = match (leaf.number, &leaf.mark) {
            (Some(number), _) => (leaf.flitch.clone(), Some(number), None),
            (None, mark) => (leaf.flitch.clone(), None, mark.clone()),
        };
        if !seen.insert(key) {
            problems.push(
                Problem::new(&leaf.spot, format!("leaf `{}` is named twice", leaf.name()))
                    .hint("a leaf comes once; look at the mark again"),
            );
        }
    }
    leaves
}

fn short(node: &Node, problems: &mut Problems) -> Vec<Leaf> {
    let expected = "leaves as `3318: 14-17, 21-22; 3320: 2`";
    let Some(text) = raw(node, expected, problems) else {
        return Vec::new();
    };
    let mut leaves = Vec::new();
    for part in text
        .split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let Some((flitch, numbers)) = part.rsplit_once(':') else {
            problems.push(
                Problem::new(
                    &node.spot,
                    format!("found `{}`, expected {expected}", shortened(part)),
                )
                .hint("the flitch stands before a colon"),
            );
            continue;
        };
        let flitch = evenly_spaced(flitch);
        if flitch.is_empty() || longer(&flitch, 120) {
            problems.push(Problem::new(
                &node.spot,
                format!(
                    "found `{}` without a flitch, expected {expected}",
                    shortened(part)
                ),
            ));
            continue;
        }
        for range in numbers
            .split(',')
            .map(str::trim)
            .filter(|range| !range.is_empty())
        {
            match numbers_of(range) {
                Some((first, last))
                    if (last - first) as usize <= MAX_LEAVES.saturating_sub(leaves.len()) =>
                {
                    leaves.extend((first..=last).map(|number| Leaf {
                        flitch: Some(flitch.clone()),
                        number: Some(number),
                        mark: None,
                        defects: Vec::new(),
                        figure: Vec::new(),
                        size: None,
                        photo: None,
                        spot: node.spot.clone(),
                    }));
                }
                Some(_) => problems.push(Problem::new(
                    &node.spot,
                    format!("`{}` makes more than {MAX_LEAVES} leaves", shortened(range)),
                )),
                None => problems.push(
                    Problem::new(
                        &node.spot,
                        format!(
                            "found `{}`, expected leaf numbers as `14-17` or `21`",
                            shortened(range)
                        ),
                    )
                    .hint(format!(
                        "numbers run from 1 to {MAX_NUMBER}, the lower first"
                    )),
                ),
            }
        }
    }
    if leaves.is_empty() && problems.count() == 0 {
        problems.push(Problem::new(
            &node.spot,
            format!("found {}, expected {expected}", node.found()),
        ));
    }
    leaves
}

fn numbers_of(range: &str) -> Option<(u32, u32)> {
    let number = |text: &str| {
        let text = text.trim();
        let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        digits
            .then(|| text.parse::<u32>().ok())
            .flatten()
            .filter(|number| (1..=MAX_NUMBER).contains(number))
    };
    let (first, last) = match range.split_once(['-', '–']) {
        Some((first, last)) => (number(first)?, number(last)?),
        None => (number(range)?, number(range)?),
    };
    (first <= last).then_some((first, last))
}

fn long(node: &Node, problems: &mut Problems) -> Option<Leaf> {
    let fields = Fields::open(node, &LEAF, problems)?;
    let number = fields.get("leaf", whole, problems);
    let mark = fields.get("mark", id, problems);
    let flitch = fields.get("flitch", id, problems);
    if number == Some(0) || number.is_some_and(|number| number > MAX_NUMBER) {
        problems.push(Problem::new(
            &node.spot,
            format!("leaf numbers run from 1 to {MAX_NUMBER}"),
        ));
    }
    if fields.node("leaf").is_none() && fields.node("mark").is_none() {
        problems.push(
            Problem::new(&node.spot, "a leaf with neither `leaf` nor `mark`")
                .hint("an unmarked leaf is given a mark at the bench, as `mark: P1`"),
        );
    }
    if number.is_some() && fields.node("flitch").is_none() {
        problems.push(
            Problem::new(&node.spot, "a leaf with a number but no `flitch`")
                .hint("numbers count within a flitch; without one give the leaf a `mark`"),
        );
    }
    Some(Leaf {
        flitch,
        number,
        mark,
        defects: fields.list("defects", defect, problems),
        figure: fields.get("figure", figure, problems).unwrap_or_default(),
        size: fields.get("size", size, problems),
        photo: fields.get("photo", photo, problems),
        spot: node.spot.clone(),
    })
}

/// Reads the path of a photograph: in the shop's folder of them, so that no other file of the shop can be sent as one.
pub fn photo(node: &Node, problems: &mut Problems) -> Option<String> {
    let path = id(node, problems)?;
    let plain = path.strip_prefix("photos/").is_some_and(|rest| {
        !rest.contains(['\\', ':']) && rest.split('/').all(|part| !matches!(part, "" | "." | ".."))
    });
    let ending = path
        .rsplit_once('.')
        .is_some_and(|(_, ending)| PICTURES.iter().any(|one| ending.eq_ignore_ascii_case(one)));
    if plain && ending {
        return Some(path);
    }
    problems.push(
        Problem::new(
            &node.spot,
            format!(
                "found `{}`, expected a photograph as `photos/1.jpg`",
                shortened(&path)
            ),
        )
        .hint(if plain {
            "photographs are .jpg, .jpeg or .png"
        } else {
            "copy the file into `photos/` and write `photos/NAME`"
        }),
    );
    None
}

/// What the name of a photograph ends in.
const PICTURES: [&str; 3] = ["jpg", "jpeg", "png"];

fn defect(node: &Node, problems: &mut Problems) -> Option<Defect> {
    let fields = Fields::open(node, &DEFECT, problems)?;
    let kind = fields.get("kind", id, problems);
    let at = fields.get("at", place, problems);
    let extent = fields.get("size", size, problems);
    let ((left, butt), extent) = (at?, extent?);
    Some(Defect {
        kind: kind?,
        place: Rect {
            left,
            butt,
            across: extent.across.length,
            along: extent.along.length,
        },
    })
}

fn figure(node: &Node, problems: &mut Problems) -> Option<Vec<Landmark>> {
    let Value::Map(entries) = &node.value else {
        problems.push(Problem::new(
            &node.spot,
            format!(
                "{} where a mapping as `{{peak: 41.5 in}}` was expected",
                node.found()
            ),
        ));
        return None;
    };
    let mut landmarks = Vec::with_capacity(entries.len());
    for entry in entries {
        let absent = matches!(&entry.node.value, Value::Text { text, .. } if text == "absent");
        let butt: Option<Length> = if absent {
            None
        } else {
            match any_measure(&entry.node, problems) {
                Some(measure) => Some(measure.length),
                None => continue,
            }
        };
        landmarks.push(Landmark {
            name: entry.key.trim().to_owned(),
            butt,
        });
    }
    Some(landmarks)
}
