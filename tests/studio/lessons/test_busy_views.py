import datetime as dt
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from studio.models import BusyTime, Student, Studio
from tests.conftest import FrozenClock
from tests.factories import LessonFactory

pytestmark = pytest.mark.usefixtures("frozen")
PREVIEW, TAKE = "/calendar/busy/preview/", "/calendar/busy/take/"
FILE = b"""BEGIN:VCALENDAR
VERSION:2.0
BEGIN:VEVENT
UID:quartet
SUMMARY:Quartet <rehearsal>
DTSTART;TZID=Europe/Lisbon:20261126T190000
DTEND;TZID=Europe/Lisbon:20261126T210000
RRULE:FREQ=WEEKLY;COUNT=3
END:VEVENT
BEGIN:VEVENT
UID:birthday
SUMMARY:Birthday
DTSTART;VALUE=DATE:20261201
END:VEVENT
END:VCALENDAR
""".replace(b"\n", b"\r\n")


def upload(client: Client, content: bytes = FILE, name: str = "mine.ics") -> str:
    response = client.post(PREVIEW, {"file": SimpleUploadedFile(name, content)})
    assert response.status_code == 200
    return response.content.decode()


def held(page: str) -> str:
    found = re.search(r'name="held" value="([^"]+)"', page)
    assert found is not None
    return found[1]


def test_a_file_is_looked_at_first_and_nothing_is_kept(signed_in: Client, studio: Studio) -> None:
    page = upload(signed_in)
    assert "Quartet &lt;rehearsal&gt;" in page
    assert "Thu 26 Nov 2026, 19:00 to 21:00" in page
    assert "3 times up to 10 Dec 2026" in page
    assert page.count("checked") == 1  # whole days wait for a tick of their own
    assert not BusyTime.objects.exists()


def test_what_is_ticked_is_kept_and_a_second_time_replaces_it(
    signed_in: Client, studio: Studio
) -> None:
    for _ in range(2):
        signed_in.post(TAKE, {"held": held(upload(signed_in)), "event": ["0"]})
        assert BusyTime.objects.filter(studio=studio).count() == 3
    first = BusyTime.objects.first()
    assert first is not None
    assert first.starts == dt.datetime(2026, 11, 26, 19, tzinfo=dt.UTC)
    signed_in.post("/calendar/busy/forget/", {"source": "mine.ics"})
    assert not BusyTime.objects.exists()


def test_times_on_lessons_are_told(signed_in: Client, student: Student) -> None:
    LessonFactory.create(student=student, date=dt.date(2026, 11, 26), starts=dt.time(20, 30))
    assert "1 of these times lies on a lesson" in upload(signed_in)


def test_what_was_held_cannot_be_changed_kept_for_long_or_used_by_another(
    signed_in: Client, client: Client, studio: Studio, other_studio: Studio, frozen: FrozenClock
) -> None:
    token = held(upload(signed_in))
    assert (
        "too long ago" in signed_in.post(TAKE, {"held": token + "x"}, follow=True).content.decode()
    )
    stranger = Client()
    stranger.force_login(other_studio.owner)
    stranger.post(TAKE, {"held": token, "event": ["0"]})
    assert not BusyTime.objects.exists()
    assert studio.pk != other_studio.pk


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"no calendar at all", "This is no calendar file"),
        (b"", "The file is empty."),
        (b"BEGIN:VCALENDAR" + b" " * (20 * 1024 * 1024), "has 20 MB; at most 4 MB can be taken"),
    ],
)
@pytest.mark.usefixtures("studio")
def test_a_bad_file_is_refused_with_the_reason(
    signed_in: Client, content: bytes, sentence: str
) -> None:
    response = signed_in.post(PREVIEW, {"file": SimpleUploadedFile("mine.ics", content)})
    assert response.status_code == 422
    assert sentence in response.content.decode()


@pytest.mark.usefixtures("studio")
def test_no_file_at_all_is_asked_for(signed_in: Client) -> None:
    response = signed_in.post(PREVIEW, {})
    assert response.status_code == 422
    assert "Choose a calendar file first." in response.content.decode()


def test_one_studio_does_not_forget_for_another(
    signed_in: Client, studio: Studio, other_studio: Studio
) -> None:
    starts = dt.datetime(2026, 11, 26, 9, tzinfo=dt.UTC)
    for one in (studio, other_studio):
        BusyTime.objects.create(
            studio=one, source="mine.ics", starts=starts, ends=starts + dt.timedelta(hours=1)
        )
    signed_in.post("/calendar/busy/forget/", {"source": "mine.ics"})
    assert [row.studio for row in BusyTime.objects.all()] == [other_studio]
