//! How well two colours stay apart, to the eye and in grey.

use super::theme::{Colour, DARK, LIGHT};

/// Relative luminance of a colour.
///
/// `L = 0.2126 R + 0.7152 G + 0.0722 B`, each part of 0 to 1 made linear: `c / 12.92` up to 0.03928, else
/// `((c + 0.055) / 1.055)^2.4`. R, G, B: parts of the colour; L from 0, black, to 1, white. Any colour of eight bits a part.
/// Source: WCAG 2.1, definition of relative luminance (CV1).
pub(super) fn luminance((red, green, blue): Colour) -> f64 {
    0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
}

fn linear(part: u8) -> f64 {
    let part = f64::from(part) / 255.0;
    if part <= 0.03928 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
}

/// Contrast of two colours.
///
/// `(bright + 0.05) / (dark + 0.05)`. Bright, dark: luminance of the brighter and of the darker one; from 1, the same, to 21,
/// black on white. Any two colours. Source: WCAG 2.1, definition of contrast ratio (CV1); text is to have 4.5, what is drawn 3.
pub(crate) fn contrast(one: Colour, other: Colour) -> f64 {
    let [a, b] = [one, other].map(|colour| luminance(colour) + 0.05);
    a.max(b) / a.min(b)
}

/// Dark or light, whichever can be read better on a colour.
pub(super) fn ink_on(ground: Colour) -> Colour {
    if contrast(DARK, ground) >= contrast(LIGHT, ground) { DARK } else { LIGHT }
}

#[cfg(test)]
mod tests {
    use super::super::theme::{Palette, Theme};
    use super::*;

    const THEMES: [Theme; 2] = [Theme::Light, Theme::Dark];

    /// What the colour-blind see of linear red, green and blue, at full strength (CV2): protan, deutan, tritan.
    const BLIND: [[[f64; 3]; 3]; 3] = [
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    ];

    /// Lightness and the two colour axes of CIE 1976 L*a*b*, white of daylight.
    fn lab(colour: Colour, seen: &[[f64; 3]; 3]) -> [f64; 3] {
        let linear = [linear(colour.0), linear(colour.1), linear(colour.2)];
        let dot = |row: &[f64; 3], v: &[f64; 3]| row.iter().zip(v).map(|(a, b)| a * b).sum::<f64>();
        let seen = seen.map(|row| dot(&row, &linear).clamp(0.0, 1.0));
        let xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]];
        let white = [0.9505, 1.0, 1.089];
        let root = |t: f64| if t > 0.008856 { t.cbrt() } else { 7.787 * t + 16.0 / 116.0 };
        let mut parts = [0.0; 3];
        for ((part, row), white) in parts.iter_mut().zip(&xyz).zip(white) {
            *part = root(dot(row, &seen) / white);
        }
        let [x, y, z] = parts;
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    /// How far apart two colours are to someone; 1 can hardly be seen side by side, 10 can be told from each other.
    fn apart(one: Colour, other: Colour, seen: &[[f64; 3]; 3]) -> f64 {
        let (a, b) = (lab(one, seen), lab(other, seen));
        a.iter().zip(&b).map(|(a, b)| (a - b).powi(2)).sum::<f64>().sqrt()
    }

    fn pairs(colours: &[Colour]) -> Vec<(Colour, Colour)> {
        let others = |n: usize| colours[n + 1..].iter().map(move |other| (colours[n], *other));
        (0..colours.len()).flat_map(others).collect()
    }

    fn each(check: impl Fn(Theme, Palette)) {
        THEMES.into_iter().for_each(|theme| check(theme, theme.palette()));
    }

    #[test]
    fn black_on_white_has_the_published_contrast_and_the_pair_of_one_colour_has_none() {
        assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-12);
        // The often quoted grey that just passes for text on white.
        assert!((contrast((0x76, 0x76, 0x76), (255, 255, 255)) - 4.54).abs() < 0.005);
        assert!((contrast((9, 80, 200), (9, 80, 200)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn texts_and_everything_drawn_stand_out_from_the_background_of_their_theme() {
        each(|theme, palette| {
            for text in [palette.text, palette.faint_text] {
                assert!(contrast(text, palette.background) >= 4.5, "{theme:?} {text:?}");
            }
            let drawn = palette.lines.iter().chain(&palette.areas).chain([&palette.flame, &palette.pass]);
            for colour in drawn.chain([&palette.window]) {
                let contrast = contrast(*colour, palette.background);
                assert!(contrast >= 3.0, "{theme:?} {colour:?}: {contrast:.2}");
            }
        });
    }

    #[test]
    fn lines_stay_apart_for_the_colour_blind() {
        each(|theme, palette| {
            for (one, other) in pairs(&palette.lines) {
                for seen in &BLIND {
                    let apart = apart(one, other, seen);
                    assert!(apart > 15.0, "{theme:?} {one:?} {other:?}: {apart:.1}");
                }
            }
        });
    }

    #[test]
    fn areas_on_each_other_stay_apart_for_the_colour_blind_and_in_grey() {
        each(|theme, palette| {
            for pair in palette.areas.windows(2) {
                let grey = contrast(pair[0], pair[1]);
                assert!(grey > 1.4, "{theme:?} {pair:?}: {grey:.2}");
                assert!(BLIND.iter().all(|seen| apart(pair[0], pair[1], seen) > 20.0), "{theme:?} {pair:?}");
            }
        });
    }

    #[test]
    fn a_number_can_be_read_on_any_colour() {
        let worst = (0..=255u8)
            .flat_map(|red| (0..=255u8).step_by(5).map(move |green| (red, green, red.wrapping_mul(3))))
            .map(|ground| contrast(ink_on(ground), ground))
            .fold(f64::INFINITY, f64::min);
        assert!(worst >= 4.5, "{worst:.2}");
    }
}
