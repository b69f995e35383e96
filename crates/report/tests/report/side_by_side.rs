//! The trainer's page: what stands side by side can be compared. THE NUMBERS ARE MADE UP, for the layout only.

use report::Units;
use report::html::{Die, page};

use super::made_up;
use super::sheets::film;

/// The lesson of the page is a comparison: without its script, too, a colour is a temperature.
#[test]
fn the_still_maps_of_a_page_share_one_scale_of_colours_and_one_of_lengths() {
    let (outcome, cold, mut hot) = (made_up::falls_short(), film(), film());
    hot.maps.iter_mut().for_each(|map| map.face_c.iter_mut().for_each(|celsius| *celsius += 300.0));
    let dies =
        [Die { name: "cold", outcome: &outcome, film: &cold }, Die { name: "hot", outcome: &outcome, film: &hot }];
    let text = page(&dies, Units::Metric).unwrap();
    let articles: Vec<&str> = text.split("<article").skip(1).collect();
    let highest = |article: &str| {
        let labels = article.split(['<', '>']).filter_map(|part| part.trim().strip_suffix(" C")?.parse::<f64>().ok());
        labels.fold(f64::NEG_INFINITY, f64::max)
    };
    assert!(highest(articles[1]) > 300.0, "{}", highest(articles[1]));
    assert_eq!(highest(articles[0]), highest(articles[1]));
    let whole = |article: &str| article.split("viewBox=").nth(1).unwrap().split('>').next().unwrap().to_owned();
    assert_eq!(whole(articles[0]).split('"').nth(1), whole(articles[1]).split('"').nth(1));
}

#[test]
fn a_page_without_a_window_speaks_of_no_minimum_and_no_verdict() {
    let mut outcome = made_up::not_asked();
    outcome.window = None;
    let film = film();
    let die = Die { name: "a die", outcome: &outcome, film: &film };
    let text = page(&[die, die], Units::Both).unwrap();
    let shown = text.split("<script").next().unwrap();
    assert!(shown.contains("White line: the watched limit"), "{shown}");
    assert!(!shown.contains("above the minimum") && !shown.contains("No verdict was asked"));
}
