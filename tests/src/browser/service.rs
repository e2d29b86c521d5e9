//! The real program with the demonstration garden, on a loopback port, stopped by the process id that started it.

use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// How long the program may take to come up.
const PATIENCE: Duration = Duration::from_secs(60);

/// A running `selion`.
pub(super) struct Service {
    data: PathBuf,
    port: u16,
    child: Option<Child>,
    links: Vec<String>,
}

impl Service {
    /// Makes the demonstration garden in a new folder and serves it.
    pub(super) fn demo(name: &str) -> Self {
        let data =
            std::env::temp_dir().join(format!("selion-browser-{name}-{}", std::process::id()));
        let _none_yet = std::fs::remove_dir_all(&data);
        let mut service = Self {
            data,
            port: free_port(),
            child: None,
            links: Vec::new(),
        };
        service.start();
        assert_eq!(
            service.links.len(),
            3,
            "the demonstration prints three links: {:?}",
            service.links
        );
        service
    }

    /// Starts the program on the same folder and port.
    pub(super) fn start(&mut self) {
        let program =
            std::env::var("SELION_PROGRAM").expect("SELION_PROGRAM names the built program");
        let mut child = Command::new(program)
            .arg("demo")
            .args(["--data".as_ref(), self.data.as_os_str()])
            .args(["--port", &self.port.to_string()])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let output = child.stdout.take().unwrap();
        let (tell, told) = std::sync::mpsc::channel();
        // Reads on until the program ends, so that it never stands still for a full pipe.
        std::thread::spawn(move || {
            for line in BufReader::new(output).lines().map_while(Result::ok) {
                let _nobody_listens = tell.send(line);
            }
        });
        self.child = Some(child);
        let begun = Instant::now();
        while std::net::TcpStream::connect(("127.0.0.1", self.port)).is_err() {
            assert!(
                begun.elapsed() < PATIENCE,
                "the program did not open its port"
            );
            std::thread::sleep(Duration::from_millis(50));
        }
        let wanted = if self.links.is_empty() { 3 } else { 0 };
        while self.links.len() < wanted {
            let line = told
                .recv_timeout(PATIENCE)
                .expect("the program prints its links");
            self.links.extend(
                line.split_whitespace()
                    .filter(|word| word.contains("/join#"))
                    .map(str::to_owned),
            );
        }
    }

    /// Ends the program at once, as a power cut would.
    pub(super) fn kill(&mut self) {
        if let Some(mut child) = self.child.take() {
            child.kill().unwrap();
            child.wait().unwrap();
        }
    }

    /// The sign-in link of the coordinator, the member and the helper.
    pub(super) fn link(&self, who: usize) -> &str {
        &self.links[who]
    }

    /// A sign-in link for anybody else of the garden, made beside the running program.
    pub(super) fn invite(&self, member: &str) -> String {
        let program =
            std::env::var("SELION_PROGRAM").expect("SELION_PROGRAM names the built program");
        let made = Command::new(program)
            .args(["invite", "--member", member])
            .args(["--data".as_ref(), self.data.as_os_str()])
            .output()
            .expect("the program starts");
        let link = String::from_utf8_lossy(&made.stdout).trim().to_owned();
        let (_, secret) = link
            .rsplit_once('#')
            .unwrap_or_else(|| panic!("no link: {link} {}", String::from_utf8_lossy(&made.stderr)));
        self.address(&format!("/join#{secret}"))
    }

    /// The address of a screen.
    pub(super) fn address(&self, path: &str) -> String {
        format!("http://localhost:{}{path}", self.port)
    }
}

impl Drop for Service {
    fn drop(&mut self) {
        self.kill();
        let _left_behind = std::fs::remove_dir_all(&self.data);
    }
}

/// A port nobody uses now.
pub(super) fn free_port() -> u16 {
    TcpListener::bind(("127.0.0.1", 0))
        .unwrap()
        .local_addr()
        .unwrap()
        .port()
}

/// Where pictures are kept.
pub(super) fn pictures() -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/pictures");
    std::fs::create_dir_all(&folder).unwrap();
    folder
}
