//! Two bars for each period, drawn as SVG.
//!
//! Start with [`Chart::svg`]. The two kinds differ in lightness and by hatching, not by colour alone; each bar says its
//! value when pointed at, and where there is room above it. A page that shows it may colour it anew by its classes.

use std::fmt::Write;

use crate::unit::{Balance, Currency};

/// Bars in groups.
#[derive(Debug)]
pub(super) struct Chart<'a> {
    pub title: String,
    /// What the two bars of a group are.
    pub names: [&'static str; 2],
    pub groups: Vec<Group>,
    pub currency: &'a Currency,
    /// A line below.
    pub note: &'static str,
}

/// Two bars above a label.
#[derive(Debug)]
pub(super) struct Group {
    pub label: String,
    pub values: [Balance; 2],
}

const LEFT: f64 = 84.0;
const TOP: f64 = 74.0;
const PLOT: f64 = 240.0;
const BELOW: f64 = 60.0;
/// Of the whole picture.
const LEAST_WIDTH: f64 = 640.0;
/// Of a group with its gap.
const WIDTHS: (f64, f64) = (14.0, 96.0);
/// From this width on values stand above bars.
const ROOMY: f64 = 80.0;
/// Of a character of a label, about.
const LETTER: f64 = 6.6;
/// About so many lines across.
const LINES: i128 = 5;

const HEAD: &str = r##"<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect class="hatched" width="6" height="6" fill="#0b5a7d"/><path d="M0 0V6" stroke="#fff" stroke-width="2"/></pattern></defs>
<rect class="paper" width="100%" height="100%" fill="#fff"/>
"##;
const FILLS: [&str; 2] = ["#f0c27a", "url(#hatch)"];

/// From the values to the picture.
struct Scale {
    low: i128,
    step: i128,
    lines: i128,
}

impl Scale {
    /// A round step, and as many of them as hold all values and nothing.
    fn new(values: impl Iterator<Item = i128> + Clone) -> Self {
        let (least, most) = (values.clone().min().unwrap_or(0).min(0), values.max().unwrap_or(0).max(0));
        let rough = ((most - least) / LINES).max(1);
        let ten = 10_i128.pow(rough.ilog10());
        let step = [ten, 2 * ten, 5 * ten, 10 * ten].into_iter().find(|step| *step >= rough).unwrap_or(rough);
        let low = least.div_euclid(step) * step;
        let lines = ((most - low + step - 1) / step).max(1);
        Self { low, step, lines }
    }

    #[allow(clippy::cast_precision_loss, reason = "a picture has no more than some thousand dots")]
    fn y(&self, value: i128) -> f64 {
        let part = (value - self.low) as f64 / (self.step * self.lines) as f64;
        TOP + PLOT * (1.0 - part)
    }
}

impl Chart<'_> {
    /// The picture.
    pub(super) fn svg(&self) -> String {
        let band = self.band();
        let width = (LEFT + band * self.count() + 20.0).max(LEAST_WIDTH);
        let height = TOP + PLOT + BELOW;
        let title = escaped(&self.title);
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.0}\" height=\"{height:.0}\" \
             viewBox=\"0 0 {width:.0} {height:.0}\" role=\"img\" font-family=\"sans-serif\" font-size=\"12\">\n\
             <title>{title}</title>\n{HEAD}<text x=\"16\" y=\"26\" font-size=\"16\">{title}</text>\n"
        );
        self.legend(&mut svg);
        let scale = Scale::new(self.groups.iter().flat_map(|group| group.values).map(Balance::minor));
        self.lines(&mut svg, &scale, width);
        self.bars(&mut svg, &scale, band);
        let zero = scale.y(0);
        line(&mut svg, [LEFT, zero, width - 16.0, zero], "axis", "#000");
        self.labels(&mut svg, band);
        text(&mut svg, (16.0, height - 12.0), "start", self.note);
        svg.push_str("</svg>\n");
        svg
    }

    #[allow(clippy::cast_precision_loss, reason = "there are at most some thousand")]
    fn count(&self) -> f64 {
        self.groups.len() as f64
    }

    /// The width of a group: few fill the picture, many make it wider.
    fn band(&self) -> f64 {
        ((LEAST_WIDTH - LEFT - 20.0) / self.count().max(1.0)).clamp(WIDTHS.0, WIDTHS.1)
    }

    fn legend(&self, svg: &mut String) {
        for (at, (name, fill)) in self.names.iter().zip(FILLS).enumerate() {
            let x = if at == 0 { LEFT } else { LEFT + 120.0 };
            rect(svg, [x, 42.0, 14.0, 12.0], fill, "");
            text(svg, (x + 20.0, 52.0), "start", name);
        }
    }

    /// Lines across, each with its amount.
    fn lines(&self, svg: &mut String, scale: &Scale, width: f64) {
        for at in 0..=scale.lines {
            let value = scale.low + at * scale.step;
            let y = scale.y(value);
            line(svg, [LEFT, y, width - 16.0, y], "grid", "#ccc");
            text(svg, (LEFT - 8.0, y + 4.0), "end", &self.amount(value));
        }
    }

    fn bars(&self, svg: &mut String, scale: &Scale, band: f64) {
        let bar = (band * 0.4).min(32.0);
        let mut left = LEFT + band / 2.0 - bar;
        for group in &self.groups {
            for (at, value) in group.values.iter().map(|value| value.minor()).enumerate() {
                let x = if at == 0 { left } else { left + bar };
                let (top, end) = (scale.y(value.max(0)), scale.y(value.min(0)));
                let said = format!("{}, {}: {}", group.label, self.names[at], self.amount(value));
                rect(svg, [x, top, bar, end - top], FILLS[at], &said);
                if band >= ROOMY && value != 0 {
                    let y = if value < 0 { end + 12.0 } else { top - 4.0 };
                    let (anchor, x) = if at == 0 { ("end", x + bar - 2.0) } else { ("start", x + 2.0) };
                    text(svg, (x, y), anchor, &self.amount(value));
                }
            }
            left += band;
        }
    }

    /// As many labels as have room.
    fn labels(&self, svg: &mut String, band: f64) {
        let longest = self.groups.iter().map(|group| group.label.len()).max().unwrap_or(0);
        #[allow(clippy::cast_precision_loss, reason = "a label is short")]
        let room = longest as f64 * LETTER + 8.0;
        let (mut x, mut free) = (LEFT + band / 2.0, f64::MIN);
        for group in &self.groups {
            if x - room / 2.0 >= free {
                text(svg, (x, TOP + PLOT + 18.0), "middle", &group.label);
                free = x + room / 2.0;
            }
            x += band;
        }
    }

    fn amount(&self, minor: i128) -> String {
        self.currency.format_balance(Balance::from_minor(minor))
    }
}

// Writing into a string can't fail.

fn rect(svg: &mut String, [x, y, width, height]: [f64; 4], fill: &str, said: &str) {
    let said = if said.is_empty() { String::new() } else { format!("<title>{}</title>", escaped(said)) };
    let _ = writeln!(
        svg,
        "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" fill=\"{fill}\" \
         stroke=\"#333\" stroke-width=\"0.7\">{said}</rect>"
    );
}

fn line(svg: &mut String, [x, y, to_x, to_y]: [f64; 4], class: &str, colour: &str) {
    let _ = writeln!(svg, "<path class=\"{class}\" d=\"M{x:.1} {y:.1}L{to_x:.1} {to_y:.1}\" stroke=\"{colour}\"/>");
}

fn text(svg: &mut String, (x, y): (f64, f64), anchor: &str, words: &str) {
    let words = escaped(words);
    let _ = writeln!(svg, "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{words}</text>");
}

/// XML 1.0, section 2.4.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(values: &[i128]) -> (i128, i128, i128) {
        let scale = Scale::new(values.iter().copied());
        (scale.low, scale.step, scale.lines)
    }

    #[test]
    fn lines_are_round_and_hold_all_values_and_nothing() {
        assert_eq!(scale(&[]), (0, 1, 1));
        assert_eq!(scale(&[0]), (0, 1, 1));
        assert_eq!(scale(&[12_345]), (0, 5000, 3));
        assert_eq!(scale(&[-700, 2300]), (-1000, 1000, 4));
        assert_eq!(scale(&[-700]), (-800, 200, 4));
    }

    #[test]
    fn a_picture_is_well_formed_whatever_is_in_it() {
        let groups =
            (0..3).map(|at| Group { label: format!("<{at}&\">"), values: [900, -450 * at].map(Balance::from_minor) });
        let currency = Currency::default();
        let chart = Chart {
            title: "a & b".into(),
            names: ["revenue", "profit"],
            groups: groups.collect(),
            currency: &currency,
            note: "x",
        };
        let svg = chart.svg();
        assert!(
            svg.contains("<title>a &amp; b</title>") && svg.contains("&lt;1&amp;&quot;&gt;, profit: -4.50"),
            "{svg}"
        );
        // Three groups of two bars, two in the legend, the paper and the hatching.
        assert_eq!(svg.matches("<rect ").count(), 6 + 2 + 2);
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}
