//! Finds places for labels beside their marks so that none covers another, and writes them. Draws no mark.

use super::svg::{Anchor, Svg, width};

/// A rectangle that is taken.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Block {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

impl Block {
    fn meets(&self, other: &Block) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn is_within(&self, other: &Block) -> bool {
        other.left <= self.left
            && self.right <= other.right
            && other.top <= self.top
            && self.bottom <= other.bottom
    }
}

/// Where a label goes: the text is held at `at`, and led back to its mark where it is not right beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    at: (f64, f64),
    anchor: Anchor,
    is_led: bool,
}

impl Place {
    /// Writes the label of a mark.
    pub(super) fn draw(&self, svg: &mut Svg, mark: (f64, f64), class: &str, text: &str) {
        if self.is_led {
            svg.line(mark, self.at, "axis");
        }
        svg.text((self.at.0, self.at.1 + 4.0), self.anchor, class, text);
    }
}

/// What is taken so far, in an area.
#[derive(Debug)]
pub(super) struct Room {
    area: Block,
    taken: Vec<Block>,
}

impl Room {
    /// Starts with the marks, each 16 across, in an area from (left, top) to (right, bottom).
    pub(super) fn new(area: (f64, f64, f64, f64), marks: &[(f64, f64)]) -> Room {
        let (left, top, right, bottom) = area;
        let taken = marks.iter().map(|(x, y)| Block {
            left: x - 8.0,
            top: y - 8.0,
            right: x + 8.0,
            bottom: y + 8.0,
        });
        Room {
            area: Block {
                left,
                top,
                right,
                bottom,
            },
            taken: taken.collect(),
        }
    }

    /// Takes a free place for a label near a mark, at most `reach` away; `None` where all are taken.
    pub(super) fn place(&mut self, mark: (f64, f64), text: &str, reach: f64) -> Option<Place> {
        // Bold letters are a tenth wider.
        let wide = width(text) * 1.1;
        let mut away = 11.0;
        while away <= reach {
            for (right, down) in [
                (1.0, 0.0),
                (-1.0, 0.0),
                (0.7, -0.9),
                (0.7, 0.9),
                (-0.7, -0.9),
                (-0.7, 0.9),
                (0.0, -1.2),
                (0.0, 1.2),
            ] {
                let (x, y) = (mark.0 + right * away, mark.1 + down * away);
                let (anchor, left) = if right > 0.0 {
                    (Anchor::Start, x)
                } else if right < 0.0 {
                    (Anchor::End, x - wide)
                } else {
                    (Anchor::Middle, x - wide / 2.0)
                };
                let block = Block {
                    left,
                    top: y - 8.0,
                    right: left + wide,
                    bottom: y + 8.0,
                };
                if block.is_within(&self.area)
                    && !self.taken.iter().any(|taken| taken.meets(&block))
                {
                    self.taken.push(block);
                    return Some(Place {
                        at: (x, y),
                        anchor,
                        is_led: away > 22.0,
                    });
                }
            }
            away *= 1.3;
        }
        None
    }
}

/// Moves heights apart until each is `gap` from the next, keeping their order and staying above `floor`.
pub(super) fn spread(heights: &mut [(f64, String)], gap: f64, floor: f64) {
    heights.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    for index in 1..heights.len() {
        heights[index].0 = heights[index].0.max(heights[index - 1].0 + gap);
    }
    let mut lowest = floor;
    for (height, _) in heights.iter_mut().rev() {
        *height = height.min(lowest);
        lowest = *height - gap;
    }
}
