//! The same input gives the same bytes, however many threads there are.

use warmhold::{report, scenario, study};

fn demonstration() -> scenario::Scenario {
    let small = ["accuracy.cells_across=5", "schedule.cycles.reheats=1"];
    let overrides = small.map(|text| scenario::Override::parse(text).expect("the override is well formed"));
    match scenario::read(scenario::DEMONSTRATION, "demonstration", &overrides) {
        Ok(scenario) => scenario,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}

fn answer(threads: usize) -> study::Outcome {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("a pool of threads");
    let scenario = demonstration();
    pool.install(|| study::check(&scenario.case, &scenario.question, &|_| true)).expect("the demonstration is solved")
}

#[test]
fn one_thread_and_several_give_the_same_bits() {
    let [one, two, four] = [1, 2, 4].map(answer);
    // Equality of numbers hides the sign of zero; the text of the shortest digits does not.
    assert_eq!(one, two);
    assert_eq!(report::json(&one).into_bytes(), report::json(&two).into_bytes());
    assert_eq!(report::json(&one).into_bytes(), report::json(&four).into_bytes());
    assert!(one.margin_k.is_some() && one.worst_end.is_some() && one.inputs.len() >= 4, "a full answer was compared");
}
