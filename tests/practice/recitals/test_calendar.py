"""The invitation: one VEVENT with a lasting identity, as a file and in the families' calendars."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from icalendar import Calendar

from practice.models import Programme
from practice.recitals.pieces import give_back
from studio.lessons.zone_move import move_zone
from studio.links import tokens
from studio.models import Family, HomeLink, Recital, Student
from tests import factories
from tests.conftest import NOON
from tests.studio.lessons.test_feed_readers import (
    Seen,
    by_ical_js,
    by_icalendar,
    by_khal,
    by_libical,
)

pytestmark = pytest.mark.usefixtures("frozen")
BEGINS = dt.datetime(2026, 12, 5, 15, tzinfo=dt.UTC)  # Lisbon keeps UTC in winter


def invitation(client: Client, programme: Programme) -> bytes:
    return client.get(reverse("recitals:invitation", args=[programme.recital_id])).content


def event_of(body: bytes) -> Any:
    (event,) = Calendar.from_ical(body).walk("VEVENT")
    return event


def feed_of(family: Family) -> str:
    link = HomeLink(family=family, opens=HomeLink.Opens.CALENDAR)
    return reverse("lessons:feed", args=[tokens.issue(link)])


def changed(client: Client, recital: Recital, **more: str) -> None:
    values = {
        **{"name": recital.name, "date": "2026-12-05", "starts": "15:00", "minutes": "60"},
        **{"place": recital.place, "siblings": "apart", "most_with_piano": "3"},
        **{"change_seconds": "40", "interval_minutes": "15", **more},
    }
    answer = client.post(reverse("recitals:change", args=[recital.pk]), values)
    assert answer.status_code == 302, answer.content.decode()


@pytest.mark.parametrize("reader", [by_icalendar, by_ical_js, by_libical, by_khal])
def test_every_reader_finds_it_at_its_instant(
    signed_in: Client, three: Programme, reader: Callable[[Path], Seen], tmp_path: Path
) -> None:
    path = tmp_path / "recital.ics"
    path.write_bytes(invitation(signed_in, three))
    begins = int(BEGINS.timestamp())
    assert reader(path) == {str(three.recital.uid): (begins, begins + 3600, "CONFIRMED")}


def test_what_the_entry_says(signed_in: Client, three: Programme) -> None:
    event = event_of(invitation(signed_in, three))
    assert (event["SUMMARY"], event["LOCATION"]) == ("Winter recital", "Town library, small hall")
    assert event["DTSTART"].to_ical() == b"20261205T150000Z"
    assert "Imani" not in invitation(signed_in, three).decode()


def test_the_identity_stays_and_the_sequence_rises_only_with_what_guests_must_know(
    signed_in: Client, three: Programme
) -> None:
    recital = three.recital
    seen = [event_of(invitation(signed_in, three))]
    changed(signed_in, recital, accompanist="Oisín")  # no guest's business
    seen.append(event_of(invitation(signed_in, three)))
    changed(signed_in, recital, starts="16:30")
    seen.append(event_of(invitation(signed_in, three)))
    for action in ("call-off", "call-off", "hold"):
        signed_in.post(reverse(f"recitals:{action}", args=[recital.pk]))
        seen.append(event_of(invitation(signed_in, three)))
    assert [each["SEQUENCE"] for each in seen] == [0, 0, 1, 2, 2, 3]
    assert {str(each["UID"]) for each in seen} == {str(recital.uid)}
    assert [str(each["STATUS"]) for each in seen[2:]] == [
        *("CONFIRMED", "CANCELLED", "CANCELLED", "CONFIRMED")
    ]
    assert seen[3]["SUMMARY"] == "Cancelled: Winter recital"
    assert seen[2].decoded("DTSTART") == BEGINS + dt.timedelta(minutes=90)


def test_families_of_players_have_it_in_their_calendar_and_others_do_not(
    client: Client, three: Programme, family: Family, aroha: Student
) -> None:
    guest = factories.FamilyFactory.create(studio=three.recital.studio)
    factories.StudentFactory.create(family=guest)
    assert event_of(client.get(feed_of(family)).content)["UID"] == str(three.recital.uid)
    assert not Calendar.from_ical(client.get(feed_of(guest)).content).walk("VEVENT")
    address = feed_of(aroha.family)
    mark = client.get(address)["ETag"]
    again = client.get(address, headers={"If-None-Match": mark})
    assert again.status_code == 304
    give_back(three.performances.get(student=aroha))
    fresh = client.get(address, headers={"If-None-Match": mark})
    assert fresh.status_code == 200
    assert not Calendar.from_ical(fresh.content).walk("VEVENT")


def test_a_change_reaches_a_calendar_that_is_asked_again(
    signed_in: Client, three: Programme, family: Family
) -> None:
    address = feed_of(family)
    mark = signed_in.get(address)["ETag"]
    signed_in.post(reverse("recitals:call-off", args=[three.recital_id]))
    fresh = signed_in.get(address, headers={"If-None-Match": mark})
    assert event_of(fresh.content)["STATUS"] == "CANCELLED"


def test_the_teachers_own_calendar_has_all_of_them(
    signed_in: Client, three: Programme, other_student: Student
) -> None:
    factories.RecitalFactory.create(studio=other_student.family.studio)
    body = signed_in.get(reverse("lessons:studio-file")).content
    assert event_of(body)["UID"] == str(three.recital.uid)


def test_the_familys_page_names_the_recital(
    client: Client, three: Programme, family: Family
) -> None:
    page = client.get(feed_of(family).removesuffix("lessons.ics")).content.decode()
    assert "Saturday 5 December, 15:00" in page
    assert "Winter recital" in page


def test_in_a_new_zone_it_keeps_its_wall_time_and_a_past_one_its_instant(three: Programme) -> None:
    studio, coming = three.recital.studio, three.recital
    past = factories.RecitalFactory.create(studio=studio, date=dt.date(2026, 6, 20))
    held = past.begins(ZoneInfo(studio.zone))
    move_zone(studio, "Europe/Berlin", NOON, keep_instants=True)
    coming.refresh_from_db()
    past.refresh_from_db()
    berlin = ZoneInfo("Europe/Berlin")
    assert coming.begins(berlin) == BEGINS - dt.timedelta(hours=1)
    assert coming.sequence == 1
    assert past.begins(berlin) == held
    assert past.sequence == 0
