//! The program on a pseudo-terminal, as somebody has it before them: what it shows, and what is typed.

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{Winsize, tcsetwinsize};
use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Child, Command};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

const PATIENCE: Duration = Duration::from_secs(900);

/// Leads the session, and stays until everything was read: what is still on its way is lost with the
/// leader. The sign behind the last line tells that the program has ended.
const LEADER: &str = r#"trap : INT; "$@"; printf '\0'; read -r read"#;
const ENDED: char = '\0';

/// What a terminal shows, as it comes.
pub(crate) struct Screen {
    program: Child,
    keys: fs::File,
    bytes: Receiver<Vec<u8>>,
    /// What came and is no whole sign yet.
    parts: Vec<u8>,
    seen: String,
    /// How much of it was waited for.
    read: usize,
    ended: bool,
}

impl Screen {
    /// Starts the program in a folder, on a terminal that is so wide and has no colour.
    pub(crate) fn of(folder: &Path, columns: u16, arguments: &[&str]) -> Screen {
        let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC)
            .expect("a pseudo-terminal");
        grantpt(&master)
            .and_then(|()| unlockpt(&master))
            .expect("it opens");
        let size = Winsize {
            ws_row: 24,
            ws_col: columns,
            ws_xpixel: 0,
            ws_ypixel: 0,
        };
        tcsetwinsize(&master, size).expect("it has a size");
        let name = ptsname(&master, Vec::new()).expect("it has a name");
        let path = name.to_str().expect("a path");
        let end = || fs::File::options().read(true).write(true).open(path);
        let end = || end().expect("it opens");
        // The terminal of the session sends the signal of its key, whatever this test was started with.
        let mut command = Command::new("env");
        command.args(["--default-signal=INT", "setsid", "--ctty", "--wait"]);
        command.args(["sh", "-c", LEADER, "sh", env!("CARGO_BIN_EXE_wetside")]);
        command.args(arguments).current_dir(folder);
        command
            .env_remove("COLUMNS")
            .env("NO_COLOR", "1")
            .env("LC_ALL", "C.UTF-8");
        command.stdin(end()).stdout(end()).stderr(end());
        let program = command.spawn().expect("the program starts");
        let keys = fs::File::from(master);
        let mut reads = keys.try_clone().expect("another handle");
        let (send, bytes) = channel();
        std::thread::spawn(move || {
            let mut part = [0; 4096];
            while let Ok(read @ 1..) = reads.read(&mut part) {
                if send.send(part[..read].to_vec()).is_err() {
                    break;
                }
            }
        });
        Screen {
            program,
            keys,
            bytes,
            parts: Vec::new(),
            seen: String::new(),
            read: 0,
            ended: false,
        }
    }

    pub(crate) fn type_in(&mut self, keys: &[u8]) {
        self.keys.write_all(keys).expect("it listens");
    }

    pub(crate) fn wait_for(&mut self, words: &str) {
        while !self.seen[self.read..].contains(words) {
            assert!(self.more(), "no `{words}` in {}", self.seen);
        }
        let at = self.seen[self.read..].find(words).unwrap_or(0);
        self.read += at + words.len();
    }

    /// What was shown since it was last asked, once it ends in a prompt; nothing once the program has ended.
    pub(crate) fn prompted(&mut self) -> Option<String> {
        loop {
            let new = &self.seen[self.read..];
            if new.ends_with("\n> ") || new.ends_with("not to> ") {
                let new = new.to_string();
                self.read = self.seen.len();
                return Some(new);
            }
            if !self.more() {
                return None;
            }
        }
    }

    /// Everything that was shown until the program ended.
    pub(crate) fn until_the_end(mut self) -> String {
        while self.more() {}
        self.program.wait().expect("it ends");
        self.seen.replace("\r\n", "\n")
    }

    /// Waits for more; false once there is none.
    fn more(&mut self) -> bool {
        if self.ended {
            return false;
        }
        match self.bytes.recv_timeout(PATIENCE) {
            Ok(part) => {
                // A sign may lie over two parts.
                self.parts.extend(part);
                let whole = match std::str::from_utf8(&self.parts) {
                    Ok(_) => self.parts.len(),
                    Err(cut) => cut.valid_up_to(),
                };
                let new: Vec<u8> = self.parts.drain(..whole).collect();
                self.seen.push_str(&String::from_utf8_lossy(&new));
                self.ended = self.seen.ends_with(ENDED);
                if self.ended {
                    self.seen.pop();
                    self.type_in(b"\n");
                }
                true
            }
            Err(RecvTimeoutError::Disconnected) => false,
            Err(RecvTimeoutError::Timeout) => panic!("nothing more after {}", self.seen),
        }
    }
}

/// A test that fails leaves no program behind.
impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}
