//! A scenario's text with some values changed, its comments kept.

use toml_edit::{DocumentMut, Item, Table, Value};

use crate::Override;

/// The text with the overrides put in; everything else stays as it was written. `None` where the text or a value is not
/// TOML, or a key leads through something that is not a table; [`crate::read`] says what is wrong with those.
#[must_use]
pub fn rewritten(text: &str, overrides: &[Override]) -> Option<String> {
    let mut document: DocumentMut = text.parse().ok()?;
    for change in overrides {
        let value: Value = change.written().parse().unwrap_or_else(|_| Value::from(change.written()));
        let names: Vec<&str> = change.names().collect();
        put(document.as_item_mut(), &names, value)?;
    }
    Some(document.to_string())
}

fn put(item: &mut Item, names: &[&str], value: Value) -> Option<()> {
    let (name, deeper) = names.split_first()?;
    let tables = item.as_table_like_mut()?;
    if deeper.is_empty() {
        let mut value = value;
        if let Some(old) = tables.get(name).and_then(Item::as_value) {
            *value.decor_mut() = old.decor().clone();
        }
        tables.insert(name, Item::Value(value));
        return Some(());
    }
    if tables.get(name).is_none() {
        let mut table = Table::new();
        table.set_implicit(true);
        tables.insert(name, Item::Table(table));
    }
    put(tables.get_mut(name)?, deeper, value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::DEMONSTRATION;

    fn changes(list: &[&str]) -> Vec<Override> {
        list.iter().map(|text| Override::parse(text).unwrap()).collect()
    }

    #[test]
    fn the_rewritten_text_reads_as_the_text_with_overrides_does() {
        let changes = changes(&[
            "patch.disc={ diameter = \"430 mm\" }",
            "torch.fuel.rate=4.05 kg/h",
            "schedule={ cycles = { heat_up = { for = \"20 min\" }, interval = \"3 min\", reheat = { for = \"2 min\" }, reheats = 1 } }",
            "passes.per_heat=1",
            "accuracy.cells_across=6",
        ]);
        let text = rewritten(DEMONSTRATION, &changes).unwrap();
        let written = crate::read(&text, "written", &[]).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
        let overridden = crate::read(DEMONSTRATION, "demonstration", &changes).unwrap();
        assert_eq!(written.case, overridden.case);
        assert_eq!(written.question.accuracy, overridden.question.accuracy);
    }

    #[test]
    fn comments_stay_and_only_what_is_changed_changes() {
        let text = rewritten(DEMONSTRATION, &changes(&["ring.width=80 mm"])).unwrap();
        let differ: Vec<(&str, &str)> = DEMONSTRATION.lines().zip(text.lines()).filter(|(a, b)| a != b).collect();
        let comment = " # or rule = \"ISO 13916\", or rule = \"thickness\"";
        assert_eq!(differ, [(&*format!("width = \"75 mm\"{comment}"), &*format!("width = \"80 mm\"{comment}"))]);
        assert!(rewritten(DEMONSTRATION, &changes(&["title.wrong=1"])).is_none());
    }
}
