"""Four independent readers must agree on every start, end and status of two terms.

icalendar (Python), ical.js (npm), libical (Debian, through GObject) and khal, a calendar program
people use. What they should say is computed from the lessons' wall times by zoneinfo alone.
"""

import datetime as dt
import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from studio.lessons import changes, feed, schedule
from studio.lessons.changes import When
from studio.models import Lesson, Student, Studio
from tests.factories import SlotFactory, StudentFactory, StudioFactory, TermFactory

pytestmark = pytest.mark.django_db
READERS = Path(__file__).parent / "readers"
ICAL_JS = Path(__file__).parents[3] / ".node/node_modules/ical.js"
# Four zones that change their clocks in both directions inside the two terms, in both
# hemispheres and once by half an hour only; and one that never changes, at +05:45.
ZONES = [
    "Europe/Lisbon",
    "America/St_Johns",
    "America/Santiago",
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
]
TODAY = dt.date(2026, 8, 31)
Seen = dict[str, tuple[int, int, str]]


def missing(what: str) -> None:
    """A reader that is not there is skipped at home and fails where everything must be checked."""
    if os.environ.get("CI") == "true":
        pytest.fail(what)
    pytest.skip(what)


def a_year(zone: str) -> Studio:
    """Three students, two terms, and something of everything that can happen to a lesson."""
    studio = StudioFactory.create(zone=zone)
    terms = [
        TermFactory.create(studio=studio, starts=dt.date(2026, 9, 1), ends=dt.date(2026, 12, 18)),
        TermFactory.create(studio=studio, starts=dt.date(2027, 1, 11), ends=dt.date(2027, 4, 30)),
    ]
    for number, name in enumerate(("Imani", "Łucja", "Nguyễn")):
        student = StudentFactory.create(family__studio=studio, given_name=name)
        SlotFactory.create(
            studio=studio,
            students=[student],
            weekday=(6, 0, 2)[number],
            starts=dt.time((9, 16, 23)[number], (5, 40, 30)[number]),
            minutes=(30, 45, 60)[number],
            place="Room 2; “upstairs”, left" if number else "",
            first_day=TODAY,
        )
    assert not schedule.fill(studio, terms, TODAY).left_out
    rows = list(Lesson.objects.of(studio).order_by("date", "starts"))
    for row in rows[3::6]:
        changes.move(row, When(row.date + dt.timedelta(days=1), dt.time(12, 10)))
    for row in rows[5::12]:
        changes.cancel(row, "family", dt.datetime(2026, 8, 31, tzinfo=dt.UTC))
    for row in rows[10::12]:
        (lost,) = changes.cancel(row, "teacher", dt.datetime(2026, 8, 31, tzinfo=dt.UTC))
        changes.make_up(lost, When(row.date, dt.time(14, 50)), TODAY)
    return studio


def should_be_seen(studio: Studio) -> Seen:
    zone = ZoneInfo(studio.zone)
    seen = {}
    for row in Lesson.objects.of(studio):
        start = dt.datetime.combine(row.date, row.starts, tzinfo=zone).timestamp()
        status = "CANCELLED" if row.status.startswith("cancelled") else "CONFIRMED"
        seen[str(row.uid)] = (int(start), int(start) + row.minutes * 60, status)
    return seen


def by_icalendar(path: Path) -> Seen:
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    return {
        str(event["UID"]): (
            int(event.decoded("DTSTART").timestamp()),
            int(event.decoded("DTEND").timestamp()),
            str(event["STATUS"]),
        )
        for event in events
    }


def by_ical_js(path: Path) -> Seen:
    node = shutil.which("node")
    if node is None or not ICAL_JS.exists():
        missing("ical.js is not there: npm install --no-save --prefix .node ical.js@2.2.1")
    return _printed([str(node), str(READERS / "ical_js.mjs"), str(ICAL_JS), str(path)])


def by_libical(path: Path) -> Seen:
    python = Path("/usr/bin/python3")
    probe = "import gi; gi.require_version('ICalGLib', '3.0')"
    if not python.exists() or subprocess.run([python, "-c", probe], capture_output=True).returncode:
        missing("libical is not there: sudo apt install gir1.2-ical-3.0 python3-gi")
    return _printed([str(python), str(READERS / "libical.py"), str(path)])


def _printed(command: list[str]) -> Seen:
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 0, done.stderr
    return {uid: (start, end, status) for uid, start, end, status in json.loads(done.stdout)}


def by_khal(path: Path) -> Seen:
    """Import the file as a person would, then list the terms."""
    khal = shutil.which("khal")
    if khal is None:
        missing("khal is not there: sudo apt install khal")
    home = path.parent / "khal"
    (home / "lessons").mkdir(parents=True)
    (home / "config").write_text(
        f"[calendars]\n[[lessons]]\npath = {home}/lessons\n[sqlite]\npath = {home}/khal.db\n"
        "[locale]\nlocal_timezone = UTC\ndefault_timezone = UTC\ntimeformat = %H:%M\n"
        "dateformat = %Y-%m-%d\nlongdateformat = %Y-%m-%d\ndatetimeformat = %Y-%m-%d %H:%M\n"
        "longdatetimeformat = %Y-%m-%d %H:%M\n"
    )

    def run(*words: str) -> str:
        done = subprocess.run(
            [str(khal), "-c", str(home / "config"), *words],
            env={**os.environ, "HOME": str(home), "XDG_DATA_HOME": str(home)},
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    run("import", "--batch", "-a", "lessons", str(path))
    form = "{uid}|{start-long}|{end-long}|{status}"
    listed = run("list", "-f", form, "--day-format", "", "2026-08-30", "2027-05-02")
    seen: Seen = {}
    for line in filter(None, listed.splitlines()):
        uid, start, end, status = line.split("|")
        seen[uid] = (_utc(start), _utc(end), status.strip())
    return seen


def _utc(written: str) -> int:
    return int(dt.datetime.fromisoformat(f"{written}+00:00").timestamp())


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize("reader", [by_icalendar, by_ical_js, by_libical, by_khal])
def test_a_reader_sees_every_lesson_where_it_is(
    zone: str, reader: Callable[[Path], Seen], tmp_path: Path
) -> None:
    studio = a_year(zone)
    lessons = feed.studio_lessons(studio, TODAY).select_related("student")
    names = feed.shown_names(Student.objects.of(studio))
    path = tmp_path / "lessons.ics"
    path.write_bytes(feed.stream(studio, "Lessons", lessons, names))
    expected = should_be_seen(studio)
    assert len(expected) > 90
    assert {status for _, _, status in expected.values()} == {"CONFIRMED", "CANCELLED"}
    assert reader(path) == expected


@pytest.mark.parametrize("zone", ZONES[:4])
def test_both_clock_changes_lie_inside_the_two_terms(zone: str) -> None:
    offsets = [
        dt.datetime(year, month, day, 12, tzinfo=ZoneInfo(zone)).utcoffset()
        for year, month, day in [(2026, 9, 1), (2026, 12, 18), (2027, 1, 11), (2027, 4, 30)]
    ]
    assert offsets[0] != offsets[1]
    assert offsets[2] != offsets[3]
