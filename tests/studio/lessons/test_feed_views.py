import datetime as dt
import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.http import content_disposition_header
from icalendar import Calendar

from studio.access.models import Allowance
from studio.lessons import addresses, changes
from studio.lessons.changes import When
from studio.links import tokens
from studio.links.guessing import WRONG_LINKS
from studio.models import Family, HomeLink, Lesson, Student, Studio
from tests.conftest import NOON, FrozenClock
from tests.factories import LessonFactory, StudentFactory

FRIDAY = dt.date(2026, 11, 27)


@pytest.fixture
def lesson(student: Student) -> Lesson:
    return LessonFactory.create(student=student, date=FRIDAY)


def feed_of(family: Family) -> str:
    return reverse("lessons:feed", args=[tokens.issue(_link(family))])


def _link(family: Family) -> HomeLink:
    return HomeLink(family=family, opens=HomeLink.Opens.CALENDAR)


@pytest.mark.usefixtures("lesson", "frozen")
def test_a_family_reads_its_own_lessons_without_signing_in(
    client: Client, studio: Studio, family: Family
) -> None:
    StudentFactory.create(family__studio=studio, given_name="Aroha")
    LessonFactory.create(student=Student.objects.get(given_name="Aroha"), date=FRIDAY)
    response = client.get(feed_of(family))
    assert response.status_code == 200
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    calendar = Calendar.from_ical(response.content)
    assert [event["SUMMARY"] for event in calendar.walk("VEVENT")] == ["Violin lesson, Imani"]
    assert "sessionid" not in response.cookies


@pytest.mark.usefixtures("lesson", "frozen")
def test_the_stream_names_its_own_address_as_its_source(client: Client, family: Family) -> None:
    address = feed_of(family)
    calendar = Calendar.from_ical(client.get(address).content)
    assert str(calendar["SOURCE"]) == f"http://testserver{address}"


@pytest.mark.usefixtures("frozen")
def test_an_unchanged_calendar_is_not_sent_twice(
    client: Client, family: Family, lesson: Lesson
) -> None:
    address = feed_of(family)
    mark = client.get(address)["ETag"]
    again = client.get(address, headers={"If-None-Match": mark})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", mark)
    changes.move(lesson, When(FRIDAY, dt.time(10)))
    changed = client.get(address, headers={"If-None-Match": mark})
    assert changed.status_code == 200
    assert changed["ETag"] != mark


def test_a_change_after_the_clock_was_set_back_is_sent(
    client: Client, family: Family, lesson: Lesson, frozen: FrozenClock
) -> None:
    """The other lesson was changed while the clock was ahead, and stays the last changed."""
    ahead = LessonFactory.create(student=lesson.student, date=FRIDAY + dt.timedelta(days=7))
    Lesson.objects.filter(pk=ahead.pk).update(changed=NOON + dt.timedelta(days=400))
    address = feed_of(family)
    before = client.get(address)
    Lesson.objects.filter(pk=lesson.pk).update(changed=NOON + dt.timedelta(days=300))
    lesson.refresh_from_db()
    changes.move(lesson, When(FRIDAY, dt.time(10)))
    after = client.get(address, headers={"If-None-Match": before["ETag"]})
    assert after.status_code == 200
    told = [
        {str(event["UID"]): event for event in Calendar.from_ical(each.content).walk("VEVENT")}
        for each in (before, after)
    ]
    was, now = (each[next(uid for uid in each if str(lesson.uid) in uid)] for each in told)
    assert int(str(now["SEQUENCE"])) > int(str(was["SEQUENCE"]))
    assert now["DTSTART"].to_ical() != was["DTSTART"].to_ical()


@pytest.mark.usefixtures("lesson", "frozen")
def test_reading_costs_few_questions_to_the_database(
    client: Client, family: Family, django_assert_max_num_queries: object
) -> None:
    address = feed_of(family)
    mark = client.get(address)["ETag"]
    with django_assert_max_num_queries(5):  # type: ignore[operator]
        client.get(address)
    with django_assert_max_num_queries(4):  # type: ignore[operator]
        client.get(address, headers={"If-None-Match": mark})


def test_wrong_old_revoked_and_foreign_addresses_get_the_same_answer(
    client: Client, family: Family, student: Student, frozen: FrozenClock
) -> None:
    renewed = _link(family)
    old = tokens.issue(renewed)
    tokens.issue(renewed)
    revoked, expired, home = _link(family), _link(family), _link(family)
    revoked_token = tokens.issue(revoked)
    tokens.revoke(revoked, NOON)
    expired.expires = NOON
    expired_token = tokens.issue(expired)
    home.opens, home.student = HomeLink.Opens.STUDENT, student
    answers = [
        client.get(reverse("lessons:feed", args=[token]))
        for token in ("wrong", old, revoked_token, expired_token, tokens.issue(home))
    ]
    assert {answer.status_code for answer in answers} == {404}
    secrets = rb'name="csrf-token" content="[^"]*"'
    assert len({re.sub(secrets, b"", answer.content) for answer in answers}) == 1
    assert frozen.moment == NOON


def test_guessing_is_slowed_down_and_a_right_address_works_on(
    client: Client, family: Family, frozen: FrozenClock
) -> None:
    right = feed_of(family)
    for number in range(WRONG_LINKS.tries):
        assert client.get(f"/calendars/guess-{number}/lessons.ics").status_code == 404
    slowed = client.get("/calendars/guess/lessons.ics")
    assert slowed.status_code == 429
    assert int(slowed["Retry-After"]) > 0
    assert client.get(right).status_code == 200
    assert client.get("/calendars/guess/").status_code == 429
    frozen.move(minutes=15)
    assert client.get("/calendars/guess/lessons.ics").status_code == 404
    assert "guess" not in " ".join(Allowance.objects.values_list("key", flat=True))


@pytest.mark.usefixtures("lesson", "frozen")
def test_the_teachers_own_address_shows_all_families(client: Client, studio: Studio) -> None:
    other = StudentFactory.create(family__studio=studio, given_name="Aroha")
    LessonFactory.create(student=other, date=FRIDAY, starts=dt.time(10))
    link = addresses.renew_teacher(studio, NOON)
    response = client.get(reverse("lessons:feed", args=[tokens.shown_again(link)]))
    names = {event["SUMMARY"] for event in Calendar.from_ical(response.content).walk("VEVENT")}
    assert names == {"Violin lesson, Imani", "Violin lesson, Aroha"}


@pytest.mark.usefixtures("lesson", "frozen")
def test_a_phone_opens_a_page_that_puts_the_lessons_into_its_calendar(
    client: Client, family: Family
) -> None:
    token = tokens.issue(_link(family))
    page = client.get(reverse("lessons:feed-page", args=[token])).content.decode()
    assert f'href="webcal://testserver/calendars/{token}/lessons.ics"' in page
    assert "Friday 27 November" in page
    assert "Okonkwo" not in page


@pytest.mark.usefixtures("frozen")
def test_a_new_address_shuts_the_earlier_one(
    client: Client, signed_in: Client, family: Family
) -> None:
    first = addresses.renew_family(family, NOON)
    address = reverse("lessons:feed", args=[tokens.shown_again(first)])
    signed_in.post(reverse("lessons:family-address-renew", args=[family.pk]))
    assert client.get(address).status_code == 404
    page = signed_in.get(reverse("lessons:family-address", args=[family.pk])).content.decode()
    new = addresses.family_link(family)
    assert new is not None
    assert str(tokens.shown_again(new)) in page
    signed_in.post(reverse("lessons:family-address-revoke", args=[family.pk]))
    assert addresses.family_link(family) is None
    assert signed_in.get(reverse("lessons:family-code", args=[family.pk])).status_code == 404


@pytest.mark.usefixtures("frozen")
def test_missing_addresses_are_made_at_once_and_present_ones_stay(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    kept = addresses.renew_family(student.family, NOON)
    StudentFactory.create(family__studio=studio)
    signed_in.post(reverse("lessons:addresses-missing"))
    assert addresses.family_link(student.family) == kept
    assert HomeLink.objects.filter(revoked=None).count() == 2


@pytest.mark.usefixtures("frozen")
def test_the_list_of_addresses_costs_the_same_for_any_number_of_families(
    signed_in: Client, studio: Studio
) -> None:
    address = reverse("lessons:addresses")
    counts = []
    for families in (2, 9):
        for _ in range(families):
            addresses.renew_family(StudentFactory.create(family__studio=studio).family, NOON)
        with CaptureQueriesContext(connection) as asked:
            signed_in.get(address)
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 7


@pytest.mark.usefixtures("lesson", "frozen")
def test_a_file_of_the_lessons_can_be_taken(signed_in: Client, family: Family) -> None:
    family.name = "Đặng / “Lu”"
    family.save()
    for address, name in [
        (reverse("lessons:family-file", args=[family.pk]), "lessons-đặng-lu.ics"),
        (reverse("lessons:studio-file"), "lessons-achterberg-violin-studio.ics"),
    ]:
        response = signed_in.get(address)
        assert response["Content-Disposition"] == content_disposition_header(True, name)
        assert len(Calendar.from_ical(response.content).walk("VEVENT")) == 1
        assert b"SOURCE" not in response.content


@pytest.mark.usefixtures("frozen")
def test_the_code_on_the_familys_page_is_its_address(signed_in: Client, family: Family) -> None:
    link = addresses.renew_family(family, NOON)
    svg = signed_in.get(reverse("lessons:family-code", args=[family.pk])).content
    assert _read_code(svg) == f"http://testserver/calendars/{tokens.shown_again(link)}/"


def _read_code(svg: bytes) -> str:
    """Through Chromium-free eyes: WeasyPrint draws it, zxing reads it."""
    import subprocess
    import tempfile
    from pathlib import Path

    import zxingcpp
    from PIL import Image
    from weasyprint import HTML

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder)
        (path / "code.svg").write_bytes(svg)
        page = f'<img src="file://{path}/code.svg" style="width:8cm">'
        HTML(string=page).write_pdf(path / "code.pdf")
        subprocess.run(
            ["pdftoppm", "-png", "-r", "100", path / "code.pdf", path / "code"], check=True
        )
        (image,) = path.glob("code*.png")
        (found,) = zxingcpp.read_barcodes(Image.open(image))
        return str(found.text)
