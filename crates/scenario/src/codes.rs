//! What each code means, with a wrong and a right example. Codes are stable: a code that is no longer used is
//! never given a new meaning.

/// A paragraph on a code such as `E005`; None for a code that does not exist.
pub fn explain(code: &str) -> Option<&'static str> {
    EXPLAINED.iter().find(|(known, _)| known.eq_ignore_ascii_case(code.trim())).map(|(_, text)| *text)
}

/// All codes in order: errors first, then warnings.
pub fn codes() -> impl Iterator<Item = &'static str> {
    EXPLAINED.iter().map(|(code, _)| *code)
}

static EXPLAINED: &[(&str, &str)] = &[
    ("E001", "The file is not UTF-8 text. Some editors save in another encoding, and a degree sign or an accent then becomes a byte that means nothing here.
  wrong: a file saved as UTF-16 or Latin-1
  right: the same file saved as UTF-8; \"400 F\" needs no degree sign at all"),
    ("E002", "The file is not TOML: a quote, a bracket or an equals sign is missing, or a key stands twice. Until that is mended nothing else can be judged.
  wrong: width: 75,5 mm
  right: width = \"75.5 mm\""),
    ("E003", "A key that the format does not have. It would do nothing, so it is refused: a slip of the keys must not silently leave a default in force.
  wrong: [casting] lenght = \"2.4 m\"
  right: [casting] length = \"2.4 m\""),
    ("E004", "Something needed is not there. What the result depends on, such as the window, has no default.
  wrong: [window] minimum = \"300 F\"
  right: [window] minimum = \"300 F\" and maximum_interpass = \"500 F\""),
    ("E005", "A number without its unit. 400 may be Fahrenheit or Celsius, and the difference is a burnt or a cold casting; no unit is guessed.
  wrong: minimum = 300
  right: minimum = \"300 F\""),
    ("E006", "A plain number is due where a text stands, or a whole number where there is a fraction. Counts and emissivity have no unit and no quotes.
  wrong: reheats = \"6\"
  right: reheats = 6"),
    ("E007", "A value of the wrong kind: a list where one value is due, one value where a table is due, three coordinates where two are due.
  wrong: centre = \"0.5 m\"
  right: centre = [\"0.5 m\", \"0.4 m\"]"),
    ("E008", "A quantity that cannot be read: no number, an unknown unit, or a number that can be read two ways.
  wrong: interval = \"2:30\"
  right: interval = \"2 min 30 s\""),
    ("E009", "A quantity of another kind than is due here.
  wrong: interval = \"75 mm\"
  right: interval = \"150 s\""),
    ("E010", "A number that is infinite or not a number.
  wrong: emissivity = nan
  right: emissivity = 0.8"),
    ("E011", "A number that must be above zero, or must not be negative.
  wrong: width = \"0 mm\"
  right: width = \"75 mm\""),
    ("E012", "A number outside what is accepted here. The ends are wide; a number beyond them is a slip of the unit or of a digit, such as metres for millimetres.
  wrong: length = \"2400 m\"
  right: length = \"2400 mm\""),
    ("E013", "A word that is not one of those known here: a fuel gas, the condition of a surface, a support, patch or ring. Case, spaces and dashes do not matter.
  wrong: gas = \"propan\"
  right: gas = \"propane\""),
    ("E014", "The low end of a range is above its high end.
  wrong: range = [\"+30 %\", \"-30 %\"]
  right: range = [\"-30 %\", \"+30 %\"]"),
    ("E015", "A range that does not contain the value it belongs to, or that cannot be set against one value. The verdict is taken at the worst end of each range, so a range beside its value would judge another casting.
  wrong: film_coefficient = \"8 W/m2K\" and film_coefficient_range = [\"9 W/m2K\", \"12 W/m2K\"]
  right: film_coefficient_range = [\"5 W/m2K\", \"12 W/m2K\"]"),
    ("E016", "Two metals: casting.metal names one of the list, and [metal] gives values of its own. Only ranges may be added to a metal of the list.
  wrong: metal = \"H13\" with [metal] density = \"7800 kg/m3\"
  right: one of the two"),
    ("E017", "A metal that the list does not have. The list is short on purpose; a metal of your own needs density, conductivity and specific heat.
  wrong: metal = \"grey iron 275\"
  right: metal = \"grey iron 250\", or a [metal] section"),
    ("E018", "Keys that shut each other out say the same thing twice, and perhaps differently.
  wrong: disc = { diameter = \"300 mm\", radius = \"120 mm\" }
  right: disc = { diameter = \"300 mm\" }"),
    ("E019", "The table of a metal has no rows, or its temperatures do not rise from row to row.
  wrong: rows at \"100 C\", \"20 C\", \"200 C\"
  right: rows at \"20 C\", \"100 C\", \"200 C\""),
    ("E020", "A patch, groove, bead or probe that does not lie on the casting or lies over or inside a hollow of it, or a depth that goes through it. Places count from the corner x_min, y_min of the worked face; depth counts down from the face.
  wrong: centre = [\"2.6 m\", \"0.7 m\"] on a casting of 2.4 m
  right: centre = [\"1.6 m\", \"0.7 m\"]"),
    ("E021", "A ring without a groove. The ring is the parent metal around the groove, so there is nothing to go around.
  wrong: [ring] alone
  right: [groove] with length, width and depth, and [ring] width = \"75 mm\""),
    ("E022", "More than one kind of torch. [torch.flux], [torch.flame], [torch.fuel] and [torch.electric] are four ways to describe the same torch.
  wrong: [torch.flux] and [torch.flame]
  right: one of them"),
    ("E023", "A window, or a flame of the schedule, without anything that heats. The verdict asks whether heating holds; with no torch, or a flame that never burns, there is nothing to judge. A plain cool-down has no [window] and no flame.
  wrong: [window] with [schedule.spans] on = []
  right: [window] with [torch.fuel] and [schedule.cycles]"),
    ("E024", "Flames of fixed times that go off before they come on, overlap, or burn beyond the end of the run.
  wrong: on = [[\"0 s\", \"300 s\"], [\"200 s\", \"400 s\"]]
  right: on = [[\"0 s\", \"300 s\"], [\"390 s\", \"450 s\"]]"),
    ("E025", "A target of heating that the window rules out: below the minimum, so that no pass can ever start, or beyond the surface limit; or a guard that lifts the minimum to the maximum.
  wrong: minimum = \"300 F\", heat_to = \"250 F\"
  right: minimum = \"300 F\", heat_to = \"400 F\""),
    ("E026", "The surface limit is not above the minimum. Under the flame the surface is the hottest place of all, so the ring could never reach the minimum.
  wrong: minimum = \"300 F\", surface_limit = \"280 F\"
  right: minimum = \"300 F\", surface_limit = \"570 F\""),
    ("E027", "A watch or a schedule names a probe that does not exist. ring_coldest, ring_mean, ring_hottest, patch_hottest and patch_centre exist by themselves whenever there is a window; all others stand in [probes].
  wrong: until = \"ring_cold\"
  right: until = \"ring_coldest\""),
    ("E028", "A probe name that is taken, or has other signs than letters, digits and _.
  wrong: \"edge, left\" = { at = [\"0 m\", \"0 m\", \"0 m\"] }
  right: edge_left = { at = [\"0 m\", \"0 m\", \"0 m\"] }"),
    ("E029", "Passes with a schedule of fixed times. Passes are laid in the interval between two flames, and only a schedule in cycles has intervals.
  wrong: [passes] with [schedule.spans]
  right: [passes] with [schedule.cycles]"),
    ("E030", "Two schedules. [schedule.spans] gives fixed times, [schedule.cycles] heating and intervals in turn; a run follows one.
  wrong: both
  right: one of them"),
    ("E031", "The minimum is not below the maximum interpass temperature: no pass could ever start.
  wrong: minimum = \"500 F\", maximum_interpass = \"300 F\"
  right: minimum = \"300 F\", maximum_interpass = \"500 F\""),
    ("E032", "More output times than anyone reads. Reports draw their curves from points of their own.
  wrong: every = \"0.1 s\" over a day
  right: every = \"60 s\""),
    ("E033", "The work planned between two flames does not fit into the interval, so the interval could not hold however warm the casting stays.
  wrong: per_heat = 5, beads of 20 s with pauses of 60 s, interval = \"150 s\"
  right: per_heat = 2, or interval = \"7 min\""),
    ("E034", "A surface limit watches the worked face under the flame. Heat that comes from the back never passes it there, and may pass it unseen on the back.
  wrong: [torch] on = \"back\" and [window] surface_limit = \"500 F\"
  right: [torch.electric] thermostat = { set = \"450 F\", reads = \"back_middle\" }"),
    ("E035", "The circles of the torch and the patch do not belong together: the ring that the torch sweeps must lie within a round patch.
  wrong: patch = { disc = { diameter = \"200 mm\" } } and torch.circles = { diameter = \"200 mm\", spot = \"60 mm\", period = \"1 s\" }
  right: patch = { disc = { diameter = \"260 mm\" } } and the same circles"),
    ("E036", "Two covers lie on the same place at the same time. A surface has one condition at a time.
  wrong: two [[cover]] with when = \"always\" on the whole worked face
  right: one of them with the thickness of both, or with times of its own"),
    ("E037", "The hollows cut the casting into parts that touch nowhere, or leave nothing of it. No heat crosses air in a hollow, so the far part would only stand there cold.
  wrong: a hollow as wide and as deep as the casting
  right: a hollow that leaves a wall, or the part that is welded as the whole casting"),
    ("E038", "The grid that the smallest patch asks for would not fit into memory over the whole casting.
  wrong: a disc of 0.1 mm on a casting of 2.4 m
  right: a disc of 100 mm"),
    ("W101", "Part of the patch, groove or a bead hangs over the edge of the casting. Only the part on the casting is heated or welded; the warning says how much is lost.
  odd: a disc of 300 mm centred 50 mm from an edge
  sure: centre it 150 mm from the edge, or mean it so"),
    ("W102", "The groove reaches beyond the heated patch, so part of the weld starts on metal that no flame warms.
  odd: a groove of 200 mm in a patch of 150 mm
  sure: a patch half as wide again as the ring around the groove"),
    ("W103", "Heating aims above the maximum interpass temperature, or aims a probe of your own outside the window. Both can be meant: the passes then wait, or the probe stands elsewhere.
  odd: maximum_interpass = \"500 F\", heat_to = \"520 F\"
  sure: heat_to = \"450 F\""),
    ("W104", "The planned passes take longer than the interval can last.
  odd: five passes of 20 s with pauses of 60 s, and at_most = \"150 s\"
  sure: two passes in 150 s"),
    ("W105", "Output is wanted later than the run can last. Those times are left out.
  odd: end = \"1 h\", times = [\"2 h\"]
  sure: end = \"3 h\", times = [\"2 h\"]"),
    ("W106", "Acetylene is drawn faster than its cylinders give it. It is dissolved: drawn faster than a seventh of the contents in an hour, or a tenth from old or cold cylinders, it takes its solvent along. The gas supplier's limit comes first.
  odd: rate = \"2 m3/h\" with cylinder_contents = \"6 m3\"
  sure: cylinders = 3"),
    ("W107", "More electric power over the area than ceramic pads give off. Only an induction coil gives so much.
  odd: power_density = \"20 W/cm2\" under pads
  sure: power_density = \"5 W/cm2\""),
    ("W108", "The surface limit is above the last tempering heat of the casting: hardened metal may soften under the flame without any limit being passed.
  odd: last_temper = \"500 F\", surface_limit = \"570 F\"
  sure: surface_limit = \"450 F\""),
    ("W109", "A face takes its film coefficient from a correlation outside the range in which it is known: a patch too small for the air to rise from it as from a plate, a shop colder or hotter than the air tables. The value is used all the same; the warning names the correlation, the number and the end that it passes.
  odd: convection = \"natural\" in air of -50 C
  sure: film_coefficient = \"8 W/m2K\" with film_coefficient_range"),
    ("W110", "A bead that reaches beyond the groove by more than its own width. The ring that is judged lies around the groove, so such a bead starts on metal that nobody looks at.
  odd: a bead of 10 mm width centred 40 mm beside a groove of 20 mm
  sure: a groove as wide as all that is welded"),
    ("W111", "A groove to be filled, and a fixed number of reheats: the beads laid are then as many as the heats allow, not as many as fill the groove.
  odd: fill of 30 beads, per_heat = 2, reheats = 4
  sure: reheats = \"until all beads are laid\""),
    ("W112", "A heater or a cover for after the work, in a run that ends with the work.
  odd: when = \"after work\" without schedule.cycles.after
  sure: schedule.cycles.after = \"30 min\""),
    ("W113", "A thermostat that is set at or below the start of the casting, or below what a flame is to bring its own probe to: the heat is turned down before that.
  odd: set = \"100 C\" and heat_up = { until = \"back_middle\", reads = \"150 C\" }, both of one probe
  sure: set = \"160 C\""),
    ("W114", "A heater beside the torch of more than twice its strength. A soft flame is a small part of the torch; pads and other torches are better given by their flux.
  odd: strength = \"300 %\"
  sure: strength = \"30 %\""),
    ("W115", "The edge of the casting cuts the ring: between groove and edge there is less metal than the ring is wide. What is there is judged; the warning says how wide it is.
  odd: width = \"75 mm\" around a groove 40 mm from the edge
  sure: the same, where the groove lies at the edge and the procedure says so"),
    ("W116", "A film coefficient for the inside of hollows in a casting that has none. It does nothing.
  odd: inside_film_coefficient = \"5 W/m2K\" alone
  sure: the same with [casting.ribs] or [[casting.hollow]]"),
    ("W117", "Cylinders of a gas that is not acetylene. Only acetylene is bound to the contents of its cylinders, since it is dissolved in them; of other gases nothing is computed from them.
  odd: gas = \"propane\" with cylinders = 2
  sure: gas = \"acetylene\" with cylinders = 2 and cylinder_contents = \"6 m3\""),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_explained_once_with_wrong_and_right() {
        let mut all: Vec<&str> = codes().collect();
        for code in &all {
            let text = explain(code).unwrap();
            assert!(["\n  wrong: ", "\n  odd: "].iter().any(|word| text.contains(word)), "{code}");
            assert!(["\n  right: ", "\n  sure: "].iter().any(|word| text.contains(word)), "{code}");
        }
        let before = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), before);
        assert!(explain("e005").is_some() && explain("E999").is_none());
    }
}
