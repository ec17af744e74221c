//! The message that carries a letter: text, HTML and attachments. Sends nothing, reads no disk and no clock: the same
//! draft gives the same bytes.

use crate::claim::letter::clean;
use chrono::{DateTime, Utc};
use lettre::message::header::{ContentTransferEncoding, ContentType, HeaderName, HeaderValue};
use lettre::message::{Attachment, Body, Mailbox, MultiPart, SinglePart};
use lettre::{Address, Message};
use sha2::{Digest, Sha256};
use std::time::SystemTime;

/// The most that all attachments together may have; mail servers commonly refuse more than 25 MB once encoded.
pub const MOST_ATTACHED: usize = 15 * 1024 * 1024;

/// A file that goes with a letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attached {
    /// Its name, without a folder.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// A message to be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// The shop's name.
    pub from_name: String,
    /// The shop's address.
    pub from: String,
    /// The recipient's name, before its address.
    pub to_name: Option<String>,
    /// Every recipient's address; at least one.
    pub to: Vec<String>,
    /// One line.
    pub subject: String,
    /// The letter as text.
    pub text: String,
    /// The letter as HTML.
    pub html: String,
    /// What goes with it.
    pub attached: Vec<Attached>,
    /// What the message is about, for its Message-ID: the claim's number and the letter's kind.
    pub about: String,
    /// The moment it bears.
    pub date: DateTime<Utc>,
}

/// A message, ready to go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mail {
    /// Its Message-ID, with angle brackets.
    pub message_id: String,
    /// Who sends it.
    pub from: String,
    /// Who gets it.
    pub to: Vec<String>,
    /// The bytes as they go over the wire, lines ending with CRLF.
    pub bytes: Vec<u8>,
}

/// Makes the message. `unsent` marks a file that a mail program opens as a draft (`X-Unsent: 1`); `message_id` gives a
/// message that may have gone its first id again.
///
/// # Errors
/// An address that is none; attachments larger than `MOST_ATTACHED` together; in words, with what to do.
pub fn message(draft: &Draft, unsent: bool, message_id: Option<&str>) -> Result<Mail, String> {
    let size: usize = draft.attached.iter().map(|file| file.bytes.len()).sum();
    if size > MOST_ATTACHED {
        return Err(format!(
            "the attachments have {} MB, at most {} MB go in one message; leave some out or send a link to them",
            size.div_ceil(1024 * 1024),
            MOST_ATTACHED / (1024 * 1024)
        ));
    }
    let from = address(&draft.from)?;
    if draft.to.is_empty() {
        return Err("no recipient: the supplier's file gives no e-mail address".to_owned());
    }
    let mut to = Vec::new();
    for recipient in &draft.to {
        to.push(address(recipient)?);
    }
    let hash = digest(draft);
    let id = match message_id {
        Some(id) if is_message_id(id) => id.to_owned(),
        Some(id) => return Err(format!("`{id}` is no Message-ID")),
        None => format!("<{}.{}@{}>", slug(&draft.about), &hash[..32], from.domain()),
    };
    let mut builder = Message::builder()
        .from(Mailbox::new(Some(clean::line(&draft.from_name)), from))
        .subject(clean::line(&draft.subject))
        .date(SystemTime::from(draft.date))
        .message_id(Some(id.clone()));
    for (place, address) in to.into_iter().enumerate() {
        let name = draft.to_name.as_deref().filter(|_| place == 0);
        builder = builder.to(Mailbox::new(name.map(clean::line), address));
    }
    if unsent {
        builder = builder.raw_header(HeaderValue::new(
            HeaderName::new_from_ascii_str("X-Unsent"),
            "1".to_owned(),
        ));
    }
    let letter = MultiPart::alternative()
        .boundary(format!("=_letter_{}", &hash[..40]))
        .singlepart(SinglePart::plain(draft.text.clone()))
        .singlepart(SinglePart::html(draft.html.clone()));
    let mut whole = MultiPart::mixed()
        .boundary(format!("=_claim_{}", &hash[..40]))
        .multipart(letter);
    for file in &draft.attached {
        let name = file_name(&file.name);
        let kind = content_type(&name);
        // Always base64: as text, a mail system might change its line ends, and with them its hash.
        let body = Body::new_with_encoding(file.bytes.clone(), ContentTransferEncoding::Base64)
            .map_err(|_| format!("`{name}` cannot be attached"))?;
        whole = whole.singlepart(Attachment::new(name).body(body, kind));
    }
    let message = builder
        .multipart(whole)
        .map_err(|error| format!("the message cannot be made: {error}"))?;
    Ok(Mail {
        message_id: id,
        from: draft.from.clone(),
        to: draft.to.clone(),
        bytes: message.formatted(),
    })
}

/// Returns an address, or the words that say why it is none.
fn address(text: &str) -> Result<Address, String> {
    let harmless = text.is_ascii() && !text.contains(|c: char| c.is_control() || c.is_whitespace());
    text.parse()
        .ok()
        .filter(|_| harmless)
        .ok_or_else(|| format!("`{}` is no e-mail address", clean::line(text)))
}

/// Returns whether an id may stand in a header: `<left@right>`, printable ASCII.
fn is_message_id(id: &str) -> bool {
    id.len() <= 200
        && id.starts_with('<')
        && id.ends_with('>')
        && id.matches('@').count() == 1
        && id[1..id.len() - 1]
            .chars()
            .all(|c| c.is_ascii_graphic() && c != '<' && c != '>')
}

/// Hashes all that a reader sees. Not the moment: a draft made again is the same message.
fn digest(draft: &Draft) -> String {
    let mut hasher = Sha256::new();
    let mut part = |bytes: &[u8]| {
        hasher.update(u64::try_from(bytes.len()).unwrap_or(u64::MAX).to_be_bytes());
        hasher.update(bytes);
    };
    for text in [
        &draft.from,
        &draft.about,
        &draft.subject,
        &draft.text,
        &draft.html,
    ] {
        part(text.as_bytes());
    }
    for recipient in &draft.to {
        part(recipient.as_bytes());
    }
    for file in &draft.attached {
        part(file.name.as_bytes());
        part(&file.bytes);
    }
    hex(&hasher.finalize())
}

/// Returns the SHA-256 of bytes in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn slug(text: &str) -> String {
    let slug: String = text
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .take(40)
        .collect();
    slug.trim_matches('-').to_owned()
}

/// Returns a file's name as it may stand in a header: no folder, no control characters, not too long.
pub fn file_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let name: String = clean::line(last)
        .chars()
        .map(|c| {
            if matches!(c, '"' | ';' | '<' | '>' | ':' | '|' | '?' | '*') {
                '_'
            } else {
                c
            }
        })
        .collect();
    let name = name.trim_start_matches('.').trim();
    let count = name.chars().count();
    // The end of a long name tells what it is.
    let name: String = name.chars().skip(count.saturating_sub(80)).collect();
    if name.is_empty() {
        "enclosure".to_owned()
    } else {
        name
    }
}

fn content_type(name: &str) -> ContentType {
    let extension = name
        .rsplit('.')
        .next()
        .unwrap_or_default()
        .to_ascii_lowercase();
    let text = match extension.as_str() {
        "jpg" | "jpeg" => "image/jpeg",
        "png" => "image/png",
        "pdf" => "application/pdf",
        _ => "application/octet-stream",
    };
    ContentType::parse(text).unwrap_or(ContentType::TEXT_PLAIN)
}

/// Returns a page for a letter whose text the owner changed: the same words, lines as they are.
pub fn page_of(subject: &str, text: &str) -> String {
    let escaped = handlebars::html_escape(text);
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>\n  \
         @page {{ size: letter; margin: 14mm 19mm; }}\n  pre {{ font: 10.5pt/1.35 Georgia, \"Times New Roman\", serif; \
         white-space: pre-wrap; overflow-wrap: anywhere; max-width: 44rem; }}\n</style>\n</head>\n<body>\n<pre>{escaped}</pre>\n\
         </body>\n</html>\n",
        handlebars::html_escape(&clean::line(subject))
    )
}

#[cfg(test)]
mod tests {
    use super::{Attached, Draft, MOST_ATTACHED, file_name, is_message_id, message};

    fn draft() -> Draft {
        Draft {
            from_name: "Marrow Lane Millwork".into(),
            from: "claims@marrow.example".into(),
            to_name: Some("Quillfeather".into()),
            to: vec!["claims@quillfeather.example".into()],
            subject: "Order PO-1".into(),
            text: "One\nTwo\n".into(),
            html: "<p>One</p>\n".into(),
            attached: vec![Attached {
                name: "1-crate.jpg".into(),
                bytes: vec![1, 2, 3],
            }],
            about: "C-1 notice".into(),
            date: "2026-03-19T12:00:00Z".parse().unwrap(),
        }
    }

    #[test]
    fn the_same_draft_gives_the_same_bytes_and_another_gives_another_id() {
        let first = message(&draft(), true, None).unwrap();
        assert_eq!(first, message(&draft(), true, None).unwrap());
        let mut other = draft();
        other.text.push('x');
        assert_ne!(
            first.message_id,
            message(&other, true, None).unwrap().message_id
        );
        assert!(is_message_id(&first.message_id), "{}", first.message_id);
        let text = String::from_utf8(first.bytes).unwrap();
        assert!(text.contains("X-Unsent: 1\r\n"));
        let sent = message(&draft(), false, None).unwrap();
        assert!(!String::from_utf8(sent.bytes).unwrap().contains("X-Unsent"));
    }

    #[test]
    fn no_name_and_no_subject_adds_a_header() {
        let mut evil = draft();
        evil.subject = "Order\r\nBcc: all@x.example".into();
        evil.from_name = "Shop\r\nBcc: all@x.example".into();
        evil.to_name = Some("A\" <b@x.example>,\r\nBcc: all@x.example".into());
        evil.attached[0].name = "a\r\nBcc: all@x.example\r\n\r\n.jpg".into();
        let text = String::from_utf8(message(&evil, false, None).unwrap().bytes).unwrap();
        assert!(
            !text
                .lines()
                .any(|line| line.to_lowercase().starts_with("bcc")),
            "{text}"
        );
        for address in [
            "a@b.example\r\nBcc: c@d.example",
            "a b@c.example",
            "none",
            "",
            "a@b.example,c@d.example",
        ] {
            let mut evil = draft();
            evil.to = vec![address.into()];
            assert!(message(&evil, false, None).is_err(), "{address}");
        }
        for id in ["<a@b>\r\nBcc: x@y", "a@b", "<a@b@c>", "<a b@c>"] {
            assert!(message(&draft(), false, Some(id)).is_err(), "{id}");
        }
    }

    #[test]
    fn too_much_is_refused_with_what_to_do() {
        let mut large = draft();
        large.attached[0].bytes = vec![0; MOST_ATTACHED + 1];
        let refused = message(&large, false, None).unwrap_err();
        assert!(
            refused.contains("16 MB, at most 15 MB") && refused.contains("leave some out"),
            "{refused}"
        );
    }

    #[test]
    fn a_file_name_has_no_folder() {
        for (name, harmless) in [
            ("../../etc/passwd", "passwd"),
            ("C:\\photos\\a.jpg", "a.jpg"),
            ("...", "enclosure"),
            ("p\u{202e}gpj.exe", "pgpj.exe"),
            ("a;b\".jpg", "a_b_.jpg"),
        ] {
            assert_eq!(file_name(name), harmless);
        }
    }
}
