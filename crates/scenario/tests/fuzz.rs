//! No text, however broken, makes the reader panic, and no text reaches the terminal raw.

use proptest::prelude::*;
use scenario::{DEMONSTRATION, Override, read_bytes};

fn survives(bytes: &[u8], overrides: &[Override]) {
    if let Err(problems) = read_bytes(bytes, "any\u{1b}.toml", overrides) {
        assert!(!problems.list.is_empty());
        let shown = problems.render(false);
        assert!(shown.chars().all(|letter| letter == '\n' || !letter.is_control()), "{shown:?}");
        problems.list.iter().for_each(|problem| drop(problems.one_line(problem)));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        survives(&bytes, &[]);
    }

    #[test]
    fn a_demonstration_with_bytes_changed_is_read_or_refused(
        changes in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..6),
    ) {
        let mut bytes = DEMONSTRATION.as_bytes().to_vec();
        for (at, byte) in changes {
            let at = at.index(bytes.len());
            bytes[at] = byte;
        }
        survives(&bytes, &[]);
    }

    #[test]
    fn a_demonstration_with_a_piece_cut_out_is_read_or_refused(a in any::<prop::sample::Index>(), length in 1_usize..400) {
        let mut bytes = DEMONSTRATION.as_bytes().to_vec();
        let start = a.index(bytes.len());
        bytes.drain(start..(start + length).min(DEMONSTRATION.len()));
        survives(&bytes, &[]);
    }

    #[test]
    fn a_demonstration_with_one_number_changed_is_read_or_refused(which in any::<prop::sample::Index>(), number in any::<f64>()) {
        let digits: Vec<usize> = DEMONSTRATION.match_indices(|c: char| c.is_ascii_digit()).map(|(at, _)| at).collect();
        let at = digits[which.index(digits.len())];
        let text = format!("{}{number}{}", &DEMONSTRATION[..at], &DEMONSTRATION[at + 1..]);
        survives(text.as_bytes(), &[]);
    }

    #[test]
    fn any_override_is_read_or_refused(
        key in any::<prop::sample::Index>(),
        value in prop_oneof!["\\PC{0,12}", "-?[0-9]{1,9}(\\.[0-9]+)? ?(mm|C|F|s|K|W|%)?", "\\[.{0,10}\\]", "(true|nan|inf|\\{\\})"],
    ) {
        let keys = scenario::keys();
        let path = keys[key.index(keys.len())].path.replace('*', "r40").replace('#', "0");
        if let Ok(change) = Override::parse(&format!("{path}={value}")) {
            survives(DEMONSTRATION.as_bytes(), &[change]);
        }
    }

    #[test]
    fn any_log_is_read_or_refused_line_by_line(
        lines in proptest::collection::vec("(\\PC{0,30}|[0-9]{1,4} (s|min),(patch_centre|x \\PC{0,12} y 1 m|r40),(not )?(melted )?-?[0-9]{1,4} (C|F|K))", 1..8),
        whole in "\\PC{0,60}",
    ) {
        let case = scenario::read(DEMONSTRATION, "demonstration", &[]).unwrap().case;
        let text = format!("time,place,reading\n{}\u{1b}\u{130}", lines.join("\n"));
        match scenario::log(&text, &case) {
            Ok(readings) => assert!(readings.iter().all(|reading| reading.time_s >= 0.0 && reading.line > Some(1))),
            Err(problems) => {
                assert!(!problems.is_empty());
                for problem in problems {
                    assert!(problem.line >= 1 && problem.to_string().chars().all(|letter| !letter.is_control()), "{problem:?}");
                }
            }
        }
        if let Err(told) = scenario::reading(&whole, &case) {
            assert!(!told.is_empty());
        }
        drop(scenario::log(&whole, &case));
    }
}
