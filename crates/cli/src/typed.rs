//! What a shell makes of values with blanks, minus signs and quotes out of a letter, and what to type instead.

use std::ffi::OsString;

use clap::CommandFactory;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::args::Cli;
use crate::output::printable;

/// Quotes that a word processor puts in place of the plain ones.
const PRINTED_QUOTES: [char; 7] = ['“', '”', '„', '‘', '’', '«', '»'];

/// The arguments with each negative value tied to its option: `--air "-10 C"` means `--air=-10 C`.
pub(crate) fn tied(arguments: impl Iterator<Item = OsString>) -> Vec<OsString> {
    let mut tied: Vec<OsString> = Vec::new();
    for argument in arguments {
        match tied.last_mut() {
            Some(option) if is_negative(&argument) && takes_more(option) => {
                option.push("=");
                option.push(argument);
            }
            _ => tied.push(argument),
        }
    }
    tied
}

fn is_negative(argument: &OsString) -> bool {
    let text = argument.to_string_lossy();
    let number = |rest: &str| rest.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.');
    text.strip_prefix('-').is_some_and(number)
}

fn takes_more(option: &OsString) -> bool {
    let text = option.to_string_lossy();
    text.starts_with("--") && text.len() > 2 && !text.contains('=')
}

/// What to type instead of an argument that is not known; nothing where the usual message says enough.
pub(crate) fn advice(error: &clap::Error, arguments: &[OsString]) -> Option<String> {
    let words: Vec<String> = arguments.iter().skip(1).map(|word| printable(&word.to_string_lossy())).collect();
    if error.kind() == ErrorKind::InvalidSubcommand {
        let file = words.iter().find(|word| !word.starts_with('-')).filter(|word| is_scenario(word))?;
        return Some(format!("{file} is no command: to check that scenario, type warmhold check {file}"));
    }
    let (ErrorKind::UnknownArgument, Some(ContextValue::String(refused))) =
        (error.kind(), error.get(ContextKind::InvalidArg))
    else {
        return None;
    };
    let at = words.iter().position(|word| word == refused).or_else(|| {
        let glued = |word: &String| word.starts_with(refused.as_str()) && !word.starts_with("--");
        words.iter().position(glued)
    })?;
    if let Some(word) = words.iter().find(|word| word.contains(PRINTED_QUOTES)) {
        return Some(format!("the quotes of {word} are printed ones: type the plain \" of the keyboard instead"));
    }
    let command = words.iter().find(|word| !word.starts_with('-')).map_or("", String::as_str);
    if is_scenario(&words[at]) && words.iter().filter(|word| is_scenario(word)).count() > 1 {
        let why = format!("warmhold {command} takes one scenario, and {} is one more", words[at]);
        return Some(format!("{why}: leave it out, or run the command once for each"));
    }
    dashes(&words[at]).or_else(|| no_value(&words, at)).or_else(|| blank(&words, at))
}

fn is_scenario(word: &str) -> bool {
    !word.starts_with('-') && word.to_lowercase().ends_with(".toml") && !word.contains('=')
}

/// A value behind a switch that takes none.
fn no_value(words: &[String], at: usize) -> Option<String> {
    let (word, switch) = (&words[at], &words[at.checked_sub(1)?]);
    let into = if switch == "--json" { format!("; to keep the answer, type {switch} > {word}") } else { String::new() };
    is_switch(switch).then(|| format!("{switch} takes no value, and {word} stands behind it: leave {word} out{into}"))
}

/// Whether a word is an option without a value.
fn is_switch(word: &str) -> bool {
    let all = Cli::command();
    let mut options = all.get_subcommands().flat_map(clap::Command::get_arguments);
    options.any(|option| {
        let same = word.strip_prefix("--").is_some_and(|name| option.get_long() == Some(name));
        same && !option.get_action().takes_values()
    })
}

fn dashes(word: &str) -> Option<String> {
    let name = word.trim_start_matches(['-', '–', '—', '−']);
    let is_name = name.len() > 1 && name.starts_with(|letter: char| letter.is_ascii_alphabetic());
    (is_name && name.len() < word.len() && !word.starts_with("--"))
        .then(|| format!("{word} does not begin with two plain hyphens: type --{name}"))
}

/// A word that stands alone because its value had a blank and no quotes.
fn blank(words: &[String], at: usize) -> Option<String> {
    let word = &words[at];
    if word.starts_with('-') {
        return None;
    }
    let Some(before) = at.checked_sub(2) else {
        let option = if word.starts_with(|letter: char| letter.is_ascii_digit()) { "--minimum " } else { "--OPTION " };
        return Some(format!("{word} belongs to no option: say which, such as {option}\"{word}\""));
    };
    let value = &words[at - 1];
    (!value.starts_with('-')).then(|| {
        format!("{word} stands alone: a value with a blank goes in quotes: {} \"{value} {word}\"", words[before])
    })
}

#[cfg(test)]
mod tests {
    use super::tied;

    #[test]
    fn a_negative_value_is_tied_to_its_option_and_nothing_else_is() {
        let tie = |words: &[&str]| tied(words.iter().map(Into::into)).join(" ".as_ref()).into_string().unwrap();
        assert_eq!(tie(&["hold", "--air", "-10 C"]), "hold --air=-10 C");
        assert_eq!(tie(&["hold", "--air", "-.5 C", "-h"]), "hold --air=-.5 C -h");
        assert_eq!(tie(&["check", "-", "-5"]), "check - -5");
        assert_eq!(tie(&["check", "--set=a=1", "-5"]), "check --set=a=1 -5");
    }
}
