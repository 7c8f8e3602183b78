"""The last page of a family: shown first, asked for the password, told to be checked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.test import Client

from studio.backups import keeping
from studio.backups.keeping import Why
from studio.models import Family, RecordEntry, SetApart, Student
from studio.record import noting
from tests.factories import LessonFactory, StudentFactory

if TYPE_CHECKING:
    from pytest_django import Settings

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]
PASSWORD = "five strings minus one"


@pytest.fixture
def page(student: Student, settings: Settings, tmp_path: Path) -> str:
    settings.DATA_DIR = tmp_path / "data"
    LessonFactory.create(student=student)
    other = Family.objects.create(studio=student.family.studio, name="Brandauer")
    StudentFactory.create(family=other, given_name="Leonie", notes="Sits beside Imani.")
    return f"/families/{student.family_id}/erase/"


def test_what_goes_and_what_stays_is_shown_then_where_else_it_is_named(
    signed_in: Client, page: str
) -> None:
    html = " ".join(signed_in.get(page).content.decode().split())
    assert "<li><b>1</b> student</li><li>" in html
    assert "<b>1</b> lesson</li>" in html
    assert "local law" in html
    assert "Sits beside" not in html
    assert 'href="?look"' in html
    assert "old_password" not in html
    html = " ".join(signed_in.get(f"{page}?look").content.decode().split())
    assert "Sits beside Imani." in html
    assert "old_password" in html
    assert Family.objects.count() == 2


def test_it_asks_for_the_password(signed_in: Client, page: str) -> None:
    for typed in ("", "wrong"):
        answer = signed_in.post(page, {"old_password": typed, "keep_ledger": "on"})
        assert answer.status_code == 422
        assert "Nothing was erased." in answer.content.decode()
    assert Family.objects.count() == 2
    entry = RecordEntry.objects.latest("pk")
    assert (entry.what, entry.detail) == ("password-refused", "to erase a family")


def test_guessing_is_slowed(signed_in: Client, page: str) -> None:
    codes = [signed_in.post(page, {"old_password": "x"}).status_code for _ in range(11)]
    assert codes == [422] * 10 + [429]


def test_erased_with_the_ledger_set_apart(signed_in: Client, page: str) -> None:
    sent = {"old_password": PASSWORD, "keep_ledger": "on", "take_out": ["Imani"]}
    answer = signed_in.post(page, sent, follow=True)
    assert "The family is erased" in answer.content.decode()
    assert Student.objects.get().notes == "Sits beside …."
    assert SetApart.objects.get().label == "Family 1"
    entry = RecordEntry.objects.latest("pk")
    assert (entry.what, entry.detail) == ("erased", "a family of 1 student")
    assert b"Family 1" in signed_in.get("/settings/data/").content
    assert signed_in.get(page).status_code == 404


def test_the_line_and_the_deed_happen_together(
    signed_in: Client, page: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(noting, "_address", lambda request: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        signed_in.post(page, {"old_password": PASSWORD})
    assert Family.objects.count() == 2


def test_a_name_that_was_not_offered_is_not_taken_out(signed_in: Client, page: str) -> None:
    answer = signed_in.post(page, {"old_password": PASSWORD, "take_out": ["beside"]})
    assert answer.status_code == 422
    assert Family.objects.count() == 2


def test_backups_that_hold_the_family_are_named_and_let_go(signed_in: Client, page: str) -> None:
    old = keeping.make(Why.DAILY)
    html = " ".join(signed_in.get(page).content.decode().split())
    assert "1 backup on this computer still holds this family." in html
    signed_in.post(page, {"old_password": PASSWORD, "let_go": "on"})
    (fresh,) = keeping.all_backups()
    assert fresh.name != old.name
    assert fresh.why == Why.BY_HAND
    lines = RecordEntry.objects.order_by("pk").values_list("what", "detail")
    assert list(lines)[1:] == [("backup-made", fresh.name), ("erased", "1 backup made before")]


def test_backups_stay_where_she_does_not_ask(signed_in: Client, page: str) -> None:
    old = keeping.make(Why.DAILY)
    signed_in.post(page, {"old_password": PASSWORD})
    assert [backup.name for backup in keeping.all_backups()] == [old.name]


def test_another_studios_family_is_not_found(
    signed_in: Client, page: str, other_student: Student
) -> None:
    other = f"/families/{other_student.family_id}/erase/"
    assert signed_in.get(other).status_code == 404
    assert signed_in.post(other, {"old_password": PASSWORD}).status_code == 404
    assert Student.objects.filter(pk=other_student.pk).exists()
