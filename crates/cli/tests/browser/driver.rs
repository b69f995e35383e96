//! As much of the WebDriver protocol (W3C) as the tests need, over one connection for each command.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

/// How long anything may take.
const PATIENCE: Duration = Duration::from_secs(60);
/// What keeps the browser from asking the network, and lets it run as root in a container.
const FLAGS: [&str; 10] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--force-prefers-reduced-motion",
];

/// A browser with one window; gone when it is dropped.
pub struct Browser {
    driver: Child,
    // Kept open: a driver that cannot print ends.
    _out: BufReader<ChildStdout>,
    port: u16,
    session: String,
    _profile: TempDir,
}

impl Browser {
    /// Starts one with a window of a size; `phone` makes it as narrow as it says, which a window cannot be.
    pub fn start(size: (u32, u32), phone: bool) -> Browser {
        let profile = tempfile::tempdir().unwrap();
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is installed; `.ci/browser` installs it");
        let mut out = BufReader::new(driver.stdout.take().unwrap());
        let port = port(&mut out);
        let mut arguments: Vec<String> = FLAGS.iter().map(|&flag| flag.to_owned()).collect();
        arguments.push(format!("--user-data-dir={}", profile.path().display()));
        arguments.push(format!("--window-size={},{}", size.0, size.1));
        let mut options = json!({ "args": arguments });
        if phone {
            let metrics = json!({ "width": size.0, "height": size.1, "pixelRatio": 1.0, "touch": true });
            options["mobileEmulation"] = json!({ "deviceMetrics": metrics });
        }
        let wanted = json!({
            "browserName": "chrome",
            "goog:chromeOptions": options,
            "goog:loggingPrefs": { "browser": "ALL" },
        });
        let answer = send(port, "POST", "/session", &json!({ "capabilities": { "alwaysMatch": wanted } }));
        let session = answer["sessionId"].as_str().unwrap_or_else(|| panic!("no session: {answer}")).to_owned();
        Browser { driver, _out: out, port, session, _profile: profile }
    }

    fn command(&self, method: &str, path: &str, body: &Value) -> Value {
        send(self.port, method, &format!("/session/{}/{path}", self.session), body)
    }

    /// Opens a file.
    pub fn open(&self, file: &Path) {
        let path = file.to_str().unwrap();
        self.command("POST", "url", &json!({ "url": format!("file://{path}") }));
    }

    /// What a function body returns in the page.
    pub fn run(&self, script: &str) -> Value {
        self.command("POST", "execute/sync", &json!({ "script": script, "args": [] }))
    }

    /// The text of the first element that a selector finds.
    pub fn text(&self, selector: &str) -> String {
        let found = self.run(&format!("return document.querySelector({}).textContent", json!(selector)));
        found.as_str().unwrap_or_else(|| panic!("{selector}: {found}")).to_owned()
    }

    /// Presses and lets go a key, by its WebDriver code point.
    pub fn press(&self, key: &str) {
        let strokes = json!([{ "type": "keyDown", "value": key }, { "type": "keyUp", "value": key }]);
        self.command("POST", "actions", &json!({ "actions": [{ "type": "key", "id": "keys", "actions": strokes }] }));
    }

    /// Shows the page as on a screen or on paper, to a reader who prefers light or dark.
    pub fn show_as(&self, medium: &str, scheme: &str) {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        let wanted = json!({ "media": medium, "features": features });
        let body = json!({ "cmd": "Emulation.setEmulatedMedia", "params": wanted });
        self.command("POST", "goog/cdp/execute", &body);
    }

    /// Everything that was logged as an error since the last call.
    pub fn errors(&self) -> Vec<String> {
        let log = self.command("POST", "se/log", &json!({ "type": "browser" }));
        let entries = log.as_array().unwrap_or_else(|| panic!("no log: {log}"));
        entries.iter().filter(|entry| entry["level"] != "INFO").map(|entry| entry["message"].to_string()).collect()
    }

    /// The page printed on paper of a size in centimetres, as a PDF.
    pub fn print(&self, width: f64, height: f64) -> Vec<u8> {
        // The page's own margins govern.
        let page = json!({ "page": { "width": width, "height": height } });
        decoded(self.command("POST", "print", &page).as_str().unwrap())
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        self.command("DELETE", "", &Value::Null);
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// The port that the driver says it took.
fn port(out: &mut impl BufRead) -> u16 {
    let said = out.lines().map_while(Result::ok).find_map(|line| {
        let rest = line.split("successfully on port ").nth(1)?;
        rest.trim_end_matches('.').parse().ok()
    });
    said.expect("chromedriver says its port")
}

/// One command; panics with the driver's own words where it fails.
fn send(port: u16, method: &str, path: &str, body: &Value) -> Value {
    let start = Instant::now();
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    let body = if body.is_null() { String::new() } else { body.to_string() };
    let path = path.trim_end_matches('/');
    write!(
        stream,
        "{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n\
         Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
    .unwrap();
    let mut reader = BufReader::new(stream);
    let mut length = 0;
    loop {
        let mut line = String::new();
        assert!(reader.read_line(&mut line).unwrap() > 0 && start.elapsed() < PATIENCE, "{path}: no answer");
        match line.trim().to_ascii_lowercase() {
            end if end.is_empty() => break,
            header => {
                length = header.strip_prefix("content-length:").map_or(length, |text| text.trim().parse().unwrap());
            }
        }
    }
    let mut bytes = vec![0; length];
    reader.read_exact(&mut bytes).unwrap();
    let answer: Value = serde_json::from_slice(&bytes).unwrap();
    let value = answer["value"].clone();
    assert!(value["error"].is_null(), "{method} {path}: {value}");
    value
}

/// Base64 back to bytes.
fn decoded(text: &str) -> Vec<u8> {
    let digit = |letter: u8| match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        _ => 63,
    };
    let digits: Vec<u8> = text.bytes().filter(|&letter| letter != b'=').map(digit).collect();
    digits
        .chunks(4)
        .flat_map(|four| {
            let word = (0..4).fold(0u32, |word, n| word << 6 | u32::from(four.get(n).copied().unwrap_or(0)));
            (1..four.len()).map(move |n| (word >> (24 - 8 * n)) as u8).collect::<Vec<u8>>()
        })
        .collect()
}

/// Pages of a PDF: its page objects stand uncompressed in what the browser prints.
pub fn pages_of(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    assert!(pages > 0, "no page object found");
    pages
}
