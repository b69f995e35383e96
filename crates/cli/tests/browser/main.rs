//! The pages in a real browser: Debian's Chromium, driven over the WebDriver protocol. `.ci/browser` installs it and runs
//! these; elsewhere they are left out, because not every machine has a browser.

mod driver;
mod pages;
