//! A phone: Chromium of a phone's size with storage of its own, driven through chromedriver.

use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use thirtyfour::prelude::*;
use thirtyfour::{ChromeCapabilities, ChromiumLikeCapabilities};

use super::service::{free_port, pictures};

/// How long something may take to show; a slow machine under load is no defect.
const PATIENCE: Duration = Duration::from_secs(40);

/// chromedriver, stopped by the process id that started it.
pub(super) struct Driver {
    child: Child,
    port: u16,
}

impl Driver {
    pub(super) fn start() -> Self {
        let port = free_port();
        let child = Command::new("chromedriver")
            .arg(format!("--port={port}"))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is installed (Debian's package chromium-driver)");
        let begun = Instant::now();
        while std::net::TcpStream::connect(("127.0.0.1", port)).is_err() {
            assert!(
                begun.elapsed() < PATIENCE,
                "chromedriver did not open its port"
            );
            std::thread::sleep(Duration::from_millis(50));
        }
        Self { child, port }
    }

    /// A new phone with nothing on it.
    pub(super) async fn phone(&self, name: &str) -> Phone {
        self.window(name, 390, 844).await
    }

    /// A window of any size with nothing stored.
    pub(super) async fn window(&self, name: &str, width: u32, height: u32) -> Phone {
        let mut wanted = ChromeCapabilities::new();
        for argument in [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
        ] {
            wanted.add_arg(argument).unwrap();
        }
        wanted
            .add_arg(&format!("--window-size={width},{height}"))
            .unwrap();
        let storage = std::env::temp_dir().join(format!(
            "selion-phone-{name}-{}-{}",
            std::process::id(),
            free_port()
        ));
        wanted
            .add_arg(&format!("--user-data-dir={}", storage.display()))
            .unwrap();
        let driver = WebDriver::new(format!("http://127.0.0.1:{}", self.port), wanted)
            .await
            .unwrap();
        let phone = Phone {
            name: name.to_owned(),
            driver,
            storage,
        };
        phone.resize(width, height).await;
        phone
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let _already_gone = self.child.kill();
        let _already_waited = self.child.wait();
    }
}

/// A browser with storage of its own.
pub(super) struct Phone {
    name: String,
    driver: WebDriver,
    storage: std::path::PathBuf,
}

impl Phone {
    /// Makes the page exactly so large, whatever the window's frame takes.
    pub(super) async fn resize(&self, width: u32, height: u32) {
        let size = serde_json::json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600
        });
        self.driver
            .cdp()
            .send_raw("Emulation.setDeviceMetricsOverride", size)
            .await
            .unwrap();
    }

    pub(super) async fn open(&self, address: &str) {
        self.driver.goto(address).await.unwrap();
    }

    pub(super) async fn reload(&self) {
        self.driver.refresh().await.unwrap();
    }

    /// Everything a person can read on the page.
    pub(super) async fn text(&self) -> String {
        let script = "return document.body ? document.body.innerText : ''";
        let answer = self.driver.execute(script, Vec::new()).await;
        answer
            .ok()
            .and_then(|answer| answer.convert::<String>().ok())
            .unwrap_or_default()
    }

    /// Waits until the page says this.
    pub(super) async fn sees(&self, words: &str) {
        let begun = Instant::now();
        loop {
            let text = self.text().await;
            if text.to_lowercase().contains(&words.to_lowercase()) {
                return;
            }
            if begun.elapsed() > PATIENCE {
                self.lost(&format!("does not see “{words}”")).await;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }

    /// Opens an invite link and uses it, until the phone is in step with the garden.
    pub(super) async fn join(&self, link: &str) {
        self.open(link).await;
        self.sees("Name of this device").await;
        self.run("document.querySelector('form button[type=submit], form .act.main').click()")
            .await;
        self.sees("In step with the garden").await;
    }

    /// Presses the first button or link with these words that can be seen and pressed.
    pub(super) async fn press(&self, words: &str) {
        let path = format!(
            "//*[self::button or self::a or self::summary or @role='button'][contains(normalize-space(.), '{words}') or contains(@aria-label, '{words}')]"
        );
        let begun = Instant::now();
        while !self.press_one_of(&path).await {
            if begun.elapsed() > PATIENCE {
                self.lost(&format!("nothing to press called “{words}”"))
                    .await;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }

    async fn press_one_of(&self, path: &str) -> bool {
        for element in self
            .driver
            .find_all(By::XPath(path))
            .await
            .unwrap_or_default()
        {
            let ready = element.is_displayed().await.unwrap_or(false)
                && element.is_enabled().await.unwrap_or(false);
            if ready && element.scroll_into_view().await.is_ok() && element.click().await.is_ok() {
                return true;
            }
        }
        false
    }

    /// Stops the test with a picture and the words of the page.
    async fn lost(&self, why: &str) -> ! {
        self.picture("lost").await;
        panic!("{}: {why}, but:\n{}", self.name, self.text().await);
    }

    /// Writes into the field with this label.
    pub(super) async fn fill(&self, label: &str, words: &str) {
        let begun = Instant::now();
        let path = format!("//*[@id = //label[contains(normalize-space(.), '{label}')]/@for]");
        loop {
            for element in self
                .driver
                .find_all(By::XPath(path.as_str()))
                .await
                .unwrap_or_default()
            {
                if element.is_displayed().await.unwrap_or(false)
                    && element.clear().await.is_ok()
                    && element.send_keys(words).await.is_ok()
                {
                    return;
                }
            }
            if begun.elapsed() > PATIENCE {
                self.lost(&format!("no field called “{label}”")).await;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }

    /// Fills the last field with this label, or chooses what begins so where it is a choice.
    pub(super) async fn put(&self, label: &str, words: &str) {
        let begun = Instant::now();
        let script = format!(
            "const label = [...document.querySelectorAll('label')].filter(label => label.innerText.trim() === '{label}').at(-1);
            const field = label && document.getElementById(label.htmlFor);
            if (!field) return false;
            const option = [...(field.options ?? [])].find(option => option.text.startsWith('{words}'));
            field.value = option ? option.value : '{words}';
            for (const event of ['input', 'change']) field.dispatchEvent(new Event(event, {{ bubbles: true }}));
            return true"
        );
        while self.run(&script).await != true {
            if begun.elapsed() > PATIENCE {
                self.lost(&format!("no field called “{label}”")).await;
            }
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }

    /// Runs a script in the page and gives its answer.
    pub(super) async fn run(&self, script: &str) -> serde_json::Value {
        self.driver
            .execute(script, Vec::new())
            .await
            .unwrap()
            .json()
            .clone()
    }

    /// Runs a script that is waited for, once another has run, and gives its answer.
    pub(super) async fn run_later(&self, before: &str, script: &str) -> serde_json::Value {
        self.driver.set_script_timeout(PATIENCE).await.unwrap();
        self.driver.execute(before, Vec::new()).await.unwrap();
        let waited_for = format!(
            "const done = arguments[arguments.length - 1];
            (async () => {{ {script} }})().then(done, trouble => done({{ trouble: String(trouble) }}));"
        );
        let answer = self.driver.execute_async(&waited_for, Vec::new()).await;
        answer.unwrap().json().clone()
    }

    /// Keeps a picture of what is on the screen.
    pub(super) async fn picture(&self, what: &str) {
        let file = pictures().join(format!("{}-{what}.png", self.name));
        self.driver.screenshot(&file).await.unwrap();
    }

    /// Puts the phone away.
    pub(super) async fn put_away(self) {
        self.driver.quit().await.unwrap();
        let _left_behind = std::fs::remove_dir_all(&self.storage);
    }
}
