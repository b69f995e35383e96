//! `completions` and `man`: pages made from the arguments themselves.

use std::path::Path;

use clap::CommandFactory;
use clap_complete::Shell;

use crate::args::Cli;
use crate::failure::Failure;
use crate::output::{plain, print, shown};

/// Prints the completions of a shell.
pub(crate) fn completions(shell: Shell) -> Result<u8, Failure> {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "warmhold", &mut text);
    print(&String::from_utf8_lossy(&text))
}

/// Prints the manual page, or writes all of them into a folder.
pub(crate) fn man(folder: Option<&Path>) -> Result<u8, Failure> {
    let Some(folder) = folder else { return print(&page()?) };
    clap_mangen::generate_to(Cli::command(), folder).map_err(|error| unwritable(&shown(folder), &error))?;
    print(&format!("Manual pages are now in {}.\n", shown(folder)))
}

fn page() -> Result<String, Failure> {
    let mut text = Vec::new();
    clap_mangen::Man::new(Cli::command()).render(&mut text).map_err(|error| unwritable("the page", &error))?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}

fn unwritable(origin: &str, error: &std::io::Error) -> Failure {
    Failure::Unwritable { origin: origin.to_owned(), reason: plain(error) }
}
