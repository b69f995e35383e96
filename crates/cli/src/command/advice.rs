//! `advice`: where and when to measure, and what each instrument then shows.

use warmhold::quantity::{Fraction, Temperature, Units};
use warmhold::study::AdviceAsk;
use warmhold::{report, scenario};

use super::fit::seconds;
use crate::args::{Advice, UnitChoice};
use crate::failure::Failure;
use crate::{input, output, run};

/// Emissivity at which many infrared guns are fixed (`practice`).
const USUAL_GUN: f64 = 0.95;
/// Ratings of crayons where none are named (`practice`): steps of 25 F and of 10 C, first and last, in their own unit.
const IN_F: (f64, [f64; 2]) = (25.0, [100.0, 800.0]);
const IN_C: (f64, [f64; 2]) = (10.0, [40.0, 430.0]);

/// Answers; the exit code is 0 for any answer.
pub(crate) fn run(advice: &Advice) -> Result<u8, Failure> {
    let ask = ask(advice)?;
    run::use_threads(advice.show.threads)?;
    let scenario = input::scenario(Some(&advice.file), &advice.set)?;
    let start = std::time::Instant::now();
    let answer = run::advice(&scenario, &ask)?;
    if advice.show.timings {
        output::complain(&format!("computed in {:.2} s\n", start.elapsed().as_secs_f64()));
    }
    output::print(&match advice.show.json {
        true => report::json(&answer),
        false => report::advice_text(&answer, advice.show.units.into()),
    })
}

fn ask(advice: &Advice) -> Result<AdviceAsk, Failure> {
    let mut faults = Vec::new();
    let crayons_c = match advice.crayons.as_deref() {
        Some(text) => crayons(text, &mut faults),
        None => usual_crayons(advice.show.units),
    };
    let gun = advice.gun.as_deref().map_or(USUAL_GUN, |text| gun(text, &mut faults));
    let lag_s = advice.lag.as_deref().and_then(|text| seconds("--lag", text, &mut faults));
    let break_s = advice.break_time.as_deref().and_then(|text| seconds("--break", text, &mut faults));
    match faults.is_empty() {
        true => Ok(AdviceAsk { crayons_c, gun, looks: scenario::looks(), lag_s, break_s }),
        false => Err(Failure::Options { faults, hint: "" }),
    }
}

/// Usual instruments and no break.
pub(super) fn usual(units: UnitChoice) -> AdviceAsk {
    let looks = scenario::looks();
    AdviceAsk { crayons_c: usual_crayons(units), gun: USUAL_GUN, looks, lag_s: None, break_s: None }
}

fn crayons(text: &str, faults: &mut Vec<String>) -> Vec<f64> {
    let mut ratings = Vec::new();
    for part in text.split(',') {
        match part.trim().parse::<Temperature>() {
            Ok(rating) => ratings.push(rating.celsius()),
            Err(error) => faults.push(format!("--crayons: {error}")),
        }
    }
    ratings
}

fn usual_crayons(units: UnitChoice) -> Vec<f64> {
    let metric = Units::from(units) == Units::Metric;
    let (step, [first, last]) = if metric { IN_C } else { IN_F };
    let count = ((last - first) / step) as usize;
    let celsius = |rating: f64| if metric { rating } else { (rating - 32.0) / 1.8 };
    (0..=count).map(|n| celsius(first + step * n as f64)).collect()
}

fn gun(text: &str, faults: &mut Vec<String>) -> f64 {
    match text.parse::<Fraction>() {
        Ok(set) if (0.05..=1.0).contains(&set.si()) => set.si(),
        Ok(_) => {
            faults.push(format!("--gun \"{}\": accepted from 0.05 to 1", output::printable(text)));
            USUAL_GUN
        }
        Err(error) => {
            faults.push(format!("--gun: {error}"));
            USUAL_GUN
        }
    }
}
