//! `[passes.arc]`: the net power of an arc from process, volts and amperes.

use crate::habits::Habits;
use crate::reader::Reader;

/// Processes by name and by number.
pub(crate) const PROCESSES: &[&str] = &[
    "MMA",
    "111",
    "stick",
    "SMAW",
    "MAG",
    "135",
    "MIG",
    "131",
    "cored wire",
    "FCAW",
    "136",
    "138",
    "114",
    "TIG",
    "141",
    "GTAW",
    "plasma",
    "15",
    "SAW",
    "121",
];

/// Arc efficiency by process (AR1, `read`).
fn efficiency(process: &str) -> f64 {
    match process {
        "SAW" | "121" => 1.0,
        "TIG" | "141" | "GTAW" | "plasma" | "15" => 0.6,
        _ => 0.8,
    }
}

/// Whether the power comes from `[passes.arc]`: stated, or by habit where no power is.
pub(crate) fn is_asked_for(reader: &Reader, habits: &Habits) -> bool {
    reader.has("passes.arc") || (habits.are_chosen() && !reader.has("passes.power"))
}

/// Net power of the arc, W; NaN where something was refused.
///
/// Equation: `k U I`. Symbols: `k` arc efficiency without unit, `U` volts, `I` amperes. Valid for a steady arc; what the
/// rod and the spatter take away is in `k`. Source: AR1, AR2 (`read`), AR3 (`computed`).
pub(crate) fn power(reader: &mut Reader, habits: &mut Habits) -> f64 {
    let process = reader.text("passes.arc.process").map(str::to_owned);
    if process.is_none() && !reader.has("passes.arc.process") && !habits.process() {
        reader.missing("passes.arc.process", "");
    }
    let [volts, amps] = ["passes.arc.volts", "passes.arc.amps"].map(|path| habits.needed(reader, path, ""));
    let usual = efficiency(process.as_deref().unwrap_or("MMA"));
    reader.optional("passes.arc.efficiency").unwrap_or(usual) * volts * amps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_process_has_the_efficiency_of_its_number() {
        for (name, number) in [("MMA", "111"), ("MAG", "135"), ("cored wire", "136"), ("TIG", "141"), ("SAW", "121")] {
            assert!(PROCESSES.contains(&name) && PROCESSES.contains(&number));
            assert_eq!(efficiency(name), efficiency(number));
        }
        assert_eq!(["SAW", "stick", "114", "plasma"].map(efficiency), [1.0, 0.8, 0.8, 0.6]);
    }
}
