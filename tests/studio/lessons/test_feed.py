import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from studio.lessons import changes, feed
from studio.lessons.changes import When
from studio.models import Lesson, Student, Studio
from tests.factories import DAY, LessonFactory, StudentFactory

NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)


def lesson_of(student: Student, **values: Any) -> Lesson:
    return LessonFactory.create(**{"student": student, "date": dt.date(2026, 11, 27), **values})


def written(studio: Studio, source: str = "") -> bytes:
    lessons = feed.studio_lessons(studio, DAY).select_related("student")
    names = feed.shown_names(Student.objects.of(studio))
    return feed.stream(studio, "Lessons", lessons, names, source)


def events(studio: Studio) -> list[Any]:
    return list(Calendar.from_ical(written(studio)).walk("VEVENT"))


def test_a_lesson_is_one_event_with_instants_in_utc(studio: Studio, student: Student) -> None:
    lesson = lesson_of(student, date=dt.date(2026, 7, 1), place="Room 2; upstairs, left")
    (event,) = events(studio)
    assert event["UID"] == str(lesson.uid)
    assert event.decoded("DTSTART") == dt.datetime(2026, 7, 1, 15, 15, tzinfo=dt.UTC)
    assert event.decoded("DTEND") == dt.datetime(2026, 7, 1, 15, 45, tzinfo=dt.UTC)
    assert event["DTSTART"].to_ical() == b"20260701T151500Z"
    assert (event["SUMMARY"], event["STATUS"]) == ("Violin lesson, Imani", "CONFIRMED")
    assert event["LOCATION"] == "Room 2; upstairs, left"
    assert b"VTIMEZONE" not in written(studio)


def test_the_calendar_says_its_name_colour_source_and_how_often_to_ask(studio: Studio) -> None:
    stream = written(studio, "https://studio.example/calendars/secret/lessons.ics").decode()
    for line in [
        "NAME:Lessons",
        "COLOR:saddlebrown",
        "REFRESH-INTERVAL;VALUE=DURATION:PT6H",
        "VERSION:2.0",
    ]:
        assert f"\r\n{line}\r\n" in stream
    calendar = Calendar.from_ical(stream)
    assert str(calendar["SOURCE"]) == "https://studio.example/calendars/secret/lessons.ics"
    assert calendar.decoded("REFRESH-INTERVAL") == dt.timedelta(hours=6)
    assert "METHOD" not in calendar


def test_the_uid_stays_and_the_sequence_rises_with_each_change(
    studio: Studio, student: Student
) -> None:
    lesson = lesson_of(student)
    seen = [(events(studio)[0]["UID"], events(studio)[0]["SEQUENCE"])]
    changes.move(lesson, When(dt.date(2026, 12, 4), dt.time(10)))
    seen.append((events(studio)[0]["UID"], events(studio)[0]["SEQUENCE"]))
    (lost,) = changes.cancel(lesson, "family", NOON)
    seen.append((events(studio)[0]["UID"], events(studio)[0]["SEQUENCE"]))
    changes.plan_again(lost)
    seen.append((events(studio)[0]["UID"], events(studio)[0]["SEQUENCE"]))
    assert seen == [(str(lesson.uid), number) for number in range(4)]


def test_a_cancelled_lesson_stays_in_the_calendar_as_cancelled(
    studio: Studio, student: Student
) -> None:
    changes.cancel(lesson_of(student), "teacher", NOON)
    (event,) = events(studio)
    assert (event["STATUS"], event["TRANSP"]) == ("CANCELLED", "TRANSPARENT")
    assert event["SUMMARY"] == "Cancelled: Violin lesson, Imani"


@pytest.mark.parametrize("status", ["planned", "kept", "missed"])
def test_attendance_is_nobodys_business_in_a_calendar(
    studio: Studio, student: Student, status: str
) -> None:
    lesson_of(student, status=status)
    (event,) = events(studio)
    assert (event["STATUS"], event["SUMMARY"]) == ("CONFIRMED", "Violin lesson, Imani")


def test_only_given_names_are_written(studio: Studio, student: Student) -> None:
    lesson_of(student)
    lesson_of(
        StudentFactory.create(family__studio=studio, given_name="Imani", family_name="Brandão"),
        starts=dt.time(17),
    )
    assert {event["SUMMARY"] for event in events(studio)} == {
        "Violin lesson, Imani O.",
        "Violin lesson, Imani B.",
    }
    for secret in ("Okonkwo", "Brandão", "Tomás", "example.org"):
        assert secret not in written(studio).decode()


def test_a_make_up_is_called_one(studio: Studio, student: Student) -> None:
    (lost,) = changes.cancel(lesson_of(student), "teacher", NOON)
    changes.make_up(lost, When(dt.date(2026, 12, 4), dt.time(10)), DAY)
    assert [event["SUMMARY"] for event in events(studio)] == [
        "Cancelled: Violin lesson, Imani",
        "Make-up violin lesson, Imani",
    ]


def test_names_with_signs_of_the_format_come_back_as_they_were(studio: Studio) -> None:
    name = "Łucja; “Lu”, \\ née Đặng-Ólafsdóttir " * 2
    lesson_of(StudentFactory.create(family__studio=studio, given_name=name.strip()))
    stream = written(studio)
    assert all(len(line) <= 75 for line in stream.split(b"\r\n"))
    assert events(studio)[0]["SUMMARY"] == f"Violin lesson, {name.strip()}"


def test_a_lesson_through_a_clock_change_lasts_its_elapsed_minutes(
    studio: Studio, student: Student
) -> None:
    lesson_of(student, date=dt.date(2026, 10, 25), starts=dt.time(0, 45), minutes=60)
    (event,) = events(studio)
    length = event.decoded("DTEND") - event.decoded("DTSTART")
    assert length == dt.timedelta(minutes=60)
    lisbon = ZoneInfo("Europe/Lisbon")
    assert event.decoded("DTEND").astimezone(lisbon).time() == dt.time(1, 45)


def test_the_mark_of_freshness_changes_with_everything_a_reader_would_see(
    studio: Studio, student: Student
) -> None:
    lesson = lesson_of(student)

    def mark() -> str:
        lessons = feed.studio_lessons(studio, DAY)
        return feed.etag(studio, lessons, feed.shown_names(Student.objects.of(studio)))

    seen = [mark()]
    assert mark() == seen[0]
    changes.move(lesson, When(dt.date(2026, 12, 4), dt.time(10)))
    seen.append(mark())
    changes.cancel(lesson, "family", NOON)
    seen.append(mark())
    other = lesson_of(student, starts=dt.time(9))
    seen.append(mark())
    other.delete()
    seen.append(mark())
    Student.objects.filter(pk=student.pk).update(given_name="Imogen")
    seen.append(mark())
    studio.zone = "Asia/Kathmandu"
    seen.append(mark())
    assert len(set(seen)) == len(seen) - 1  # taking `other` out again gives the earlier state
    assert seen[4] == seen[2]
