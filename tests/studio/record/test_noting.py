"""Each doing leaves one line, in the transaction of what it tells."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.core import signing
from django.db import transaction
from django.test import Client
from django.urls import reverse

from practice.models import LessonNote
from studio.lessons.busy_views import SALT
from studio.models import SetApart
from studio.record import noting
from studio.record.models import By, RecordEntry, What
from tests.conftest import FrozenClock
from tests.factories import GuardianFactory, LessonFactory, ScoreFactory
from tests.more_factories import HomeLinkFactory, ReportFactory

if TYPE_CHECKING:
    from studio.models import Family, Student, Studio

PASSWORD = "five strings minus one"


def told(studio: Studio | None) -> list[tuple[str, str, str]]:
    rows = RecordEntry.objects.filter(studio=studio).order_by("pk")
    return [(row.what, row.by, row.detail) for row in rows]


def sign_in(client: Client, email: str, password: str) -> int:
    said = {"email": email, "password": password}
    return client.post(reverse("access:sign_in"), said).status_code


def test_a_sign_in_and_a_failed_one(client: Client, studio: Studio) -> None:
    email = studio.owner.username
    assert sign_in(client, email, "not this one") == 422
    assert sign_in(client, email.upper(), PASSWORD) == 302
    client.post(reverse("access:sign_out"))
    assert told(studio) == [
        (What.SIGN_IN_FAILED, By.STRANGER, ""),
        (What.SIGNED_IN, By.TEACHER, ""),
        (What.SIGNED_OUT, By.TEACHER, ""),
    ]
    assert set(RecordEntry.objects.values_list("address", flat=True)) == {"127.0.0.1"}


def test_an_account_that_does_not_exist_is_noted_without_what_was_typed(
    client: Client, studio: Studio
) -> None:
    """It may have been a password in the wrong field."""
    assert sign_in(client, "my secret words", "x") == 422
    assert told(None) == [(What.SIGN_IN_FAILED, By.STRANGER, "")]
    assert told(studio) == []


def test_another_teachers_sign_in_is_noted_in_hers(
    client: Client, studio: Studio, other_studio: Studio
) -> None:
    sign_in(client, other_studio.owner.username, "wrong words")
    assert told(studio) == []
    assert told(other_studio) == [(What.SIGN_IN_FAILED, By.STRANGER, "")]


def test_settings_say_which_were_changed_and_not_to_what(signed_in: Client, studio: Studio) -> None:
    page = signed_in.get(reverse("access:settings"))
    said = {name: value for name, value in page.context["form"].initial.items() if value != ""}
    signed_in.post(reverse("access:settings"), said | {"teacher": "Ilse", "a4_hz": 442})
    assert told(studio) == [
        (What.SETTINGS_CHANGED, By.TEACHER, "your name, as you sign, your A, in hertz")
    ]


def test_a_new_password_and_a_wrong_old_one(signed_in: Client, studio: Studio) -> None:
    new = {"password": "three bows and a mute", "password_again": "three bows and a mute"}
    signed_in.post(reverse("access:password"), new | {"old_password": "wrong"})
    signed_in.post(reverse("access:password"), new | {"old_password": PASSWORD})
    assert [what for what, _, _ in told(studio)] == [What.PASSWORD_REFUSED, What.PASSWORD_CHANGED]


def test_a_link_made_renewed_and_shut(signed_in: Client, family: Family, student: Student) -> None:
    signed_in.post(reverse("home:link-make", args=[family.pk]), {"opens": str(student.pk)})
    link = HomeLinkFactory.create(family=family, student=student, opens="student")
    signed_in.post(reverse("home:link-renew", args=[link.pk]))
    signed_in.post(reverse("home:link-revoke", args=[link.pk]))
    rows = RecordEntry.objects.order_by("pk")
    assert [row.what for row in rows] == [What.LINK_MADE, What.LINK_RENEWED, What.LINK_REVOKED]
    assert {(row.family_id, row.student_id) for row in rows} == {(family.pk, student.pk)}


def test_calendar_addresses(signed_in: Client, family: Family, student: Student) -> None:
    signed_in.post(reverse("lessons:addresses-missing"))
    signed_in.post(reverse("lessons:addresses-missing"))
    signed_in.post(reverse("lessons:family-address-renew", args=[family.pk]))
    signed_in.post(reverse("lessons:family-address-revoke", args=[family.pk]))
    signed_in.post(reverse("lessons:teacher-address-renew"))
    signed_in.post(reverse("lessons:teacher-address-revoke"))
    assert [(what, detail) for what, _, detail in told(family.studio)] == [
        (What.LINK_MADE, "lesson calendars, 1 in all"),
        (What.LINK_RENEWED, "lesson calendar"),
        (What.LINK_REVOKED, "lesson calendar"),
        (What.LINK_RENEWED, "your own lesson calendar"),
        (What.LINK_REVOKED, "your own lesson calendar"),
    ]


def test_a_report_given(signed_in: Client, student: Student) -> None:
    report = ReportFactory.create(
        student=student, term__studio=student.family.studio, words="Well."
    )
    where = reverse("reports:give", args=[report.term_id, student.pk])
    assert signed_in.post(where, {"words": "Well."}).status_code == 302
    row = RecordEntry.objects.get()
    assert (row.what, row.student, row.detail) == (What.REPORT_GIVEN, student, "edition 1")


@pytest.mark.django_db(transaction=True)
def test_what_did_not_happen_is_not_noted(signed_in: Client, family: Family) -> None:
    """The line goes with the change it tells."""
    link = HomeLinkFactory.create(family=family)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(noting, "_address", lambda request: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            signed_in.post(reverse("home:link-revoke", args=[link.pk]))
    link.refresh_from_db()
    assert link.revoked is None
    assert told(family.studio) == []


def test_data_that_leaves_in_small_files(
    signed_in: Client, family: Family, student: Student
) -> None:
    apart = SetApart.objects.create(
        studio=family.studio, label="Family 1", erased=dt.date(2026, 11, 1)
    )
    signed_in.get(reverse("export:contacts"))
    signed_in.get(reverse("export:family_contacts", args=[family.pk]))
    signed_in.get(reverse("export:set_apart", args=[apart.pk]))
    assert told(family.studio) == [
        (What.EXPORTED, By.TEACHER, "everybody’s contacts"),
        (What.EXPORTED, By.TEACHER, "one family’s contacts"),
        (What.EXPORTED, By.TEACHER, "a ledger set apart"),
    ]


def test_what_is_removed_for_good(signed_in: Client, student: Student) -> None:
    guardian = GuardianFactory.create(family=student.family)
    note = LessonNote.objects.create(lesson=LessonFactory.create(student=student), text="Rosin.")
    score = ScoreFactory.create(studio=student.family.studio)
    signed_in.post(reverse("people:guardian_remove", args=[guardian.pk]))
    signed_in.post(reverse("desk:note-remove", args=[note.pk]))
    signed_in.post(reverse("scores:remove", args=[score.pk]))
    assert [(what, detail) for what, _, detail in told(student.family.studio)] == [
        (What.ERASED, "a guardian with contacts"),
        (What.ERASED, "a note on a lesson"),
        (What.ERASED, "a score"),
    ]


def test_rules_and_time_zone_are_settings_too(signed_in: Client, studio: Studio) -> None:
    page = signed_in.get(reverse("lessons:rules"))
    said = {name: value for name, value in page.context["form"].initial.items() if value != ""}
    signed_in.post(reverse("lessons:rules"), said)
    signed_in.post(reverse("lessons:zone"), {"zone": "Asia/Tokyo", "keep": "wall"})
    assert told(studio) == [
        (What.SETTINGS_CHANGED, By.TEACHER, "rules of lessons"),
        (What.SETTINGS_CHANGED, By.TEACHER, "time zone; 0 lessons changed with it"),
    ]


def test_a_calendar_brought_in_and_forgotten(signed_in: Client, studio: Studio) -> None:
    held = signing.dumps([studio.pk, "mine.ics", [["Quartet", [[0, 3600]]]]], salt=SALT)
    signed_in.post(reverse("lessons:busy-take"), {"held": held, "event": ["0"]})
    signed_in.post(reverse("lessons:busy-forget"), {"source": "mine.ics"})
    signed_in.post(reverse("lessons:busy-forget"), {"source": "mine.ics"})
    assert told(studio) == [
        (What.IMPORTED, By.TEACHER, "a calendar, 1 busy time"),
        (What.IMPORT_UNDONE, By.TEACHER, "a calendar, 1 busy time"),
    ]


def test_an_erased_child_is_gone_from_the_record(
    signed_in: Client, family: Family, student: Student
) -> None:
    signed_in.post(reverse("home:link-make", args=[family.pk]), {"opens": str(student.pk)})
    with transaction.atomic():
        family.delete()
    page = signed_in.get(reverse("record:record")).content.decode()
    assert "A private address was made" in page
    assert "Imani" not in page
    assert "Okonkwo" not in page


def test_commands_are_noted_in_every_studio(studio: Studio, other_studio: Studio) -> None:
    noting.note_everywhere(What.BACKUP_MADE, "x.zip")
    assert told(studio) == told(other_studio) == [(What.BACKUP_MADE, By.COMMAND, "x.zip")]


def test_lines_go_after_thirteen_months(studio: Studio, frozen: FrozenClock) -> None:
    noting.note_everywhere(What.STUDIO_OPENED)
    for days in (396, 3, 1, 1, 1, 1, 1):
        frozen.move(days=days)
        noting.note_everywhere(What.BACKUP_MADE)
    noting.forget_old()
    assert RecordEntry.objects.filter(what=What.STUDIO_OPENED).exists()
    for _ in range(4):
        frozen.move(days=1)
        noting.note_everywhere(What.BACKUP_MADE)
    noting.forget_old()
    assert [row.what for row in RecordEntry.objects.all()] == [What.BACKUP_MADE] * 11


def test_a_clock_set_back_forgets_nothing(studio: Studio, frozen: FrozenClock) -> None:
    noting.note_everywhere(What.BACKUP_MADE)
    frozen.set(frozen.moment - dt.timedelta(days=3650))
    noting.forget_old()
    assert RecordEntry.objects.count() == 1
