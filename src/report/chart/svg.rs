//! Writes SVG elements and escapes what goes into them. Places nothing.

use unicode_width::UnicodeWidthStr;

use super::WIDTH;

/// Colours: ink and rules, and vermilion and blue, which the common kinds of colour blindness keep apart.
/// `svg.chart` keeps the rules from reaching anything else in a page.
const STYLE: &str = "\
svg.chart{--ink:var(--chart-ink,#1a1a1a);--quiet:var(--chart-quiet,#585858);--rule:var(--chart-rule,#cfcfcf);\
--paper:var(--chart-paper,#fff);--worse:var(--chart-worse,#b34400);--better:var(--chart-better,#005f9e);\
display:block;max-width:100%;height:auto;font:12px system-ui,sans-serif}\
@media (prefers-color-scheme:dark){svg.chart{--ink:var(--chart-ink,#ececec);--quiet:var(--chart-quiet,#b4b4b4);\
--rule:var(--chart-rule,#4a4a4a);--paper:var(--chart-paper,#17191c);--worse:var(--chart-worse,#ff9a52);\
--better:var(--chart-better,#6cbcf5)}}\
@media print{svg.chart{--ink:#000;--quiet:#444;--rule:#bbb;--paper:#fff;--worse:#b34400;--better:#005f9e;\
break-inside:avoid;print-color-adjust:exact;-webkit-print-color-adjust:exact}}\
svg.chart text{fill:var(--ink);stroke:var(--paper);stroke-width:3px;stroke-linejoin:round;paint-order:stroke}\
svg.chart .paper{fill:var(--paper)}\
svg.chart .head{font-size:15px;font-weight:600}\
svg.chart .small{font-size:11px;fill:var(--quiet)}\
svg.chart .called{font-weight:600}\
svg.chart .rule{stroke:var(--rule);fill:none}\
svg.chart .axis{stroke:var(--quiet);fill:none}\
svg.chart .data{stroke:var(--ink);fill:none;stroke-width:1.5}\
svg.chart .average{stroke:var(--ink);fill:none}\
svg.chart .outer{stroke:var(--quiet);fill:none;stroke-width:1.5}\
svg.chart .inner{stroke:var(--quiet);fill:none;stroke-dasharray:5 4}\
svg.chart .bar{fill:var(--quiet);stroke:none}\
svg.chart .mark{fill:var(--paper);stroke:var(--ink);stroke-width:1.8}\
svg.chart .mark.worse{fill:var(--worse);stroke:var(--worse)}\
svg.chart .mark.better{fill:var(--better);stroke:var(--better)}\
svg.chart .mark.full{fill:var(--ink)}";

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// The elements written so far.
#[derive(Debug, Default)]
pub(super) struct Svg {
    body: String,
}

impl Svg {
    /// Writes a text whose baseline starts, centres or ends at a place.
    pub(super) fn text(&mut self, at: (f64, f64), anchor: Anchor, class: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let class = if class.is_empty() {
            String::new()
        } else {
            format!(" class=\"{class}\"")
        };
        let (x, y) = (number(at.0), number(at.1));
        self.body.push_str(&format!(
            "<text x=\"{x}\" y=\"{y}\"{anchor}{class}>{}</text>\n",
            escape(text)
        ));
    }

    /// Writes a text cut to a width, the whole of it in its tool tip.
    pub(super) fn cut_text(
        &mut self,
        at: (f64, f64),
        anchor: Anchor,
        class: &str,
        text: &str,
        room: f64,
    ) {
        let shown = cut(text, room);
        if shown == text {
            self.text(at, anchor, class, text);
        } else {
            self.body
                .push_str(&format!("<g><title>{}</title>", escape(text)));
            self.text(at, anchor, class, &shown);
            self.body.push_str("</g>\n");
        }
    }

    /// Writes a straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), class: &str) {
        self.path(&[from, to], class);
    }

    /// Writes lines from place to place.
    pub(super) fn path(&mut self, places: &[(f64, f64)], class: &str) {
        if places.len() < 2 {
            return;
        }
        let places: Vec<String> = places
            .iter()
            .map(|(x, y)| format!("{},{}", number(*x), number(*y)))
            .collect();
        self.body.push_str(&format!(
            "<polyline class=\"{class}\" points=\"{}\"/>\n",
            places.join(" ")
        ));
    }

    /// Writes a rectangle.
    pub(super) fn rect(&mut self, at: (f64, f64), width: f64, height: f64, class: &str) {
        self.body.push_str(&format!(
            "<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n",
            number(at.0),
            number(at.1),
            number(width),
            number(height)
        ));
    }

    /// Writes a closed shape with its tool tip.
    pub(super) fn shape(&mut self, class: &str, path: &str, tip: &str) {
        self.body.push_str(&format!(
            "<path class=\"{class}\" d=\"{path}\"><title>{}</title></path>\n",
            escape(tip)
        ));
    }

    /// Returns the whole chart. `id` tells charts of one page apart.
    pub(super) fn finish(self, id: &str, title: &str, words: &str, height: f64) -> String {
        let id: String = id
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"chart\" role=\"img\" \
             aria-labelledby=\"chart-{id}-title chart-{id}-desc\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {width} {height}\">\n\
             <title id=\"chart-{id}-title\">{}</title>\n<desc id=\"chart-{id}-desc\">{}</desc>\n\
             <style>{STYLE}</style>\n<rect class=\"paper\" width=\"{width}\" height=\"{height}\"/>\n{}</svg>\n",
            escape(title),
            escape(words),
            self.body,
            width = number(WIDTH),
            height = number(height),
        )
    }
}

/// Returns about how wide a text of 12 px is; browsers differ by a tenth.
pub(super) fn width(text: &str) -> f64 {
    text.width() as f64 * 6.6
}

/// Cuts a text to a width, with `…` for what is cut.
fn cut(text: &str, room: f64) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let mut shown = String::new();
    for letter in text.chars() {
        shown.push(letter);
        if width(&shown) + width("…") > room {
            shown.pop();
            break;
        }
    }
    format!("{}…", shown.trim_end())
}

/// Returns a coordinate with one decimal, or none where it is whole.
fn number(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// Escapes a text for XML 1.0 and drops the control characters that it forbids.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(' '),
            other if other.is_control() || matches!(other, '\u{fffe}' | '\u{ffff}') => {}
            other => out.push(other),
        }
    }
    out
}
