//! Draws a flitch: its leaves to scale in order of number, with sets, gaps, defects and the window they share. Chooses
//! nothing. Every meaning is a word or a shape; tints only help the eye.

use crate::model::answer::{Answer, LeafShown, SequenceAnswer};
use crate::model::rect::Rect;
use crate::model::words::ranges;
use std::fmt::Write;

/// Height of the tallest leaf, in drawing units: at least, and at most where leaves are narrow.
const TALL: (f64, f64) = (120.0, 240.0);
/// How wide a leaf should be so that its words have room.
const ROOM: f64 = 34.0;
/// Widest row.
const ROW: f64 = 720.0;
/// Between leaves.
const SPACE: f64 = 6.0;

/// Returns one drawing for each flitch: its name and the SVG.
pub fn drawings(sequence: &SequenceAnswer) -> Vec<(String, String)> {
    by_flitch(sequence)
        .into_iter()
        .map(|(name, leaves)| (name.to_owned(), drawing(name, &leaves, sequence)))
        .collect()
}

/// Returns all flitches of an answer in one SVG file, one below the other, with its own style.
pub fn sheet(answer: &Answer) -> String {
    let mut body = String::new();
    let (mut y, mut widest) = (24.0, 240.0_f64);
    for line in &answer.lines {
        if let Some(sequence) = &line.sequence {
            for (name, leaves) in by_flitch(sequence) {
                let picture = picture(&leaves, sequence);
                // Writing into a string cannot fail.
                let _ = write!(
                    body,
                    "<text class=\"head\" x=\"0\" y=\"{:.0}\">{}</text><g transform=\"translate(0 {:.0})\"><title>{}</title>{}</g>",
                    y - 8.0,
                    escaped(&format!("line {}, flitch {name}", line.line)),
                    y,
                    escaped(&format!("Flitch {name}: {}", told(&leaves, sequence))),
                    picture.body,
                );
                y += picture.height + 24.0;
                widest = widest.max(picture.width);
            }
        }
    }
    format!(
        "<svg role=\"img\" viewBox=\"-8 0 {:.0} {y:.0}\" width=\"{:.0}\" height=\"{y:.0}\" xmlns=\"http://www.w3.org/2000/svg\">\
         <title>{}</title><style>{STYLE}</style>{HATCH}{body}</svg>\n",
        widest + 16.0,
        widest + 16.0,
        escaped(&format!("Leaves of order {}", answer.order)),
    )
}

/// The style of a drawing that stands alone; a page brings its own.
const STYLE: &str = "svg{background:#fdfcfa}.leaf{stroke:#1d1b18;fill:#efe4cf}.leaf.used{fill:#d9e6ef;stroke:#3a5a73;stroke-width:2}\
.leaf.spare{stroke-dasharray:4 2}.leaf.unfit{fill:none}.cross{stroke:#8c2f14;stroke-width:1.5}\
.defect{fill:url(#hatch);stroke:#8c2f14}.hatch{stroke:#8c2f14;stroke-width:2}\
.window{fill:none;stroke:#3a5a73;stroke-width:1.5;stroke-dasharray:6 3}.gap{fill:none;stroke:#625c54;stroke-dasharray:2 4}\
text{font:10px system-ui,sans-serif;fill:#1d1b18;text-anchor:middle}text.to{fill:#625c54;font-size:9px}\
text.head{font-size:12px;text-anchor:start}";

/// Defects are hatched, so that they are told without colour.
const HATCH: &str = "<defs><pattern id=\"hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" \
patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\" class=\"hatch\"/></pattern></defs>";

fn by_flitch(sequence: &SequenceAnswer) -> Vec<(&str, Vec<&LeafShown>)> {
    let mut flitches: Vec<(&str, Vec<&LeafShown>)> = Vec::new();
    for leaf in &sequence.leaves {
        match flitches.iter_mut().find(|(name, _)| *name == leaf.flitch) {
            Some((_, leaves)) => leaves.push(leaf),
            None => flitches.push((&leaf.flitch, vec![leaf])),
        }
    }
    flitches
}

struct Picture {
    body: String,
    width: f64,
    height: f64,
}

fn drawing(name: &str, leaves: &[&LeafShown], sequence: &SequenceAnswer) -> String {
    let picture = picture(leaves, sequence);
    let title = escaped(&format!("Flitch {name}: {}", told(leaves, sequence)));
    let width = picture.width + 4.0;
    format!(
        "<svg role=\"img\" viewBox=\"-2 -2 {width:.0} {:.0}\" width=\"{width:.0}\" xmlns=\"http://www.w3.org/2000/svg\">\
         <title>{title}</title>{HATCH}{}</svg>",
        picture.height, picture.body,
    )
}

fn picture(leaves: &[&LeafShown], sequence: &SequenceAnswer) -> Picture {
    let longest = leaves
        .iter()
        .filter_map(|leaf| leaf.size)
        .map(|size| size.along.nm())
        .max()
        .unwrap_or(1)
        .max(1);
    let narrowest = leaves
        .iter()
        .filter_map(|leaf| leaf.size)
        .map(|size| size.across.nm())
        .min()
        .unwrap_or(longest)
        .max(1);
    // Drawing units for one nanometre; pictures need no exactness.
    let tall = (ROOM * longest as f64 / narrowest as f64).clamp(TALL.0, TALL.1);
    let scale = tall / longest as f64;
    let mut body = String::new();
    let (mut x, mut y) = (0.0, 0.0);
    let mut last: Option<u32> = None;
    let mut widest: f64 = 0.0;
    for leaf in leaves {
        let wide = leaf.size.map_or(40.0, |size| {
            (size.across.nm() as f64 * scale).clamp(14.0, 110.0)
        });
        let gap = last
            .zip(leaf.place)
            .filter(|(last, place)| *place > last + 1)
            .map(|(last, place)| (last + 1, place - 1, leaf.number.is_some()));
        let needed = wide + if gap.is_some() { 46.0 + SPACE } else { 0.0 };
        if x > 0.0 && x + needed > ROW {
            x = 0.0;
            y += tall + 58.0;
        }
        if let Some((first, last, numbered)) = gap {
            missing(&mut body, (x, y, tall), numbered.then_some((first, last)));
            x += 46.0 + SPACE;
        }
        one(&mut body, (x, y + tall, wide), scale, leaf, sequence);
        x += wide + SPACE;
        widest = widest.max(x);
        last = leaf.place;
    }
    Picture {
        body,
        width: widest.max(60.0),
        height: y + tall + 50.0,
    }
}

fn one(
    body: &mut String,
    (x, butt, wide): (f64, f64, f64),
    scale: f64,
    leaf: &LeafShown,
    sequence: &SequenceAnswer,
) {
    let tall = leaf
        .size
        .map_or(TALL.0, |size| size.along.nm() as f64 * scale);
    let top = butt - tall;
    // Leaves wider than their box would be are squeezed across; the picture says so by its title only.
    let across = leaf
        .size
        .map_or(scale, |size| wide / size.across.nm().max(1) as f64);
    let set = leaf.set.map(|place| &sequence.filled[place]);
    let (class, below) = match (set, &leaf.unfit) {
        (Some(set), _) => ("leaf used", format!("set {}", set.wanted + 1)),
        (None, Some(_)) => ("leaf unfit", "no".to_owned()),
        (None, None) if sequence.missing.is_empty() => ("leaf spare", "spare".to_owned()),
        (None, None) => ("leaf spare", "hold".to_owned()),
    };
    let words = match (set, &leaf.unfit) {
        (Some(set), _) => format!("leaf {}, set {}", leaf.name, set.wanted + 1),
        (None, Some(why)) => format!("leaf {}, {why}", leaf.name),
        (None, None) if sequence.missing.is_empty() => format!("leaf {}, spare", leaf.name),
        (None, None) => format!("leaf {}, hold for a set that cannot be made yet", leaf.name),
    };
    // Writing into a string cannot fail.
    let _ = write!(
        body,
        "<g><title>{}</title><rect class=\"{class}\" x=\"{x:.1}\" y=\"{top:.1}\" width=\"{wide:.1}\" height=\"{tall:.1}\"/>",
        escaped(&words)
    );
    let place = |rect: &Rect| {
        (
            x + rect.left.nm() as f64 * across,
            // The butt end is drawn below.
            butt - (rect.butt.nm() + rect.along.nm()) as f64 * scale,
            (rect.across.nm() as f64 * across).max(2.0),
            (rect.along.nm() as f64 * scale).max(2.0),
        )
    };
    for (kind, defect) in &leaf.defects {
        let (x, y, wide, tall) = place(defect);
        let _ = write!(
            body,
            "<rect class=\"defect\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{tall:.1}\"><title>{}</title></rect>",
            escaped(kind)
        );
    }
    if let Some(window) = set.and_then(|set| set.window.as_ref()) {
        let (x, y, wide, tall) = place(window);
        let _ = write!(
            body,
            "<rect class=\"window\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{tall:.1}\"/>"
        );
    }
    if leaf.unfit.is_some() {
        let _ = write!(
            body,
            "<path class=\"cross\" d=\"M{x:.1} {top:.1}L{:.1} {:.1}M{:.1} {top:.1}L{x:.1} {:.1}\"/>",
            x + wide,
            top + tall,
            x + wide,
            top + tall
        );
    }
    let middle = x + wide / 2.0;
    let _ = write!(
        body,
        "<text class=\"number\" x=\"{middle:.1}\" y=\"{:.1}\">{}</text><text class=\"to\" x=\"{middle:.1}\" y=\"{:.1}\">{}</text></g>",
        butt + 14.0,
        escaped(&leaf.name),
        butt + 28.0,
        escaped(&short(&below, wide)),
    );
}

/// A narrow leaf has no room for "spare" or "set 12".
fn short(words: &str, wide: f64) -> String {
    if wide >= 26.0 {
        return words.to_owned();
    }
    match words.strip_prefix("set ") {
        Some(number) => number.to_owned(),
        None => words.chars().take(1).collect(),
    }
}

fn missing(body: &mut String, (x, y, tall): (f64, f64, f64), numbers: Option<(u32, u32)>) {
    let numbers = match numbers {
        None => "some".to_owned(),
        Some((first, last)) if first == last => first.to_string(),
        Some((first, last)) => format!("{first}-{last}"),
    };
    let _ = write!(
        body,
        "<g><title>leaves {numbers} are not here</title>\
         <rect class=\"gap\" x=\"{x:.1}\" y=\"{y:.1}\" width=\"46\" height=\"{tall:.1}\"/>\
         <text class=\"to\" x=\"{:.1}\" y=\"{:.1}\">not here</text>\
         <text class=\"number\" x=\"{:.1}\" y=\"{:.1}\">{numbers}</text></g>",
        x + 23.0,
        y + tall / 2.0,
        x + 23.0,
        y + tall + 14.0,
    );
}

fn told(leaves: &[&LeafShown], sequence: &SequenceAnswer) -> String {
    let mut parts = Vec::new();
    for (place, set) in sequence.filled.iter().enumerate() {
        if leaves.iter().any(|leaf| leaf.set == Some(place)) {
            parts.push(format!(
                "set {} from leaves {}",
                set.wanted + 1,
                ranges(&set.leaves)
            ));
        }
    }
    let spare: Vec<String> = leaves
        .iter()
        .filter(|leaf| leaf.set.is_none() && leaf.unfit.is_none())
        .map(|leaf| leaf.name.clone())
        .collect();
    if !spare.is_empty() {
        let word = if sequence.missing.is_empty() {
            "spare"
        } else {
            "hold"
        };
        parts.push(format!("{word} {}", ranges(&spare)));
    }
    if parts.is_empty() {
        parts.push("no set can be made".to_owned());
    }
    parts.join("; ")
}

/// Returns text made harmless for HTML and SVG.
pub fn escaped(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '&' => "&amp;".to_owned(),
            '<' => "&lt;".to_owned(),
            '>' => "&gt;".to_owned(),
            '"' => "&quot;".to_owned(),
            '\'' => "&#39;".to_owned(),
            c if c.is_control() => " ".to_owned(),
            c => c.to_string(),
        })
        .collect()
}
