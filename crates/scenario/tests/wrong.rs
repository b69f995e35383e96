//! What is refused, under which code, at which line, in which words.

use scenario::{Override, Problems, Scenario, Severity, codes, read, read_bytes};

/// A complete scenario in which each test spoils one thing.
const GOOD: &str = r#"title = "Base"
[casting]
length = "2.4 m"
width = "1.5 m"
depth = "0.6 m"
metal = "grey iron 250"
start = "20 C"
[shop]
air = "20 C"
[faces]
film_coefficient = "8 W/m2K"
film_coefficient_range = ["5 W/m2K", "12 W/m2K"]
emissivity = 0.8
emissivity_range = [0.64, 0.95]
[faces.back]
contact_conductance = "150 W/m2K"
[patch]
disc = { diameter = "300 mm" }
centre = ["1.2 m", "0.75 m"]
[groove]
length = "60 mm"
width = "20 mm"
depth = "6 mm"
[ring]
width = "75 mm"
[window]
minimum = "300 F"
maximum_interpass = "500 F"
surface_limit = "570 F"
heat_to = "400 F"
[torch.flame]
film_coefficient = "180 W/m2K"
gas = "1400 C"
[schedule.cycles]
heat_up = { until = "ring_coldest", reads = "390 F", at_most = "40 min" }
interval = "150 s"
reheat = { for = "60 s" }
reheats = 4
[passes]
per_heat = 2
first_after = "20 s"
arc_time = "20 s"
pause = "60 s"
power = "2.3 kW"
[probes]
r40 = { from_patch_centre = ["40 mm", "0 mm", "0 mm"] }
corner = { at = ["0 m", "0 m", "0 m"] }
[[watch]]
probe = "r40"
below = "150 C"
[output]
times = ["60 s", "150 s"]
"#;

/// Spoils `from` into `to`; expects `code` first at the line that contains `line`, with all `words` in the text.
struct Wrong {
    from: &'static str,
    to: &'static str,
    code: &'static str,
    line: &'static str,
    words: &'static [&'static str],
}

const fn wrong(
    from: &'static str,
    to: &'static str,
    code: &'static str,
    line: &'static str,
    words: &'static [&'static str],
) -> Wrong {
    Wrong { from, to, code, line, words }
}

const TORCH: &str = "[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"";
const OWN_METAL: &str =
    "[metal]\ndensity = \"7200 kg/m3\"\nconductivity = \"46 W/mK\"\nspecific_heat = \"500 J/kgK\"\n[shop]";

/// Shop and film of the base, and the same with the film from the air.
const SHOP_AND_FILM: &str =
    "air = \"20 C\"\n[faces]\nfilm_coefficient = \"8 W/m2K\"\nfilm_coefficient_range = [\"5 W/m2K\", \"12 W/m2K\"]";

#[rustfmt::skip]
const ERRORS: &[Wrong] = &[
    wrong("[faces]", "[faces.worked.blanket]\nthickness = \"25 mm\"\nconductivity = \"0.1 W/mK\"\n[faces]", "E018", "[faces.worked.blanket]", &["torch and a blanket", "under the flame"]),
    // Hollows.
    wrong("start = \"20 C\"", "start = \"20 C\"\nhollow = [{ from = [\"0 m\", \"0 m\", \"0.1 m\"], to = [\"40 m\", \"0.3 m\", \"0.2 m\"] }]", "E012", "hollow", &["beyond the casting"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nribs = { wall = \"2 m\", thickness = \"40 mm\", pitch = \"300 mm\" }", "E012", "ribs", &["as thick as the casting is deep"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nribs = { wall = \"50 mm\", thickness = \"300 mm\", pitch = \"0.3 m\" }", "E012", "ribs", &["as thick as their pitch"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nhollow = [{ from = [\"0 m\", \"0 m\", \"0.2 m\"], to = [\"1 m\", \"1 m\", \"0.1 m\"] }]", "E012", "hollow", &["the depth", "ends at or before where it begins"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nribs = { wall = \"50 mm\", thickness = \"0.4 mm\", pitch = \"1 mm\" }", "E012", "ribs", &["3600000 cells", "pitch = \"31 mm\" or more"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nhollow = [{ from = [\"0.2 m\", \"0 m\", \"0 m\"], to = [\"0.3 m\", \"1.5 m\", \"0.6 m\"] }]", "E037", "hollow", &["into 2 parts", "leave metal between"]),
    wrong("[torch.flame]", "[torch]\non = \"back\"\n[torch.flame]", "E034", "surface_limit", &["watched on the worked face", "thermostat"]),
    wrong("[torch.flame]", "[torch]\ncircles = { diameter = \"280 mm\", spot = \"60 mm\", period = \"1 s\" }\n[torch.flame]", "E035", "circles", &["beyond the patch", "340 mm (13.4 in) wide"]),
    wrong("[torch.flame]", "[torch]\non = \"x_min\"\n[torch.flame]", "E013", "on = ", &["worked", "back"]),
    wrong("[[watch]]", "[[heater]]\nstrength = \"30 %\"\n[[watch]]", "E004", "[[heater]]", &["no `when` and no `times`"]),
    wrong("[[watch]]", "[[heater]]\nwhen = \"always\"\n[[watch]]", "E004", "[[heater]]", &["no `flux`, and no `strength`"]),
    wrong("[[watch]]", "[[heater]]\nwhen = \"always\"\nstrength = \"30 %\"\nflux = \"30 kW/m2\"\n[[watch]]", "E018", "flux = ", &["both a share of the torch and a flux"]),
    wrong("[[watch]]", "[[heater]]\nwhen = \"always\"\non = \"back\"\nstrength = \"30 %\"\n[[watch]]", "E004", "[[heater]]", &["no `disc` and no `rectangle`"]),
    wrong("[[watch]]", "[[heater]]\nwhen = \"always\"\nstrength = \"30 %\"\nthermostat = { set = \"400 F\", reads = \"r50\" }\n[[watch]]", "E027", "r50", &["did you mean `r40`"]),
    wrong("[[watch]]", "[[heater]]\ntimes = [[\"3 min\", \"2 min\"]]\nstrength = \"30 %\"\n[[watch]]", "E024", "times", &["ends before it begins"]),
    wrong("[[watch]]", "[[heater]]\ntimes = [[\"30 h\", \"31 h\"]]\nstrength = \"30 %\"\n[[watch]]", "E024", "times", &["after the run has ended"]),
    wrong("[[watch]]", "[[cover]]\nwhen = \"always\"\n[[watch]]", "E004", "[[cover]]", &["no `blanket`"]),
    wrong("[[watch]]", "[[cover]]\nwhen = \"always\"\nblanket = { thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }\n[[watch]]", "E018", "blanket", &["lies where the torch heats", "after work"]),
    wrong("[[watch]]", "[[cover]]\non = \"x_min\"\nwhen = \"always\"\nemissivity = 0.2\n[[cover]]\non = \"x_min\"\nwhen = \"after work\"\nemissivity = 0.3\n[[watch]]", "E036", "[[cover]]", &["same place at the same time", "add up their thickness"]),
    wrong("[[watch]]", "[[cover]]\nwhen = \"at night\"\nblanket = { thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }\n[[watch]]", "E013", "at night", &["after work"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nhollow = [{ from = [\"1.1 m\", \"0.6 m\", \"0 m\"], to = [\"middle\", \"middle\", \"10 mm\"] }]", "E020", "centre", &["over the edge of a hollow", "move or shrink the patch"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nribs = { wall = \"50 mm\", pitch = \"300 mm\" }", "E004", "ribs", &["no `thickness`"]),
    // Beads.
    wrong("power = \"2.3 kW\"", "power = \"2.3 kW\"\narc = { process = \"MMA\", volts = 24, amps = 120 }", "E018", "arc =", &["power of the arc and its process", "keep one"]),
    wrong("power = \"2.3 kW\"", "arc = { process = \"MMMA\", volts = 24, amps = 120 }", "E013", "MMMA", &["did you mean \"MMA\"", "TIG"]),
    wrong("power = \"2.3 kW\"", "arc = { volts = 24, amps = 120 }", "E004", "arc =", &["no `process`"]),
    wrong("power = \"2.3 kW\"", "arc = { process = \"TIG\", amps = 120 }", "E004", "arc =", &["no `volts`", "Arc voltage"]),
    wrong("power = \"2.3 kW\"", "arc = { process = \"TIG\", volts = \"12 V\", amps = 120 }", "E006", "12 V", &["plain number", "24"]),
    wrong("power = \"2.3 kW\"", "arc = { process = \"TIG\", volts = 12, amps = 0 }", "E011", "amps = 0", &["above zero"]),
    wrong("power = \"2.3 kW\"\n", "", "E004", "[passes]", &["no `power`", "no `arc`"]),
    wrong("arc_time = \"20 s\"", "arc_time = \"20 s\"\ntravel = \"2 mm/s\"", "E018", "travel", &["arc time and a travel speed"]),
    wrong("arc_time = \"20 s\"", "travel = \"2 mm\"", "E009", "2 mm", &["a speed is due"]),
    wrong("arc_time = \"20 s\"\n", "", "E004", "[passes]", &["no `arc_time`", "no `travel`"]),
    wrong("per_heat = 2\n", "", "E004", "[passes]", &["no `per_heat`"]),
    wrong("pause = \"60 s\"", "pause = {}", "E004", "pause = {}", &["no `peen`", "`inspect`"]),
    wrong("pause = \"60 s\"", "pause = { peen = \"20\" }", "E005", "peen", &["no unit"]),
    wrong("pause = \"60 s\"", "pause = { pean = \"20 s\" }", "E003", "pean", &["did you mean `peen`"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\npreset = \"plated dye\"", "E013", "plated dye", &["did you mean \"plated die\""]),
    wrong("per_heat = 2\nfirst_after = \"20 s\"\narc_time = \"20 s\"\npause = \"60 s\"\npower = \"2.3 kW\"\n", "preset = \"plated\"\n", "E013", "preset", &["\"plated die\", \"plated die, short beads\""]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", layers = 3 }", "E004", "fill", &["no `bead_width`"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\" }", "E004", "fill", &["no `layers`", "no `layer_height`"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 3, layer_height = \"2 mm\" }", "E018", "fill", &["number of layers and their height"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"1 mm\", bead_width = \"1 mm\", layers = 3 }", "E012", "fill", &["3600 beads", "up to 500"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 3, order = \"random\" }", "E013", "random", &["in turn, staggered, farthest"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 3 }\nbeads = [{ centre = [\"1.2 m\", \"0.75 m\"], length = \"40 mm\", width = \"10 mm\" }]", "E018", "beads", &["filled with others"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\ngrind = { after_bead = 2, takes = \"5 min\" }", "E012", "grind", &["there are 1 beads", "accepted: 1 to 1"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\ngrind = { after_bead = 1, takes = \"5 min\", beads = 2 }", "E012", "grind", &["2 beads are to be welded again", "only 1"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\ngrind = { after_bead = 1 }", "E004", "grind", &["no `takes`"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nwait_until_below_maximum = true", "E007", "wait_until", &["a duration is due"]),
    wrong("reheats = 4", "reheats = \"until done\"", "E006", "until done", &["\"until all beads are laid\"", "whole number"]),
    wrong("width = \"75 mm\"", "width = \"75 mm\"\nrule = \"ISO 13916\"", "E018", "rule", &["width of the ring and a rule"]),
    wrong("width = \"75 mm\"", "rule = \"ISO 13961\"", "E013", "13961", &["did you mean \"ISO 13916\""]),
    // Syntax.
    wrong("width = \"75 mm\"", "width = 75 mm", "E002", "width = 75 mm", &["not TOML", "quotes", "\"75 mm\""]),
    wrong("start = \"20 C\"", "start = \"20 C", "E002", "start = \"20 C", &["close the quotes"]),
    wrong("emissivity = 0.8", "emissivity = 0.8\nemissivity = 0.7", "E002", "emissivity = 0.7", &["twice", "second time"]),
    wrong("times = [\"60 s\", \"150 s\"]", "times = [\"60 s\", \"150 s\"", "E002", "times = ", &["unclosed", "type times = [\"60 s\", \"150 s\"]"]),
    // Keys.
    wrong("[ring]\nwidth", "[ring]\nwidht", "E003", "widht", &["did you mean `width`"]),
    wrong("[ring]", "[rings]", "E003", "[rings]", &["did you mean `ring`"]),
    wrong("gas = \"1400 C\"", "gas = \"1400 C\"\nper_heat = 3", "E003", "per_heat = 3", &["belongs in [passes]"]),
    wrong("[shop]", "[shop]\ncolour = \"red\"", "E003", "colour", &["known here: air, surroundings"]),
    wrong("[faces.back]", "[faces.bakc]", "E003", "[faces.bakc]", &["did you mean `back`"]),
    wrong("start = \"20 C\"\n", "", "E004", "[casting]", &["`casting` has no `start`", "start = \"20 C\""]),
    wrong("[shop]\nair = \"20 C\"\n", "", "E004", "", &["no [shop]"]),
    wrong("maximum_interpass = \"500 F\"\n", "", "E004", "[window]", &["`maximum_interpass`", "qualified procedure"]),
    wrong("emissivity = 0.8\n", "", "E004", "[faces]", &["emissivity"]),
    wrong("film_coefficient = \"8 W/m2K\"\nfilm", "film", "E004", "[faces]", &["film_coefficient"]),
    wrong(", at_most = \"40 min\"", "", "E004", "heat_up", &["at_most", "might never"]),
    wrong("{ for = \"60 s\" }", "{}", "E004", "reheat = {}", &["`for`", "until"]),
    wrong("metal = \"grey iron 250\"\n", "", "E004", "[casting]", &["metal"]),
    wrong("disc = { diameter = \"300 mm\" }\n", "", "E004", "[patch]", &["disc", "rectangle"]),
    wrong("[schedule.cycles]\nheat", "[passes2]\nheat", "E004", "", &["no [schedule]"]),
    wrong("\"150 s\"\nreheat", "{ guard = \"10 K\" }\nreheat", "E004", "interval", &["at_most"]),
    // Values of the wrong kind.
    wrong("minimum = \"300 F\"", "minimum = 300", "E005", "minimum = 300", &["a temperature", "\"300 C\" or \"300 F\""]),
    wrong("minimum = \"300 F\"", "minimum = \"300\"", "E005", "minimum", &["has no unit", "\"300 F\""]),
    wrong("reheats = 4", "reheats = \"4\"", "E006", "reheats", &["whole number", "write 4"]),
    wrong("reheats = 4", "reheats = 4.5", "E006", "reheats", &["not a whole number"]),
    wrong("emissivity = 0.8\n", "emissivity = \"80 %\"\n", "E006", "emissivity =", &["write 0.8"]),
    wrong("centre = [\"1.2 m\", \"0.75 m\"]", "centre = \"1.2 m\"", "E007", "centre", &["a list is due", "a text"]),
    wrong("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"1.2 m\"]", "E007", "centre", &["2 values", "1 found"]),
    wrong("[ring]\nwidth = \"75 mm\"", "[ring]\nwidth = { mm = 75 }", "E007", "width = {", &["a length is due", "a table"]),
    wrong("[[watch]]\nprobe = \"r40\"\nbelow = \"150 C\"\n[output]", "[watch]\nprobe = \"r40\"\n[output]", "E007", "[watch]", &["list of sections"]),
    wrong("contact_conductance = \"150 W/m2K\"", "adiabatic = \"yes\"", "E007", "adiabatic", &["true or false"]),
    wrong("interval = \"150 s\"", "interval = \"2:30\"", "E008", "interval", &["ambiguous", "2 min 30 s"]),
    wrong("[ring]\nwidth = \"75 mm\"", "[ring]\nwidth = \"75 mn\"", "E008", "75 mn", &["not a known unit"]),
    wrong("interval = \"150 s\"", "interval = \"75 mm\"", "E009", "interval", &["a length", "a duration"]),
    wrong("air = \"20 C\"", "air = \"68 mm\"", "E009", "air", &["a temperature is due"]),
    // Sizes.
    wrong("emissivity = 0.8\n", "emissivity = nan\n", "E010", "emissivity = nan", &["finite"]),
    wrong("reheats = 4", "reheats = inf", "E010", "reheats", &["finite"]),
    wrong("start = \"20 C\"", "start = nan", "E010", "start", &["finite"]),
    wrong("[ring]\nwidth = \"75 mm\"", "[ring]\nwidth = \"0 mm\"", "E011", "0 mm", &["above zero"]),
    wrong("film_coefficient = \"180 W/m2K\"", "film_coefficient = \"-180 W/m2K\"", "E011", "-180", &["above zero"]),
    wrong("first_after = \"20 s\"", "first_after = \"-20 s\"", "E011", "first_after", &["negative"]),
    wrong("emissivity = 0.8\n", "emissivity = -0.1\n", "E011", "emissivity", &["negative"]),
    wrong("length = \"2.4 m\"", "length = \"240 m\"", "E012", "240 m", &["above", "accepted", "50.0 m"]),
    wrong("depth = \"0.6 m\"", "depth = \"4 mm\"", "E012", "4 mm", &["below", "5.0 mm"]),
    wrong("start = \"20 C\"", "start = \"-80 C\"", "E012", "-80 C", &["-60 C"]),
    wrong("start = \"20 C\"", "start = \"1700 C\"", "E012", "1700 C", &["1600 C"]),
    wrong("film_coefficient = \"8 W/m2K\"", "film_coefficient = \"25000 W/m2K\"", "E012", "25000", &["above"]),
    wrong("emissivity = 0.8\n", "emissivity = 1.2\n", "E012", "1.2", &["0 to 1"]),
    wrong("[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"", "[torch.flux]\nflux = \"25 MW/m2\"", "E012", "25 MW", &["20"]),
    wrong("[output]", "[accuracy]\ncells_across = 60\n[output]", "E012", "cells_across", &["4 to 48"]),
    wrong("[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"", "[torch.fuel]\ngas = \"propane\"\nrate = \"2 kg/h\"\nshare = 30\n", "E012", "share", &["write \"30 %\""]),
    wrong("[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"", "[torch.fuel]\ngas = \"propane\"\nrate = \"700 kg/h\"\nshare = 0.9\n", "E012", "rate", &["more than any torch", "widen"]),
    wrong(TORCH, "[torch.electric]\npower_density = \"120 W/cm2\"", "E012", "120 W/cm2", &["above", "1000 kW/m2"]),
    wrong(TORCH, "[torch.electric]\npower_density = \"5 W/cm2\"\nshare = 0", "E011", "share", &["above zero"]),
    wrong(TORCH, "[torch.electric]\nshare = 0.9", "E004", "[torch.electric]", &["no `power_density`", "5 W/cm2"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinders = 2", "E004", "[torch.fuel]", &["no `cylinder_contents`", "8 m3"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinders = 2.5\ncylinder_contents = \"8 m3\"", "E006", "cylinders = 2.5", &["not a whole number"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinder_contents = \"8 kg\"", "E009", "8 kg", &["a volume is due"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinder_contents = 8", "E005", "contents = 8", &["\"8 m3\" or \"8 ft3\""]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"1 m3/h\"\ncylinder_contents = \"8 m3\"\ncylinders_cold = 1", "E007", "cylinders_cold", &["true or false"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nplated = \"no\"", "E007", "plated", &["true or false"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nlast_temper = 1000", "E005", "last_temper", &["\"1000 C\" or \"1000 F\""]),
    wrong(SHOP_AND_FILM, "air = \"20 C\"\ndraft = \"30 m/s\"\n[faces]\nconvection = \"natural\"", "E012", "30 m/s", &["above", "20.0 m/s"]),
    wrong(SHOP_AND_FILM, "air = \"20 C\"\naltitude = \"9000 m\"\n[faces]\nconvection = \"natural\"", "E012", "9000 m", &["above"]),
    wrong(SHOP_AND_FILM, "air = \"20 C\"\ndraft = \"3 m\"\n[faces]\nconvection = \"natural\"", "E009", "3 m", &["a speed is due"]),
    wrong("air = \"20 C\"", "air = \"20 C\"\ndraft = \"1 m/s\"", "E004", "[faces]", &["no `convection`", "`shop.draft` counts only with it"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nworked_face_points = \"down\"", "E004", "[faces]", &["no `convection`"]),
    // Words and metals.
    wrong("start = \"20 C\"\n[shop]\nair = \"20 C\"\n[faces]\nfilm_coefficient = \"8 W/m2K\"\nfilm_coefficient_range = [\"5 W/m2K\", \"12 W/m2K\"]", "start = \"20 C\"\nworked_face_points = \"dwn\"\n[shop]\nair = \"20 C\"\n[faces]\nconvection = \"natural\"", "E013", "dwn", &["did you mean \"down\""]),
    wrong("contact_conductance = \"150 W/m2K\"", "convection = \"windy\"", "E013", "windy", &["natural"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"propane\"\nrate = \"2 kg/h\"\noxidant = \"oxigen\"", "E013", "oxigen", &["did you mean \"oxygen\""]),
    wrong("[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"", "[torch.fuel]\ngas = \"propan\"\nrate = \"2 kg/h\"", "E013", "propan", &["did you mean \"propane\""]),
    wrong("contact_conductance = \"150 W/m2K\"", "stands_on = \"sand\"", "E013", "sand", &["steel, timber, floor"]),
    wrong("metal = \"grey iron 250\"", "metal = \"grey irn 250\"", "E017", "grey irn", &["did you mean \"grey iron 250\"", "H13"]),
    wrong("[shop]", OWN_METAL, "E016", "density", &["two metals"]),
    wrong("metal = \"grey iron 250\"\nstart = \"20 C\"", "start = \"20 C\"\n[metal]\ndensity = \"7200 kg/m3\"\ntable = [{ at = \"100 C\", conductivity = \"46 W/mK\", specific_heat = \"500 J/kgK\" },\n{ at = \"20 C\", conductivity = \"46 W/mK\", specific_heat = \"500 J/kgK\" }]", "E019", "\"20 C\", conductivity", &["do not rise", "the row before"]),
    wrong("metal = \"grey iron 250\"\nstart = \"20 C\"", "start = \"20 C\"\n[metal]\ndensity = \"7200 kg/m3\"\ntable = []", "E019", "table", &["no rows"]),
    // Ranges.
    wrong("[\"5 W/m2K\", \"12 W/m2K\"]", "[\"12 W/m2K\", \"5 W/m2K\"]", "E014", "12 W", &["low end", "high end", "swap"]),
    wrong("[\"5 W/m2K\", \"12 W/m2K\"]", "[\"9 W/m2K\", \"12 W/m2K\"]", "E015", "9 W", &["nominal value", "range"]),
    wrong("[0.64, 0.95]", "[0.3, 0.6]", "E015", "0.3", &["outside its own range"]),
    wrong("[shop]", "[metal]\nconductivity_range = [\"40 W/mK\", \"50 W/mK\"]\n[shop]", "E015", "conductivity_range", &["per cent"]),
    wrong("film_coefficient = \"8 W/m2K\"", "convection = \"natural\"", "E015", "film_coefficient_range", &["per cent", "curve"]),
    wrong("film_coefficient = \"8 W/m2K\"\nfilm_coefficient_range = [\"5 W/m2K\", \"12 W/m2K\"]", "convection = \"natural\"\nfilm_coefficient_range = [\"+10 %\", \"+20 %\"]", "E015", "+10 %", &["outside its own range"]),
    // Keys that shut each other out.
    wrong("film_coefficient = \"8 W/m2K\"", "film_coefficient = \"8 W/m2K\"\nconvection = \"natural\"", "E018", "convection", &["both a film coefficient", "keep one"]),
    wrong("contact_conductance = \"150 W/m2K\"", "convection = \"natural\"\nadiabatic = true", "E018", "adiabatic", &["convection", "exchanges nothing"]),
    wrong("{ diameter = \"300 mm\" }", "{ diameter = \"300 mm\", radius = \"150 mm\" }", "E018", "radius", &["diameter", "keep one"]),
    wrong("emissivity = 0.8\n", "emissivity = 0.8\ncondition = \"as cast\"\n", "E018", "as cast", &["condition"]),
    wrong("contact_conductance = \"150 W/m2K\"", "contact_conductance = \"150 W/m2K\"\nadiabatic = true", "E018", "adiabatic", &["contact_conductance", "exchanges nothing"]),
    wrong("{ for = \"60 s\" }", "{ for = \"60 s\", until = \"r40\" }", "E018", "until = \"r40\"", &["fixed heating time"]),
    wrong("times = [\"60 s\"", "every = \"60 s\"\ntimes = [\"60 s\"", "E018", "times", &["time step"]),
    // Places.
    wrong("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"2.6 m\", \"0.75 m\"]", "E020", "2.6 m", &["does not lie on the casting", "length along x", "2.40 m"]),
    wrong("[\"0 m\", \"0 m\", \"0 m\"]", "[\"0 m\", \"0 m\", \"0.7 m\"]", "E020", "0.7 m", &["outside the casting", "depth"]),
    wrong("[\"40 mm\", \"0 mm\", \"0 mm\"]", "[\"40 mm\", \"9 m\", \"0 mm\"]", "E020", "9 m", &["y goes from 0"]),
    wrong("depth = \"6 mm\"", "depth = \"600 mm\"", "E020", "600 mm", &["goes through"]),
    wrong("power = \"2.3 kW\"", "power = \"2.3 kW\"\nbeads = [{ centre = [\"-1 m\", \"0.7 m\"], length = \"40 mm\", width = \"10 mm\" }]", "E020", "beads", &["the bead"]),
    // Sections that need each other.
    wrong("[torch.flame]", "[torch.flux]\nflux = \"250 kW/m2\"\n[torch.flame]", "E022", "[torch.flame]", &["more than one kind of torch"]),
    wrong("[torch.flame]", "[torch.electric]\npower_density = \"5 W/cm2\"\n[torch.flame]", "E022", "[torch.flame]", &["more than one kind of torch"]),
    wrong("[torch.flame]\nfilm_coefficient = \"180 W/m2K\"\ngas = \"1400 C\"\n", "", "E023", "[window]", &["no torch"]),
    wrong("[schedule.cycles]", "[schedule.spans]\non = []\nend = \"1 h\"\n[schedule.cycles]", "E030", "[schedule.cycles]", &["two schedules"]),
    wrong("minimum = \"300 F\"", "minimum = \"500 F\"", "E031", "minimum = ", &["maximum", "qualified procedure"]),
    wrong("heat_to = \"400 F\"", "heat_to = \"280 F\"", "E025", "280 F", &["below the minimum"]),
    wrong("heat_to = \"400 F\"", "heat_to = \"600 F\"", "E025", "600 F", &["surface limit"]),
    wrong("reads = \"390 F\"", "reads = \"290 F\"", "E025", "290 F", &["below the minimum"]),
    wrong("\"150 s\"\nreheat", "{ guard = \"120 K\", at_most = \"5 min\" }\nreheat", "E025", "guard", &["lower the guard"]),
    wrong("surface_limit = \"570 F\"", "surface_limit = \"290 F\"", "E026", "290 F", &["not above the minimum"]),
    wrong("probe = \"r40\"", "probe = \"r4\"", "E027", "\"r4\"", &["did you mean `r40`"]),
    wrong("until = \"ring_coldest\"", "until = \"ring_cold\"", "E027", "ring_cold\"", &["did you mean `ring_coldest`"]),
    wrong("corner = {", "patch_centre = {", "E028", "patch_centre", &["taken"]),
    wrong("corner = {", "\"the corner\" = {", "E028", "the corner", &["letters, digits and _"]),
    wrong("corner = {", "corner = { left = \"0 m\",", "E003", "left", &["known here: at"]),
    wrong("per_heat = 2", "per_heat = 5", "E033", "per_heat = 5", &["take 6 min", "2 min 30 s"]),
    wrong("interval = \"150 s\"", "interval = { guard = \"10 K\", at_most = \"3 min\", working_time = \"4 min\" }", "E033", "4 min", &["longer than the interval"]),
    wrong("[output]\ntimes = [\"60 s\", \"150 s\"]", "[output]\nevery = \"10 ms\"\nuntil = \"5 min\"", "E032", "every", &["30000", "10000"]),
];

#[rustfmt::skip]
const WARNINGS: &[Wrong] = &[
    wrong("centre = [\"1.2 m\", \"0.75 m\"]", "centre = [\"0.12 m\", \"0.75 m\"]", "W101", "0.12 m", &["of the patch", "cut off"]),
    wrong("length = \"60 mm\"", "length = \"400 mm\"", "W102", "[groove]", &["reaches beyond the heated patch"]),
    wrong("heat_to = \"400 F\"", "heat_to = \"520 F\"", "W103", "520 F", &["maximum interpass"]),
    wrong("{ for = \"60 s\" }", "{ until = \"r40\", reads = \"200 F\", at_most = \"5 min\" }", "W103", "200 F", &["below the minimum"]),
    wrong("interval = \"150 s\"", "interval = { guard = \"10 K\", at_most = \"60 s\" }", "W104", "per_heat = 2", &["the interval lasts 60.0 s"]),
    wrong("\"60 s\", \"150 s\"", "\"60 s\", \"9 d\"", "W105", "9 d", &["left out"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinders = 2\ncylinder_contents = \"6 m3\"", "W106", "rate = \"2 m3/h\"", &["couple 3 of these cylinders", "1/7"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"acetylene\"\nrate = \"2 m3/h\"\ncylinders = 3\ncylinder_contents = \"6 m3\"\ncylinders_cold = true", "W106", "rate = \"2 m3/h\"", &["couple 4 of these cylinders", "1/10"]),
    wrong(TORCH, "[torch.electric]\npower_density = \"12 W/cm2\"", "W107", "12 W/cm2", &["ceramic pads", "induction"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\nlast_temper = \"560 F\"", "W108", "570 F", &["last tempering heat"]),
    wrong("air = \"20 C\"\n", "air = \"-50 C\"\n[faces.worked]\nconvection = \"natural\"\n", "W109", "natural", &["the face `worked`", "air properties, film temperature (K) 2.5e2 below 2.7e2 (A1)"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nbeads = [{ centre = [\"1.25 m\", \"0.75 m\"], length = \"30 mm\", width = \"10 mm\" }]", "W110", "1.25 m", &["35 mm (1.38 in) beyond the groove", "10 mm (0.394 in) wide"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 3 }", "W111", "fill =", &["12 beads fill the groove", "5 heats lay 10 at most", "the other 2 are not"]),
    wrong("pause = \"60 s\"", "pause = \"60 s\"\nfill = { bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 2 }", "W111", "fill =", &["8 beads fill the groove", "2 more are laid on top"]),
    wrong("[output]", "[[cover]]\non = \"back\"\nemissivity = 0.2\nwhen = \"after work\"\n[output]", "W112", "after work", &["the run ends with the work"]),
    wrong("[output]", "[[heater]]\nflux = \"20 kW/m2\"\nwhen = \"always\"\nthermostat = { set = \"15 C\", reads = \"corner\" }\n[output]", "W113", "15 C", &["the casting starts at 20 C"]),
    wrong("[output]", "[[heater]]\nflux = \"20 kW/m2\"\nwhen = \"always\"\nthermostat = { set = \"160 C\", reads = \"ring_coldest\" }\n[output]", "W113", "160 C", &["the flame waits until ring_coldest reads"]),
    wrong("[output]", "[[heater]]\nstrength = \"300 %\"\nwhen = \"always\"\n[output]", "W114", "300 %", &["300 % of the torch"]),
    wrong("width = \"75 mm\"", "width = \"900 mm\"", "W115", "900 mm", &["740 mm (29.1 in) at y_min, 740 mm (29.1 in) at y_max", "only the ring on the casting"]),
    wrong("start = \"20 C\"", "start = \"20 C\"\ninside_film_coefficient = \"5 W/m2K\"", "W116", "inside_film", &["the casting has none", "[casting.ribs]"]),
    wrong(TORCH, "[torch.fuel]\ngas = \"propane\"\nrate = \"2 kg/h\"\ncylinders = 2", "W117", "cylinders = 2", &["cylinders of propane", "only acetylene"]),
];

/// Changes, the code they give, and words of the text.
type Spoil = (&'static [(&'static str, &'static str)], &'static str, &'static [&'static str]);

/// Spoils that need more than one change.
const DOUBLE: &[Spoil] = &[
    (
        &[("disc = { diameter = \"300 mm\" }", "disc = { diameter = \"0.01 mm\" }")],
        "E038",
        &["1024 MB is the most", "so fine", "in so large a casting", "wider patch", "(now 10)"],
    ),
    (
        &[("[groove]\nlength = \"60 mm\"\nwidth = \"20 mm\"\ndepth = \"6 mm\"\n", "")],
        "E021",
        &["ring without a groove", "needs [groove]"],
    ),
    (
        &[
            (CYCLES, "[schedule.spans]\non = [[\"0 s\", \"300 s\"], [\"200 s\", \"400 s\"]]\nend = \"1 h\"\n"),
            (PASSES, ""),
        ],
        "E024",
        &["before the one before it has gone off"],
    ),
    (
        &[(CYCLES, "[schedule.spans]\non = [[\"300 s\", \"100 s\"]]\nend = \"1 h\"\n"), (PASSES, "")],
        "E024",
        &["off before it comes on"],
    ),
    (
        &[(CYCLES, "[schedule.spans]\non = [[\"0 s\", \"300 s\"]]\nend = \"200 s\"\n"), (PASSES, "")],
        "E024",
        &["beyond the end"],
    ),
    (&[(CYCLES, "[schedule.spans]\non = []\nend = \"1 h\"\n"), (PASSES, "")], "E023", &["the flame never burns"]),
    (&[(CYCLES, "[schedule.spans]\non = [[\"0 s\", \"9 s\"]]\nend = \"1 h\"\n")], "E029", &["cycles", "fixed times"]),
];

const CYCLES: &str = "[schedule.cycles]\nheat_up = { until = \"ring_coldest\", reads = \"390 F\", at_most = \"40 min\" }\ninterval = \"150 s\"\nreheat = { for = \"60 s\" }\nreheats = 4\n";
const PASSES: &str =
    "[passes]\nper_heat = 2\nfirst_after = \"20 s\"\narc_time = \"20 s\"\npause = \"60 s\"\npower = \"2.3 kW\"\n";

fn spoil(wrong: &Wrong) -> String {
    assert!(GOOD.contains(wrong.from), "not in the base: {}", wrong.from);
    GOOD.replacen(wrong.from, wrong.to, 1)
}

fn refused(text: &str) -> Problems {
    match read(text, "wrong.toml", &[]) {
        Ok(_) => panic!("accepted:\n{text}"),
        Err(problems) => problems,
    }
}

fn good(text: &str) -> Scenario {
    read(text, "good.toml", &[]).unwrap_or_else(|problems| panic!("{problems}"))
}

#[test]
fn the_base_is_good() {
    assert_eq!(good(GOOD).question.warnings, Vec::<String>::new());
}

#[test]
fn each_wrong_input_is_named_with_code_line_and_words() {
    for wrong in ERRORS {
        let text = spoil(wrong);
        let problems = refused(&text);
        let shown = problems.render(false);
        let found = problems.list.iter().find(|problem| problem.code == wrong.code);
        let found = found.unwrap_or_else(|| panic!("{} expected for {}:\n{shown}", wrong.code, wrong.to));
        assert_eq!(found.severity, Severity::Error);
        let (line, _) = problems.line_and_column(found.spans[0].place);
        let line = text.lines().nth(line - 1).unwrap_or_default();
        assert!(line.contains(wrong.line), "{} points at {line:?}:\n{shown}", wrong.code);
        for word in wrong.words {
            assert!(shown.contains(word), "{word:?} is not in\n{shown}");
        }
    }
}

#[test]
fn one_slip_gives_one_problem() {
    for wrong in ERRORS.iter().filter(|wrong| !wrong.to.is_empty() && !wrong.to.starts_with("[passes2]")) {
        let problems = refused(&spoil(wrong));
        assert_eq!(problems.list.len(), 1, "{}:\n{problems}", wrong.to);
    }
}

#[test]
fn each_odd_input_is_read_with_a_warning() {
    for wrong in WARNINGS {
        let text = spoil(wrong);
        let warnings = good(&text).question.warnings;
        assert_eq!(warnings.len(), 1, "{}: {warnings:?}", wrong.to);
        let line = text.lines().position(|line| line.contains(wrong.line)).unwrap() + 1;
        assert!(warnings[0].starts_with(&format!("line {line}: ")), "{warnings:?}");
        assert!(wrong.words.iter().all(|word| warnings[0].contains(word)), "{warnings:?}");
    }
}

#[test]
fn sections_that_do_not_go_together_are_named() {
    for (changes, code, words) in DOUBLE {
        let text = changes.iter().fold(GOOD.to_owned(), |text, (from, to)| {
            assert!(text.contains(from));
            text.replacen(from, to, 1)
        });
        let problems = refused(&text);
        let shown = problems.render(false);
        assert!(problems.list.iter().any(|problem| problem.code == *code), "{code}:\n{shown}");
        assert!(words.iter().all(|word| shown.contains(word)), "{words:?}:\n{shown}");
    }
}

#[test]
fn every_code_has_an_input_that_gives_it() {
    let tested: Vec<&str> = (ERRORS.iter().chain(WARNINGS).map(|wrong| wrong.code))
        .chain(DOUBLE.iter().map(|(_, code, _)| *code))
        .chain(["E001"])
        .collect();
    let untested: Vec<&str> = codes().filter(|code| !tested.contains(code)).collect();
    assert_eq!(untested, Vec::<&str>::new());
    assert!(ERRORS.len() >= 40);
}

#[test]
fn all_problems_come_at_once_in_the_order_of_the_file() {
    let mut spoilt = Vec::new();
    let mut text = GOOD.to_owned();
    for wrong in ERRORS.iter().filter(|wrong| ["E005", "E009", "E012", "E017"].contains(&wrong.code)) {
        // A place spoilt twice might be no TOML any more, and then nothing else is judged.
        if !spoilt.contains(&wrong.from) {
            text = text.replacen(wrong.from, wrong.to, 1);
            spoilt.push(wrong.from);
        }
    }
    let problems = refused(&text);
    let starts: Vec<usize> = problems.list.iter().map(|problem| problem.spans[0].place.start).collect();
    assert!(problems.list.len() >= 6 && starts.is_sorted(), "{problems}");
    assert!(problems.render(false).contains(&format!("{} errors in wrong.toml", problems.list.len())));
}

#[test]
fn conflicting_values_are_both_shown() {
    let problems = refused(&GOOD.replace("minimum = \"300 F\"", "minimum = \"500 F\""));
    assert_eq!(problems.list[0].spans.len(), 2);
    let off = refused(&GOOD.replace("centre = [\"1.2 m\"", "centre = [\"2.6 m\""));
    let lines: Vec<usize> = off.list[0].spans.iter().map(|span| off.line_and_column(span.place).0).collect();
    assert_eq!(lines, [19, 3, 4]);
}

#[test]
fn a_problem_in_an_override_points_into_the_override() {
    for (change, code, words) in [
        ("ring.width=100", "E005", &["--set:1:12", "ring.width=100", "\"100 mm\""][..]),
        ("ring.widht=100 mm", "E003", &["did you mean `width`"]),
        ("watch.3.probe=r40", "E003", &["no element `3`", "number 1"]),
        ("[window] minimum=160 C", "E003", &["write it like window.minimum"]),
        ("window minimum=160 C", "E003", &["write it like window.minimum"]),
        ("heater.1.strength=30 %", "E007", &["no element of it is in the file", "heater=[{"]),
        ("ring.width.x=1", "E003", &["cannot be set inside"]),
        ("passes.power=", "E008", &["nothing stands where"]),
        ("window.minimum=550 F", "E031", &["window.minimum=550 F", "maximum_interpass = \"500 F\""]),
    ] {
        let problems = read(GOOD, "good.toml", &[Override::parse(change).unwrap()]).unwrap_err();
        let shown = problems.render(false);
        assert!(problems.list.iter().any(|problem| problem.code == code), "{change}:\n{shown}");
        assert!(words.iter().all(|word| shown.contains(word)), "{change}:\n{shown}");
    }
}

#[test]
fn overrides_reach_into_tables_and_lists() {
    let set = |changes: &[&str]| {
        let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
        read(GOOD, "good.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"))
    };
    assert_eq!(set(&["ring.width=100 mm"]).question.ring.unwrap().0.width, 0.1);
    assert_eq!(set(&["watch.1.below=120 C"]).question.watches[0].limit_c, 120.0);
    assert_eq!(set(&["schedule.cycles.reheats=7", "accuracy.cells_across=8"]).question.accuracy.cells_across, 8);
    assert_eq!(set(&["faces.worked.emissivity=0.3"]).case.surfaces[4].emissivity, 0.3);
}

#[test]
fn bytes_that_are_not_text_are_named() {
    let problems = read_bytes(b"title = \"20 \xb0C\"\n", "latin.toml", &[]).unwrap_err();
    assert_eq!(problems.list[0].code, "E001");
    let shown = problems.render(false);
    assert!(shown.contains("latin.toml:1:13") && shown.contains("0xb0") && shown.contains("UTF-8"), "{shown}");
    let wide = read_bytes(b"\xff\xfet\0i\0", "wide.toml", &[]).unwrap_err();
    assert!(wide.render(false).contains("UTF-16"));
    assert!(read_bytes(GOOD.as_bytes(), "good.toml", &[]).is_ok());
}

#[test]
fn colour_is_only_there_when_asked_for() {
    let problems = refused("");
    assert!(problems.render(true).contains('\u{1b}') && !problems.render(false).contains('\u{1b}'));
}
