//! A headless browser: what is typed is typed as keys, what is found amiss is told.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use anyhow::Context;
use serde_json::{Value, json};
use thirtyfour::prelude::*;
use thirtyfour::{ChromiumLikeCapabilities, LoggingPrefsLogLevel};

use crate::{Workshop, read_until};

/// Light of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Light {
    /// Dark letters on a light ground.
    Light,
    /// Light letters on a dark ground.
    Dark,
}

/// A browser; it ends when it is dropped, and its driver after it.
#[derive(Debug)]
pub struct Browser {
    page: WebDriver,
    base: String,
    _driver: Driver,
}

/// The driver's process; it ends when it is dropped.
#[derive(Debug)]
struct Driver(Child);

impl Drop for Driver {
    fn drop(&mut self) {
        // what is not ended here ends with the test
        self.0.kill().ok();
        self.0.wait().ok();
    }
}

/// How long something may take to appear.
const PATIENCE: Duration = Duration::from_secs(20);
/// Passphrase of the people of the tests.
pub const PASSPHRASE: &str = "lamp ladder violet harbour";

impl Browser {
    /// Opens a browser for a workshop.
    ///
    /// # Errors
    /// When Chromium or its driver is missing or does not start.
    pub async fn open(workshop: &Workshop) -> anyhow::Result<Self> {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .context("chromedriver does not start (Debian: apt-get install chromium chromium-driver)")?;
        let printed = driver.stdout.take().context("no stdout")?;
        let driver = Driver(driver);
        let port = read_until(printed, "started successfully on port ")?;
        let port = port.trim_end_matches('.');
        let mut wanted = DesiredCapabilities::chrome();
        for switch in [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--no-first-run",
            "--lang=en-GB",
        ] {
            wanted.add_arg(switch)?;
        }
        wanted.set_logging_prefs("browser", LoggingPrefsLogLevel::All)?;
        let page = WebDriver::new(format!("http://127.0.0.1:{port}"), wanted).await?;
        page.set_implicit_wait_timeout(Duration::ZERO).await?;
        Ok(Self { page, base: workshop.url.clone(), _driver: driver })
    }

    /// Makes the first owner through the pages, who is signed in then.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn set_up(&self, workshop: &Workshop) -> anyhow::Result<()> {
        self.go("/set-up").await?;
        let boxes = [
            ("code", workshop.set_up_code.as_str()),
            ("workshop", "Hasting Lane"),
            ("country", "GB"),
            ("shown_name", "Runa Felding"),
            ("name", "runa"),
            ("passphrase", PASSPHRASE),
        ];
        for (name, text) in boxes {
            self.find(&format!("#{name}")).await?.send_keys(text).await?;
        }
        self.find("main form button").await?.click().await?;
        self.wait_for("header nav").await
    }

    /// Signs in as the owner.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn sign_in(&self) -> anyhow::Result<()> {
        self.sign_in_as("runa").await
    }

    /// Signs in as somebody.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn sign_in_as(&self, name: &str) -> anyhow::Result<()> {
        self.go("/sign-in").await?;
        self.find("#name").await?.send_keys(name).await?;
        self.find("#passphrase").await?.send_keys(PASSPHRASE + Key::Enter).await?;
        self.wait_for("header nav").await
    }

    /// Goes to a path of the workshop.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn go(&self, path: &str) -> anyhow::Result<()> {
        Ok(self.page.goto(format!("{}{path}", self.base)).await?)
    }

    /// Closes the page, and opens a path in a new one.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn reopen(&self, path: &str) -> anyhow::Result<()> {
        let new = self.page.new_tab().await?;
        self.page.close_window().await?;
        self.page.switch_to_window(new).await?;
        self.go(path).await
    }

    /// Posts to the API as whoever is signed in; the id of what was made.
    ///
    /// # Errors
    /// When it is refused.
    pub async fn made(&self, path: &str, body: &Value) -> anyhow::Result<String> {
        let script = format!(
            "return fetch({}, {{ method: 'POST', body: {}, headers: {{ 'content-type': 'application/json', 'idempotency-key': crypto.randomUUID() }} }}).then((reply) => reply.json())",
            json!(path),
            json!(body.to_string())
        );
        let made = self.told(&script).await?;
        made["id"].as_str().map(str::to_owned).with_context(|| format!("{path}: {made}"))
    }

    /// The first element of a selector.
    ///
    /// # Errors
    /// When there is none.
    pub async fn find(&self, selector: &str) -> anyhow::Result<WebElement> {
        self.page.find(By::Css(selector)).await.with_context(|| format!("{selector} is not on the page"))
    }

    /// Visible text of the first element of a selector.
    ///
    /// # Errors
    /// When there is none.
    pub async fn text(&self, selector: &str) -> anyhow::Result<String> {
        Ok(self.find(selector).await?.text().await?)
    }

    /// Waits until a selector finds something.
    ///
    /// # Errors
    /// When it does not in good time; the page's words are told.
    pub async fn wait_for(&self, selector: &str) -> anyhow::Result<()> {
        let script = format!("return document.querySelector({}) !== null", json!(selector));
        self.wait_until(&script).await
    }

    /// Waits until a script's body returns true.
    ///
    /// # Errors
    /// When it does not in good time; the page's words are told.
    pub async fn wait_until(&self, script: &str) -> anyhow::Result<()> {
        let start = std::time::Instant::now();
        while self.told(script).await.ok() != Some(Value::Bool(true)) {
            if start.elapsed() > PATIENCE {
                let words = self.text("body").await.unwrap_or_default();
                anyhow::bail!("not within {PATIENCE:?}: {script}\n{words}");
            }
            std::thread::sleep(Duration::from_millis(30));
        }
        Ok(())
    }

    /// What a script's body returns.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn told(&self, script: &str) -> anyhow::Result<Value> {
        Ok(self.page.execute(script, Vec::new()).await?.json().clone())
    }

    /// Presses keys where the focus is.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn press(&self, keys: impl Into<TypingData>) -> anyhow::Result<()> {
        Ok(self.page.action_chain().send_keys(keys).perform().await?)
    }

    /// Takes an element by the pointer, moves it by so many pixels and lets go.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn drag(&self, element: &WebElement, right: i64, down: i64) -> anyhow::Result<()> {
        element.scroll_into_view().await?;
        Ok(self
            .page
            .action_chain()
            .drag_and_drop_element_by_offset(element, right, down)
            .release()
            .perform()
            .await?)
    }

    /// Moves the focus by the tabulator until it is on the element of an id.
    ///
    /// # Errors
    /// When it is not reached.
    pub async fn tab_to(&self, id: &str) -> anyhow::Result<()> {
        for _ in 0..80 {
            if self.told("return document.activeElement?.id ?? ''").await? == json!(id) {
                return Ok(());
            }
            self.press(Key::Tab + "").await?;
        }
        anyhow::bail!("the tabulator never reaches #{id}")
    }

    /// Violations of accessibility on the page, as axe-core finds them: rule, and what it is found at.
    ///
    /// # Errors
    /// When its script is missing or fails.
    pub async fn violations(&self) -> anyhow::Result<Vec<String>> {
        let path = std::env::var("AXE_SCRIPT")
            .context("AXE_SCRIPT names no script (scripts/test.sh fetches axe-core)")?;
        let script = std::fs::read_to_string(&path).with_context(|| format!("{path} cannot be read"))?;
        self.page.execute(script, Vec::new()).await?;
        let run = "const done = arguments[0];
            axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] })
               .then((found) => done(found.violations), (fault) => done([{ id: String(fault), nodes: [] }]));";
        let found = self.page.execute_async(run, Vec::new()).await?;
        let found = found.json().as_array().cloned().unwrap_or_default();
        Ok(found.iter().map(|violation| format!("{}: {}", violation["id"], places(violation))).collect())
    }

    /// Errors and policy violations that the browser's console tells since it was last asked.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn console_faults(&self) -> anyhow::Result<Vec<String>> {
        let told = self.page.browser_log().await?;
        Ok(told.into_iter().filter(|entry| entry.level == "SEVERE").map(|entry| entry.message).collect())
    }

    /// Shows pages in a width and light.
    ///
    /// # Errors
    /// What the browser says.
    pub async fn look(&self, width: u32, light: Light) -> anyhow::Result<()> {
        let tools = self.page.cdp();
        let scheme = if light == Light::Dark { "dark" } else { "light" };
        let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        tools.send_raw("Emulation.setEmulatedMedia", media).await?;
        let screen = json!({ "width": width, "height": 900, "deviceScaleFactor": 1, "mobile": false });
        tools.send_raw("Emulation.setDeviceMetricsOverride", screen).await?;
        Ok(())
    }

    /// Keeps a picture of what is seen.
    ///
    /// # Errors
    /// What the browser or the disk says.
    pub async fn picture(&self, file: &Path) -> anyhow::Result<()> {
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder)?;
        }
        Ok(self.page.screenshot(file).await?)
    }
}

fn places(violation: &Value) -> String {
    let nodes = violation["nodes"].as_array().map(Vec::as_slice).unwrap_or_default();
    nodes.iter().map(|node| node["target"].to_string()).collect::<Vec<_>>().join(", ")
}
