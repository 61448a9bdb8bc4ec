# SPDX-License-Identifier: MIT
#
# usage: fieldkit_calendar.py FILE
# Reads a calendar with python3-icalendar and prints one line per event, sorted by day:
# UID|first day|last day + 1|SUMMARY|number of description lines|latitude|longitude
import sys

try:
    import icalendar
except ImportError:
    print("SKIPPED: python3-icalendar is not installed")
    sys.exit(77)

with open(sys.argv[1], "rb") as file:
    calendar = icalendar.Calendar.from_ical(file.read())
assert calendar["VERSION"] == "2.0", calendar["VERSION"]
assert calendar["PRODID"]
lines = []
for event in calendar.walk("VEVENT"):
    assert event["DTSTAMP"].dt.tzinfo is not None, "DTSTAMP is to be UTC"
    assert not event.errors, event.errors
    lines.append("|".join([str(event["UID"]), event["DTSTART"].dt.isoformat(),
                           event["DTEND"].dt.isoformat(), str(event["SUMMARY"]),
                           str(len(str(event["DESCRIPTION"]).split("\n"))),
                           "%.6f" % event["GEO"].latitude, "%.6f" % event["GEO"].longitude]))
for line in sorted(lines, key=lambda line: (line.split("|")[1], line)):
    print(line)
