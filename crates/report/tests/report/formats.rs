//! JSON and CSV.

use report::{csv, json};

use super::made_up;

#[test]
fn json_reads_back_to_the_same_numbers_and_ends_with_a_newline() {
    let mut outcome = made_up::falls_short();
    outcome.margin_k = Some(-0.1 - 0.2);
    let text = json(&outcome);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["margin_k"].as_f64(), outcome.margin_k);
    assert_eq!(value["verdict"], "falls short");
    assert!(text.ends_with("}\n") && text.contains("-0.30000000000000004"));
}

#[test]
fn a_number_that_is_not_finite_is_null_in_json_and_empty_in_csv() {
    let mut outcome = made_up::holds();
    outcome.margin_k = Some(f64::NAN);
    outcome.curves.get_mut("ring_mean").unwrap().temperature_c[0] = f64::INFINITY;
    let text = json(&outcome);
    assert!(!text.contains("NaN") && !text.contains("inf"));
    assert!(serde_json::from_str::<serde_json::Value>(&text).unwrap()["margin_k"].is_null());
    assert!(csv(&outcome).lines().any(|line| line == "ring_mean,0,,"));
}

#[test]
fn the_csv_has_a_row_for_each_plotted_number_and_each_switch() {
    let outcome = made_up::falls_short();
    let text = csv(&outcome);
    let mut reader = csv_reader(&text);
    assert_eq!(reader.headers().unwrap(), vec!["probe", "time_s", "temperature_c", "event"]);
    let rows = reader.records().map(Result::unwrap).count();
    let points: usize = outcome.curves.values().map(|curve| curve.time_s.len()).sum();
    assert_eq!(rows, points + 3 + 2 * (outcome.heats.len() + outcome.passes.len()));
    assert!(text.contains("\n,900,,flame 1 off\n") && text.contains("\n,1100,,pass 1.2 on\n"));
    assert!(text.contains("\n,,148.889,minimum\n"));
}

#[test]
fn a_probe_name_with_commas_and_quotes_stays_one_cell() {
    let outcome = made_up::hostile();
    let text = csv(&outcome);
    let names: Vec<String> = csv_reader(&text).records().map(|row| row.unwrap()[0].to_owned()).collect();
    assert!(outcome.curves.keys().all(|name| names.contains(name)));
}

fn csv_reader(text: &str) -> ::csv::Reader<&[u8]> {
    ::csv::Reader::from_reader(text.as_bytes())
}
