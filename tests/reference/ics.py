"""Reads a calendar with Python icalendar and prints its events, one a line: UID, first day, day after the last.

Run: python3 tests/reference/ics.py FILE   (icalendar)
"""
import sys

import icalendar

calendar = icalendar.Calendar.from_ical(open(sys.argv[1], "rb").read())
assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
for event in calendar.walk("VEVENT"):
    assert not event.errors and event["SUMMARY"] and event.decoded("DTSTAMP").tzinfo
    print(event["UID"], event.decoded("DTSTART"), event.decoded("DTEND"))
