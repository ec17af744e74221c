//! EDGE: the mail server. Hands one message over and says how that ended. Keeps nothing, asks nothing, tries once.
//!
//! The connection is always secured: STARTTLS is required before anything is said, or TLS from the first byte. How a
//! message ended is told apart by where it ended: until the body was begun nothing has gone; a refusal by the server
//! is a refusal; a connection that breaks once the body was begun leaves it open whether the message was taken.

use crate::model::shop::{Mail as Server, Security};
use crate::model::words::evenly_spaced;
use lettre::Address;
use lettre::transport::smtp::Error;
use lettre::transport::smtp::authentication::{Credentials, Mechanism};
use lettre::transport::smtp::client::{Certificate, SmtpConnection, TlsParameters};
use lettre::transport::smtp::commands::{Data, Mail as MailFrom, Rcpt};
use lettre::transport::smtp::extension::{ClientId, Extension, MailBodyParameter, MailParameter};
use std::fmt::{self, Debug, Formatter};
use std::time::Duration;

/// How handing over a message ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ended {
    /// The server took it; its words.
    Taken(String),
    /// It did not go, and why.
    NotSent(String),
    /// The connection broke after the body was begun: it may have gone; what broke.
    MayHaveGone(String),
}

/// A password. Shows itself to nobody.
#[derive(Clone)]
pub struct Password(String);

impl Password {
    /// Makes one of a line of text, without the line's end.
    pub fn new(text: &str) -> Self {
        Password(text.trim_end_matches(['\r', '\n']).to_owned())
    }
}

impl Debug for Password {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str("Password(…)")
    }
}

/// How a server is reached.
#[derive(Debug, Clone)]
pub struct Way<'a> {
    /// The server.
    pub server: &'a Server,
    /// The password, where the server wants one.
    pub password: Option<Password>,
    /// A root certificate to trust beside the system's, PEM.
    pub root: Option<Vec<u8>>,
    /// How long a silent server is waited for.
    pub patience: Duration,
}

/// Hands a message over, once.
pub fn send(way: &Way<'_>, from: &str, to: &[String], bytes: &[u8]) -> Ended {
    let mut connection = match prepared(way, from, to, bytes) {
        Ok(connection) => connection,
        Err(why) => return Ended::NotSent(why),
    };
    let ended = match connection.message(bytes) {
        Ok(response) => Ended::Taken(words(response.message())),
        Err(error) if error.status().is_some() => Ended::NotSent(said(&error)),
        Err(error) => Ended::MayHaveGone(said(&error)),
    };
    match ended {
        Ended::Taken(_) => {
            // The message is theirs now; whether they say good-bye changes nothing.
            let _ = connection.quit();
        }
        Ended::NotSent(_) | Ended::MayHaveGone(_) => connection.abort(),
    }
    ended
}

/// Connects, secures, signs in and names sender and recipients; the server is then ready for the body.
fn prepared(
    way: &Way<'_>,
    from: &str,
    to: &[String],
    bytes: &[u8],
) -> Result<SmtpConnection, String> {
    let server = way.server;
    let address = |text: &str| -> Result<Address, String> {
        text.parse()
            .map_err(|_| format!("`{text}` is no e-mail address"))
    };
    let sender = address(from)?;
    let recipients: Vec<Address> = to.iter().map(|to| address(to)).collect::<Result<_, _>>()?;
    let tls = parameters(way)?;
    let hello = ClientId::Domain(sender.domain().to_owned());
    let implicit = match server.security {
        Security::Tls => Some(&tls),
        Security::StartTls => None,
    };
    let target = (server.server.as_str(), server.port);
    let mut connection =
        SmtpConnection::connect(target, Some(way.patience), &hello, implicit, None).map_err(
            |error| {
                format!(
                    "cannot reach `{}` at port {}: {}",
                    server.server,
                    server.port,
                    said(&error)
                )
            },
        )?;
    if server.security == Security::StartTls {
        if !connection.can_starttls() {
            connection.abort();
            return Err(format!(
                "`{}` does not offer to secure the connection (STARTTLS); nothing was said to it",
                server.server
            ));
        }
        connection
            .starttls(&tls, &hello)
            .map_err(|error| format!("the connection cannot be secured: {}", said(&error)))?;
    }
    if let Some(user) = &server.user {
        let Some(Password(password)) = &way.password else {
            connection.abort();
            return Err(format!("no password for `{user}`"));
        };
        let credentials = Credentials::new(user.clone(), password.clone());
        connection
            .auth(&[Mechanism::Plain, Mechanism::Login], &credentials)
            .map_err(|error| format!("`{user}` cannot sign in: {}", said(&error)))?;
    }
    let refused = |connection: &mut SmtpConnection, what: &str, error: &Error| {
        connection.abort();
        format!("{what}: {}", said(error))
    };
    let mut options = Vec::new();
    if !bytes.is_ascii() {
        if !connection
            .server_info()
            .supports_feature(Extension::EightBitMime)
        {
            connection.abort();
            return Err(
                "the server takes ASCII only, and the message has other characters".to_owned(),
            );
        }
        options.push(MailParameter::Body(MailBodyParameter::EightBitMime));
    }
    if let Err(error) = connection.command(MailFrom::new(Some(sender), options)) {
        return Err(refused(
            &mut connection,
            &format!("the sender `{from}` was refused"),
            &error,
        ));
    }
    for (recipient, text) in recipients.into_iter().zip(to) {
        if let Err(error) = connection.command(Rcpt::new(recipient, Vec::new())) {
            return Err(refused(
                &mut connection,
                &format!("the recipient `{text}` was refused"),
                &error,
            ));
        }
    }
    if let Err(error) = connection.command(Data) {
        return Err(refused(
            &mut connection,
            "the server refused the message",
            &error,
        ));
    }
    Ok(connection)
}

fn parameters(way: &Way<'_>) -> Result<TlsParameters, String> {
    let mut builder = TlsParameters::builder(way.server.server.clone());
    if let Some(root) = &way.root {
        let certificate = Certificate::from_pem(root)
            .map_err(|error| format!("the root certificate cannot be read: {error}"))?;
        builder = builder.add_root_certificate(certificate);
    }
    builder
        .build()
        .map_err(|error| format!("the connection cannot be secured: {error}"))
}

/// Returns what went wrong on one line, the server's own words included.
fn said(error: &Error) -> String {
    let mut text = error.to_string();
    if let Some((before, _)) = text.split_once(": peer closed connection") {
        text = format!("{before}: the other side cut the connection");
    }
    let mut source = std::error::Error::source(error);
    while let Some(cause) = source {
        // The library explains itself with an address; the owner needs the fact.
        let more = match cause.to_string() {
            more if more.contains("close_notify") => "the other side cut the connection".to_owned(),
            more => more,
        };
        if !text.contains(&more) {
            text = format!("{text}: {more}");
        }
        source = cause.source();
    }
    words([text.as_str()].into_iter())
}

/// Joins a server's lines to one, printable and not too long: a server may say anything.
fn words<'w>(lines: impl Iterator<Item = &'w str>) -> String {
    let joined = lines.collect::<Vec<_>>().join(" ");
    let plain: String = joined
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(300)
        .collect();
    evenly_spaced(&plain)
}
