//! Colours. The lines are those of Okabe and Ito, which stay apart for the colour-blind; in grey the dashes do.

use crate::words::each_once;

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Dark on white, for paper.
    #[default]
    Light,
    /// Light on near-black, for screens.
    Dark,
}

/// Red, green, blue.
pub(crate) type Colour = (u8, u8, u8);

const ORANGE: Colour = (0xE6, 0x9F, 0x00);
const SKY_BLUE: Colour = (0x56, 0xB4, 0xE9);
const GREEN: Colour = (0x00, 0x9E, 0x73);
const YELLOW: Colour = (0xF0, 0xE4, 0x42);
const BLUE: Colour = (0x00, 0x72, 0xB2);
const VERMILION: Colour = (0xD5, 0x5E, 0x00);
const PURPLE: Colour = (0xCC, 0x79, 0xA7);

/// A line in the one on the other can be read on any colour. Neither is the colour of anything in a theme, so that both
/// stay what they are where a page turns a drawing dark.
pub(super) const DARK: Colour = (0x01, 0x01, 0x01);
pub(super) const LIGHT: Colour = (0xFE, 0xFE, 0xFE);

/// What each thing is drawn in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Palette {
    pub(super) background: Colour,
    pub(super) text: Colour,
    pub(super) faint_text: Colour,
    pub(super) grid: Colour,
    pub(super) window: Colour,
    pub(super) flame: Colour,
    pub(super) pass: Colour,
    pub(super) lines: [Colour; 4],
    /// Areas on each other, from below: neighbours stay apart in grey.
    pub(super) areas: [Colour; 4],
}

impl Palette {
    /// Every colour with what it is for, in one order for both themes.
    fn all(&self) -> [Colour; 15] {
        let [a, b, c, d] = self.lines;
        let [e, f, g, h] = self.areas;
        let Palette { background, text, faint_text, grid, window, flame, pass, .. } = *self;
        [background, text, faint_text, grid, window, flame, pass, a, b, c, d, e, f, g, h]
    }
}

impl Theme {
    pub(super) fn palette(self) -> Palette {
        match self {
            Theme::Light => Palette {
                background: (255, 255, 255),
                text: (0x20, 0x20, 0x20),
                faint_text: (0x50, 0x50, 0x50),
                grid: (0xDD, 0xDD, 0xDD),
                window: GREEN,
                // Orange itself is too bright on white.
                flame: (0xC1, 0x7F, 0x00),
                pass: (0xB0, 0x56, 0x8F),
                lines: [BLUE, (0x20, 0x20, 0x20), VERMILION, PURPLE],
                areas: [(0x12, 0x35, 0x5B), (0x00, 0x7A, 0x5E), (0xB8, 0x7A, 0x00), (0x40, 0x40, 0x40)],
            },
            Theme::Dark => Palette {
                background: (0x14, 0x17, 0x1A),
                text: (0xF0, 0xF0, 0xF0),
                faint_text: (0xB8, 0xB8, 0xB8),
                grid: (0x38, 0x3D, 0x42),
                window: GREEN,
                flame: ORANGE,
                pass: PURPLE,
                lines: [SKY_BLUE, (0xF0, 0xF0, 0xF0), ORANGE, YELLOW],
                areas: [BLUE, (0x5F, 0xCF, 0xA8), (0xD9, 0x82, 0x2B), (0xF5, 0xF5, 0xF5)],
            },
        }
    }
}

/// As a style sheet and an SVG write it.
fn hex((red, green, blue): Colour) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}

/// Rules of a style sheet that show a light drawing inside a page dark: each colour of the one theme in that of the other.
/// Maps keep their colours, which no theme has.
pub(crate) fn turned_dark() -> String {
    let (light, dark) = (Theme::Light.palette().all(), Theme::Dark.palette().all());
    let turned = each_once(light.into_iter().zip(dark).filter(|(from, to)| from != to));
    let rule = |(from, to)| {
        let (from, to) = (hex(from), hex(to));
        format!("figure svg [fill=\"{from}\"] {{ fill: {to}; }} figure svg [stroke=\"{from}\"] {{ stroke: {to}; }}\n")
    };
    turned.into_iter().map(rule).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_of_the_light_theme_says_what_it_becomes_in_the_dark_one() {
        let (light, dark) = (Theme::Light.palette().all(), Theme::Dark.palette().all());
        for (one, becomes) in light.iter().zip(&dark) {
            let others = light.iter().zip(&dark).filter(|(other, _)| *other == one);
            others.for_each(|(_, other)| assert_eq!(other, becomes, "{one:?}"));
        }
        assert!(!light.contains(&DARK) && !light.contains(&LIGHT), "what can be read on any colour stays");
        // The window is green in both; text and the second line share one colour.
        assert_eq!(turned_dark().lines().count(), light.len() - 2, "{}", turned_dark());
    }
}
