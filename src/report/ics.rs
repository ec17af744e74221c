//! What is due as calendar events (RFC 5545). All-day events, because a last day is a date and no moment; when to
//! be reminded is the calendar's to say. Decides nothing.

use crate::claim::due::Due;
use chrono::{DateTime, Days, Utc};
use icalendar::{Calendar, Component, Event, EventLike};
use std::collections::HashMap;

/// Returns a calendar. `now` stamps its events; the same thing due has the same UID in every calendar, so that a
/// calendar program moves the event instead of adding another.
pub fn calendar(due: &[Due], now: DateTime<Utc>) -> String {
    let mut calendar = Calendar::empty();
    for (name, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//asordered//due//EN"),
        ("CALSCALE", "GREGORIAN"),
    ] {
        calendar.append_property((name, value));
    }
    calendar.name("asordered");
    let mut seen: HashMap<String, usize> = HashMap::new();
    for one in due {
        let uid = one.uid();
        let times = seen.entry(uid.clone()).or_default();
        *times += 1;
        // Two rules of one claim: the second and third get a number.
        let uid = if *times == 1 {
            uid
        } else {
            format!("{times}-{uid}")
        };
        let mut event = Event::new();
        event
            .uid(&uid)
            .timestamp(now)
            .summary(&one.text)
            .description(&format!("to do: {}", one.todo))
            .starts(one.day)
            .ends(one.day.checked_add_days(Days::new(1)).unwrap_or(one.day));
        calendar.push(event.done());
    }
    calendar.done().to_string()
}

#[cfg(test)]
mod tests {
    use super::calendar;
    use crate::claim::due::{Due, DueKind};
    use chrono::{DateTime, Utc};

    fn due(kind: DueKind, text: &str) -> Due {
        Due {
            day: "2026-03-23".parse().unwrap(),
            kind,
            order: "PO-1".to_owned(),
            claim: Some("PO-1-C1".to_owned()),
            text: text.to_owned(),
            todo: "asordered claim show PO-1-C1".to_owned(),
        }
    }

    #[test]
    fn an_event_is_all_day_with_a_stable_uid_and_folded_lines() {
        let now: DateTime<Utc> = "2026-03-20T10:00:00Z".parse().unwrap();
        let long = "tell them; what is wrong, line by line: ".repeat(5);
        let text = calendar(
            &[
                due(DueKind::Send, &long),
                due(DueKind::Rule, "a"),
                due(DueKind::Rule, "b"),
            ],
            now,
        );
        for line in [
            "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//asordered//due//EN\r\n",
            "UID:PO-1-C1-send@asordered\r\n",
            "UID:PO-1-C1-rule@asordered\r\n",
            "UID:2-PO-1-C1-rule@asordered\r\n",
            "DTSTART;VALUE=DATE:20260323\r\n",
            "DTEND;VALUE=DATE:20260324\r\n",
            "DTSTAMP:20260320T100000Z\r\n",
        ] {
            assert!(text.contains(line), "no {line:?} in {text}");
        }
        // RFC 5545 3.1: lines of at most 75 octets, ended with CRLF.
        assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
        assert!(text.matches('\n').count() == text.matches("\r\n").count());
    }

    #[test]
    fn the_same_day_gives_the_same_bytes() {
        let now: DateTime<Utc> = "2026-03-20T10:00:00Z".parse().unwrap();
        let all = [due(DueKind::Send, "a")];
        assert_eq!(calendar(&all, now), calendar(&all, now));
    }
}
