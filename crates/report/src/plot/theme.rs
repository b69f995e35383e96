//! Colours. The lines are those of Okabe and Ito, which stay apart for the colour-blind; in grey the dashes do.

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
pub(super) type Colour = (u8, u8, u8);

const ORANGE: Colour = (0xE6, 0x9F, 0x00);
const SKY_BLUE: Colour = (0x56, 0xB4, 0xE9);
const GREEN: Colour = (0x00, 0x9E, 0x73);
const YELLOW: Colour = (0xF0, 0xE4, 0x42);
const BLUE: Colour = (0x00, 0x72, 0xB2);
const VERMILION: Colour = (0xD5, 0x5E, 0x00);
const PURPLE: Colour = (0xCC, 0x79, 0xA7);

/// A line in the one on the other can be read on any colour.
pub(super) const DARK: Colour = (0x10, 0x10, 0x10);
pub(super) const LIGHT: Colour = (0xFF, 0xFF, 0xFF);

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
                flame: ORANGE,
                pass: PURPLE,
                lines: [BLUE, (0x20, 0x20, 0x20), VERMILION, PURPLE],
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
            },
        }
    }
}
