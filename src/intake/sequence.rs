//! Reads the sets of leaves that an order line asks for. Does not know whether the leaves came.

use crate::intake::amount::{any_measure, measure};
use crate::intake::fields::{Field, Fields, Problems, Shape, Table};
use crate::intake::node::{Node, Value};
use crate::intake::text::{flag, id, whole, word};
use crate::model::order::{Match, SequenceWanted, SetWanted};
use crate::model::problem::Problem;
use crate::trade::leaf_count::leaves_for_face;

const MATCH: &[(&str, Match)] = &[
    ("book", Match::Book),
    ("slip", Match::Slip),
    ("running", Match::Running),
    ("balance", Match::Balance),
    ("centre", Match::Centre),
    ("center", Match::Centre),
];

/// The keys of a sequence.
pub const SEQUENCE: Table = Table {
    what: "a sequence",
    fields: &[
        Field::must(
            "sets",
            Shape::List(&Shape::Either(&Shape::Number, &Shape::Record(&SET))),
            "the leaves of each set, as [4, 4], or faces",
        ),
        Field::may(
            "skip",
            Shape::Number,
            "how many numbers may be missing between neighbours; 0 where left out",
        ),
        Field::may(
            "one_flitch",
            Shape::Bool,
            "whether all sets must come from one flitch",
        ),
        Field::may(
            "drift",
            Shape::Text("1/4 in"),
            "how far the figure may move from leaf to leaf, for unmarked leaves",
        ),
    ],
};

const SET: Table = Table {
    what: "a set",
    fields: &[
        Field::may("face", Shape::Text("reception"), "the face it is for"),
        Field::may("leaves", Shape::Number, "how many leaves"),
        Field::may(
            "width",
            Shape::Text("48 in"),
            "the face's width, to work out the leaves",
        ),
        Field::may(
            "usable",
            Shape::Text("9 in"),
            "the usable width of one leaf, to work out the leaves",
        ),
        Field::may(
            "match",
            Shape::Word(&["book", "slip", "running", "balance", "centre"]),
            "how neighbouring leaves are matched",
        ),
    ],
};

/// Reads the sets that a line's leaves must make.
pub fn read(node: &Node, problems: &mut Problems) -> Option<SequenceWanted> {
    let fields = Fields::open(node, &SEQUENCE, problems)?;
    let sets = fields.list("sets", set, problems);
    if sets.len() > 10_000 {
        problems.push(Problem::new(&node.spot, "more than 10000 sets on one line"));
        return None;
    }
    if fields.node("sets").is_some() && sets.is_empty() && problems.count() == 0 {
        problems.push(Problem::new(&node.spot, "a sequence without sets"));
    }
    Some(SequenceWanted {
        sets,
        skip: fields.get("skip", whole, problems).unwrap_or(0),
        one_flitch: fields.get("one_flitch", flag, problems).unwrap_or(false),
        drift: fields.get("drift", any_measure, problems),
    })
}

fn set(node: &Node, problems: &mut Problems) -> Option<SetWanted> {
    if matches!(node.value, Value::Text { .. }) {
        let leaves = leaf_count(node, problems)?;
        return Some(SetWanted {
            face: None,
            leaves,
            matching: None,
            from_width: None,
        });
    }
    let fields = Fields::open(node, &SET, problems)?;
    let face = fields.get("face", id, problems);
    let matching = fields.get(
        "match",
        |node, problems| word(node, MATCH, problems),
        problems,
    );
    let leaves = fields.get("leaves", leaf_count, problems);
    let width = fields.get("width", measure, problems);
    let usable = fields.get("usable", measure, problems);
    match (leaves, width, usable) {
        (Some(leaves), None, None) => Some(SetWanted {
            face,
            leaves,
            matching,
            from_width: None,
        }),
        (None, Some(width), Some(usable)) => {
            let centre = matching == Some(Match::Centre);
            let count = leaves_for_face(width.length, usable.length, centre)
                .filter(|count| *count <= 5_000);
            let Some(leaves) = count else {
                problems.push(Problem::new(
                    &node.spot,
                    format!("{width} over {usable} makes no set of 1 to 5000 leaves"),
                ));
                return None;
            };
            let leaves = leaves as usize;
            Some(SetWanted {
                face,
                leaves,
                matching,
                from_width: Some((width, usable)),
            })
        }
        (Some(_) | None, Some(_) | None, Some(_) | None) => {
            problems.push(
                Problem::new(
                    &node.spot,
                    "a set needs either `leaves`, or both `width` and `usable`",
                )
                .hint("leaves: 6, or width: 48 in with usable: 9 in"),
            );
            None
        }
    }
}

fn leaf_count(node: &Node, problems: &mut Problems) -> Option<usize> {
    let count = whole(node, problems)?;
    if (1..=5_000).contains(&count) {
        return Some(count as usize);
    }
    problems.push(Problem::new(
        &node.spot,
        format!("found {}, expected a set of 1 to 5000 leaves", node.found()),
    ));
    None
}
