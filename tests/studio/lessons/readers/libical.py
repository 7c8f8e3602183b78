"""Reads an iCalendar stream with Debian's libical; prints [[uid, start, end, status], …] as JSON.

Run by the system's own Python, which has the GObject bindings: libical.py <file>
"""

import json
import sys

import gi

gi.require_version("ICalGLib", "3.0")
from gi.repository import ICalGLib  # noqa: E402

NAMES = {
    ICalGLib.PropertyStatus.CONFIRMED: "CONFIRMED",
    ICalGLib.PropertyStatus.CANCELLED: "CANCELLED",
}


def main(path: str) -> None:
    with open(path, encoding="utf-8", newline="") as file:
        root = ICalGLib.Component.new_from_string(file.read())
    utc = ICalGLib.Timezone.get_utc_timezone()
    rows = []
    event = root.get_first_component(ICalGLib.ComponentKind.VEVENT_COMPONENT)
    while event is not None:
        start, end = (
            int(time.as_timet_with_zone(utc)) for time in (event.get_dtstart(), event.get_dtend())
        )
        rows.append([event.get_uid(), start, end, NAMES.get(event.get_status(), "?")])
        event = root.get_next_component(ICalGLib.ComponentKind.VEVENT_COMPONENT)
    print(json.dumps(rows))


main(sys.argv[1])
