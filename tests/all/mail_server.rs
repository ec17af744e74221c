//! Messages handed to a real mail server on loopback (aiosmtpd, tests/smtp/server.py) that fails on demand.

use crate::support::root;
use asordered::claim::mail::{Attached, Draft, Mail, message};
use asordered::model::shop::{Mail as Server, Security};
use asordered::post::{Ended, Password, Way, send};
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::time::Duration;
use tempfile::TempDir;

/// A server that runs until it is dropped.
pub struct Running {
    pub folder: TempDir,
    pub starttls: u16,
    pub tls: u16,
    child: Child,
    stdin: Option<ChildStdin>,
}

impl Drop for Running {
    fn drop(&mut self) {
        drop(self.stdin.take());
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Returns whether the tools of these tests are there; says so where they are not.
pub fn tools() -> bool {
    let there = Command::new("python3")
        .args(["-c", "import aiosmtpd"])
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
        && Command::new("openssl")
            .arg("version")
            .stdout(Stdio::null())
            .status()
            .is_ok();
    if !there {
        println!("skipped: python3 with aiosmtpd, or openssl, is not here");
    }
    there
}

/// Starts a server in a mode.
pub fn start(mode: &str, seed: u64) -> Running {
    let folder = TempDir::new().unwrap();
    let mut child = Command::new("python3")
        .arg(root().join("tests/smtp/server.py"))
        .arg(folder.path())
        .args([mode, &seed.to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let stdin = child.stdin.take();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    let ports: Vec<u16> = line
        .split_whitespace()
        .map(|port| port.parse().unwrap())
        .collect();
    Running {
        folder,
        starttls: ports[0],
        tls: ports[1],
        child,
        stdin,
    }
}

/// Returns the Message-IDs that a server took, in order.
pub fn taken(folder: &Path) -> Vec<String> {
    std::fs::read_to_string(folder.join("taken"))
        .unwrap_or_default()
        .lines()
        .map(String::from)
        .collect()
}

fn mail() -> Mail {
    let draft = Draft {
        from_name: "Marrow Lane Millwork".into(),
        from: "claims@marrow.example".into(),
        to_name: Some("Quillfeather Veneers".into()),
        to: vec!["claims@quillfeather.example".into()],
        subject: "Order PO-1: größer, 2 short".into(),
        text: ".\n. a line with a dot\n..two\nGrüße\n".into(),
        html: "<p>Grüße</p>\n".into(),
        attached: vec![Attached {
            name: "1.bin".into(),
            bytes: (0..=255).cycle().take(300_000).collect(),
        }],
        about: "C-1 notice".into(),
        date: "2026-03-19T12:00:00Z".parse().unwrap(),
    };
    message(&draft, false, None).unwrap()
}

struct Try<'a> {
    server: &'a Running,
    security: Security,
    password: &'a str,
    trusted: bool,
    patience: Duration,
}

fn hand_over(attempt: &Try<'_>) -> Ended {
    let mail = mail();
    let server = Server {
        server: "localhost".into(),
        port: match attempt.security {
            Security::StartTls => attempt.server.starttls,
            Security::Tls => attempt.server.tls,
        },
        security: attempt.security,
        user: Some("claims".into()),
        from: mail.from.clone(),
        password_command: None,
    };
    let root = std::fs::read(attempt.server.folder.path().join("ca.pem")).unwrap();
    let way = Way {
        server: &server,
        password: Some(Password::new(attempt.password)),
        root: attempt.trusted.then_some(root),
        patience: attempt.patience,
    };
    send(&way, &mail.from, &mail.to, &mail.bytes)
}

fn usual(server: &Running) -> Try<'_> {
    Try {
        server,
        security: Security::StartTls,
        password: "correct horse\n",
        trusted: true,
        patience: Duration::from_secs(20),
    }
}

#[test]
fn a_message_reaches_the_server_byte_for_byte_by_starttls_and_by_tls() {
    if !tools() {
        return;
    }
    for security in [Security::StartTls, Security::Tls] {
        let server = start("fine", 0);
        let ended = hand_over(&Try {
            security,
            ..usual(&server)
        });
        assert!(
            matches!(&ended, Ended::Taken(words) if words.contains("taken")),
            "{ended:?}"
        );
        let got = std::fs::read(server.folder.path().join("1.eml")).unwrap();
        let sent = mail().bytes;
        // The protocol ends the body with a line of its own.
        let got = got.strip_suffix(b"\r\n").unwrap();
        assert!(
            got == sent || got == sent.strip_suffix(b"\r\n").unwrap(),
            "the bytes differ"
        );
    }
}

#[test]
fn a_refusal_is_told_apart_from_a_message_that_may_have_gone() {
    if !tools() {
        return;
    }
    let modes = [
        (
            "no-starttls",
            false,
            "does not offer to secure the connection",
            0,
        ),
        ("auth-535", false, "cannot sign in", 0),
        ("rcpt-550", false, "no such mailbox", 0),
        ("data-451", false, "try again later", 0),
        ("data-552", false, "too large", 0),
        ("silent-hello", false, "cannot reach", 0),
        ("silent-end", true, "", 0),
        ("cut-hello", false, "cannot reach", 0),
        ("cut-rcpt", false, "the other side cut the connection", 0),
        ("cut-body", true, "", 0),
        ("cut-end", true, "", 0),
        ("cut-taken", true, "", 1),
    ];
    std::thread::scope(|scope| {
        for (mode, may_have_gone, words, takes) in modes {
            scope.spawn(move || {
                let server = start(mode, 0);
                let patience = Duration::from_secs(if mode.starts_with("silent") { 2 } else { 20 });
                let ended = hand_over(&Try {
                    patience,
                    ..usual(&server)
                });
                match &ended {
                    Ended::NotSent(why) => {
                        assert!(!may_have_gone && why.contains(words), "{mode}: {ended:?}");
                    }
                    Ended::MayHaveGone(_) => assert!(may_have_gone, "{mode}: {ended:?}"),
                    Ended::Taken(_) => panic!("{mode}: {ended:?}"),
                }
                assert_eq!(taken(server.folder.path()).len(), takes, "{mode}");
            });
        }
    });
}

#[test]
fn a_server_that_nobody_vouches_for_and_a_wrong_password_get_nothing() {
    if !tools() {
        return;
    }
    let server = start("fine", 0);
    let ended = hand_over(&Try {
        trusted: false,
        ..usual(&server)
    });
    assert!(
        matches!(&ended, Ended::NotSent(why) if why.contains("secured")),
        "{ended:?}"
    );
    let ended = hand_over(&Try {
        password: "wrong",
        ..usual(&server)
    });
    assert!(
        matches!(&ended, Ended::NotSent(why) if why.contains("cannot sign in") && !why.contains("wrong")),
        "{ended:?}"
    );
    assert_eq!(taken(server.folder.path()).len(), 0);
}

#[test]
fn a_password_is_never_shown() {
    assert_eq!(format!("{:?}", Password::new("secret")), "Password(…)");
}
