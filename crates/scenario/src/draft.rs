//! A scenario written from a few answers.
//!
//! The values are the texts that a person typed; nothing is checked here, since [`crate::read`] checks the text that
//! comes out. What was offered and not stated is marked as such, line by line.

use std::fmt::Write;

/// The heated patch, in the middle of the worked face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Heated {
    /// A disc of this diameter.
    Disc(String),
    /// A rectangle: length along x, width along y.
    Rectangle([String; 2]),
}

/// When the flame goes off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Heating {
    /// When a probe reads a temperature, and after [`LONGEST_HEATING`] at the latest.
    To {
        /// The temperature.
        reads: String,
        /// The probe: `patch_centre` or `ring_coldest`.
        probe: &'static str,
    },
    /// After a time.
    For(String),
}

/// What heats.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Torch {
    /// Gas burnt; the usual share of its heat enters the metal.
    Fuel {
        /// Fuel gas.
        gas: String,
        /// Rate, by mass or volume.
        rate: String,
    },
    /// Net flux into the metal.
    Flux(String),
}

/// The weld passes between two flames, each over the whole groove.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// Passes planned for each heat.
    pub per_heat: usize,
    /// Flame off to the first arc.
    pub first_after: String,
    /// Arc time of a pass.
    pub arc_time: String,
    /// Arc off to the next arc.
    pub pause: String,
    /// Net arc power.
    pub power: String,
}

/// Everything that a drafted scenario says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// Title, for reports.
    pub title: String,
    /// A metal of the list.
    pub metal: String,
    /// Length, width and depth of the casting.
    pub size: [String; 3],
    /// Temperature of the whole casting at the start.
    pub start: String,
    /// Air temperature.
    pub air: String,
    /// The heated patch.
    pub heated: Heated,
    /// Length, width and depth of the groove.
    pub groove: [String; 3],
    /// Width of the ring.
    pub ring: String,
    /// No pass starts below it.
    pub minimum: String,
    /// No pass starts above it.
    pub maximum: String,
    /// When the flame goes off.
    pub heating: Heating,
    /// What heats.
    pub torch: Torch,
    /// The passes.
    pub work: Work,
    /// Flame off to flame on.
    pub interval: String,
    /// Number of reheats.
    pub reheats: usize,
    /// How long the run goes on after the last interval.
    pub after: String,
    /// Cells across half of the patch, where the usual number is not wanted.
    pub cells_across: Option<usize>,
    /// Keys such as `casting.metal` whose value was offered and not stated.
    pub offered: Vec<&'static str>,
}

/// After so long the flame goes off, whatever a probe reads.
pub const LONGEST_HEATING: &str = "2 h";

const HEAD: &str = "\
# A scenario for warmhold. Change what you like, then run: warmhold check THIS_FILE
# For an editor that knows JSON schemas: warmhold schema scenario > scenario.schema.json
";

impl Draft {
    /// The scenario as commented TOML. The same draft gives the same bytes.
    #[must_use]
    pub fn text(&self) -> String {
        let mut page = Page { text: HEAD.to_owned(), section: "", offered: &self.offered };
        page.text.push('\n');
        page.quoted("title", &self.title, "");
        self.casting(&mut page);
        self.place(&mut page);
        self.window(&mut page);
        self.torch(&mut page);
        self.schedule(&mut page);
        self.passes(&mut page);
        if let Some(cells) = self.cells_across {
            page.section("accuracy", "how fine to compute; 12 is usual");
            page.plain("cells_across", &cells.to_string(), "");
        }
        page.text
    }

    fn casting(&self, page: &mut Page) {
        let [length, width, depth] = &self.size;
        page.section("casting", "a block; the worked face is length x width, and depth goes down from it");
        page.quoted("length", length, "along x");
        page.quoted("width", width, "along y");
        page.quoted("depth", depth, "the section under the patch matters most");
        page.quoted("metal", &self.metal, "`warmhold metals` lists them");
        page.quoted("start", &self.start, "the whole casting when the flame comes on");
        page.section("shop", "");
        page.quoted("air", &self.air, "");
        page.section("faces", "all six; [faces.back] may say otherwise, such as stands_on = \"timber\"");
        page.quoted("film_coefficient", "8 W/m2K", "still air at a hot patch");
        page.quoted("condition", "as cast", "or rusted, ground, tinted, bright chrome, sooted");
    }

    fn place(&self, page: &mut Page) {
        page.section("patch", "what the torch heats; centre = [\"0.5 m\", \"0.4 m\"] moves it off the middle");
        match &self.heated {
            Heated::Disc(diameter) => page.plain("disc", &format!("{{ diameter = {} }}", quoted(diameter)), ""),
            Heated::Rectangle([length, width]) => {
                let sides = format!("{{ length = {}, width = {} }}", quoted(length), quoted(width));
                page.plain("rectangle", &sides, "along x, along y");
            }
        }
        let [length, width, depth] = &self.groove;
        page.section("groove", "what is welded, in the middle of the patch");
        page.quoted("length", length, "along x");
        page.quoted("width", width, "along y");
        page.quoted("depth", depth, "");
        page.section("ring", "the parent metal around the groove that must be in the window");
        page.quoted("width", &self.ring, "75 mm on thick sections (ST1)");
    }

    fn window(&self, page: &mut Page) {
        page.section("window", "both temperatures come from the qualified procedure");
        page.quoted("minimum", &self.minimum, "no pass starts while any of the ring is below it");
        page.quoted("maximum_interpass", &self.maximum, "no pass starts while any of the ring is above it");
        if let Heating::To { reads, .. } = &self.heating {
            page.quoted("heat_to", reads, "target of heating");
        }
    }

    fn torch(&self, page: &mut Page) {
        match &self.torch {
            Torch::Fuel { gas, rate } => {
                page.section("torch.fuel", "the flame, moved evenly over the patch");
                page.quoted("gas", gas, "");
                page.quoted("rate", rate, "");
                page.quoted(
                    "share",
                    "30 %",
                    "into the metal; 15 to 50 % is usual (FX5): time one heat-up to know yours",
                );
            }
            Torch::Flux(flux) => {
                page.section("torch.flux", "the flame, moved evenly over the patch");
                page.quoted("flux", flux, "net into the metal");
            }
        }
    }

    fn schedule(&self, page: &mut Page) {
        let heating = match &self.heating {
            Heating::To { probe, .. } => {
                format!("{{ until = \"{probe}\", at_most = \"{LONGEST_HEATING}\" }}")
            }
            Heating::For(time) => format!("{{ for = {} }}", quoted(time)),
        };
        page.section("schedule.cycles", "");
        page.plain("heat_up", &heating, "until it reads window.heat_to, or for a time");
        page.quoted("interval", &self.interval, "flame off to flame on");
        page.plain("reheat", &heating, "");
        page.plain("reheats", &self.reheats.to_string(), "");
        page.quoted("after", &self.after, "run on after the last interval");
    }

    fn passes(&self, page: &mut Page) {
        let work = &self.work;
        page.section("passes", "the beads laid in each interval");
        page.plain("per_heat", &work.per_heat.to_string(), "beads planned for each heat");
        page.quoted("first_after", &work.first_after, "flame off to the first arc");
        page.quoted("arc_time", &work.arc_time, "");
        page.quoted("pause", &work.pause, "arc off to the next arc: peen, brush, look");
        page.quoted("power", &work.power, "net: volts x amperes x 0.8 for stick, 0.6 for TIG (AR1)");
    }
}

/// The text so far.
struct Page<'a> {
    text: String,
    section: &'static str,
    offered: &'a [&'static str],
}

impl Page<'_> {
    fn section(&mut self, name: &'static str, comment: &str) {
        self.section = name;
        self.text.push('\n');
        self.line(&format!("[{name}]"), comment);
    }

    fn quoted(&mut self, key: &str, value: &str, comment: &str) {
        self.plain(key, &quoted(value), comment);
    }

    fn plain(&mut self, key: &str, value: &str, comment: &str) {
        let path = format!("{}.{key}", self.section);
        let offered = self.offered.contains(&path.as_str());
        let comment = match (offered, comment) {
            (true, "") => "OFFERED, not stated".to_owned(),
            (true, comment) => format!("OFFERED, not stated; {comment}"),
            (false, comment) => comment.to_owned(),
        };
        self.line(&format!("{key} = {value}"), &comment);
    }

    fn line(&mut self, content: &str, comment: &str) {
        // Writing to a string cannot fail.
        let _ = match comment {
            "" => writeln!(self.text, "{content}"),
            comment => writeln!(self.text, "{content:<31} # {comment}"),
        };
    }
}

/// A TOML string on one line, whatever was typed.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => out.extend(['\\', letter]),
            letter if letter.is_control() => {
                // Writing to a string cannot fail.
                let _ = write!(out, "\\u{:04X}", u32::from(letter));
            }
            letter => out.push(letter),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words<const N: usize>(words: [&str; N]) -> [String; N] {
        words.map(str::to_owned)
    }

    fn draft() -> Draft {
        Draft {
            title: "Crack \"A\" on a die".into(),
            metal: "grey iron".into(),
            size: words(["2.4 m", "5'-2\"", "0.6 m"]),
            start: "20 C".into(),
            air: "68 F".into(),
            heated: Heated::Disc("300 mm".into()),
            groove: words(["60 mm", "20 mm", "6 mm"]),
            ring: "75 mm".into(),
            minimum: "300 F".into(),
            maximum: "500 F".into(),
            heating: Heating::To { reads: "400 F".into(), probe: "patch_centre" },
            torch: Torch::Fuel { gas: "propane".into(), rate: "2.2 kg/h".into() },
            work: Work {
                per_heat: 2,
                first_after: "20 s".into(),
                arc_time: "20 s".into(),
                pause: "60 s".into(),
                power: "2.3 kW".into(),
            },
            interval: "3 min".into(),
            reheats: 3,
            after: "10 min".into(),
            cells_across: None,
            offered: vec!["casting.metal", "ring.width"],
        }
    }

    #[test]
    fn every_kind_of_draft_is_read_without_a_problem() {
        let mut other = draft();
        other.heated = Heated::Rectangle(words(["300 mm", "12 in"]));
        other.heating = Heating::For("15 min".into());
        other.torch = Torch::Flux("120 kW/m2".into());
        other.cells_across = Some(6);
        for draft in [draft(), other] {
            let read = crate::read(&draft.text(), "draft", &[]);
            assert!(read.is_ok(), "{}\n{}", draft.text(), read.unwrap_err());
        }
    }

    #[test]
    fn quotes_of_feet_and_inches_survive() {
        let read = crate::read(&draft().text(), "draft", &[]).unwrap();
        assert!((read.case.block.size[1] - 1.5748).abs() < 1e-4);
        assert_eq!(read.question.title, "Crack \"A\" on a die");
    }

    #[test]
    fn what_was_offered_is_marked_on_its_line() {
        let text = draft().text();
        let marked: Vec<&str> = text.lines().filter(|line| line.contains("OFFERED")).collect();
        assert_eq!(marked.len(), 2, "{text}");
        assert!(marked[0].starts_with("metal = \"grey iron\""));
    }

    #[test]
    fn nothing_typed_can_leave_its_string() {
        let mut draft = draft();
        draft.title = "a\"\n[window]\u{1b}\\".into();
        assert_eq!(crate::read(&draft.text(), "draft", &[]).unwrap().question.title, draft.title);
    }
}
