"""The teacher's page of backups, and who may open it."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.backups import forms, keeping, restoring
from studio.backups.keeping import Backup, Why
from studio.backups.trouble import BackupTrouble
from studio.models import Student
from tests.conftest import FrozenClock
from tests.factories import StudentFactory

if TYPE_CHECKING:
    from pytest_django import Settings

    from studio.models import Studio

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]
PAGE = "/settings/backups/"
PASSWORD = "five strings minus one"


@pytest.fixture
def backup(filled: Student) -> Backup:
    return keeping.make(Why.DAILY)


def upload(path: Path | bytes, name: str = "mine.zip") -> dict[str, SimpleUploadedFile]:
    content = path if isinstance(path, bytes) else path.read_bytes()
    return {"file": SimpleUploadedFile(name, content)}


def test_settings_lead_to_it(signed_in: Client, data_dir: Path) -> None:
    assert f'href="{reverse("backups:list")}"' in signed_in.get("/settings/").content.decode()


def test_the_list_names_day_and_size(signed_in: Client, backup: Backup) -> None:
    page = signed_in.get(PAGE).content.decode()
    assert "Wed 25 Nov 2026" in page
    assert "at 12:00" in page
    assert "of the day" in page
    assert "KB" in page


def test_one_more_is_made(signed_in: Client, filled: Student) -> None:
    answer = signed_in.post(f"{PAGE}make/", follow=True)
    assert "read back and found whole" in answer.content.decode()
    assert [backup.why for backup in keeping.all_backups()] == [Why.BY_HAND]


def test_trouble_is_told_on_the_page(signed_in: Client, filled: Student) -> None:
    keeping.folder().parent.mkdir(parents=True)
    keeping.folder().write_text("a file where the folder should be")
    answer = signed_in.post(f"{PAGE}make/", follow=True)
    assert "cannot be written" in answer.content.decode()


def test_one_is_taken_away(signed_in: Client, backup: Backup) -> None:
    answer = signed_in.get(f"{PAGE}{backup.name}/")
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{backup.name}"'
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    assert zipfile.ZipFile(io.BytesIO(content)).namelist()[0] == "manifest.json"
    answer.close()


def test_one_from_elsewhere_is_shown_before_anything_changes(
    signed_in: Client, backup: Backup, student: Student, tmp_path: Path
) -> None:
    StudentFactory.create(family=student.family)
    away = backup.path.rename(tmp_path / "mine.zip")
    answer = signed_in.post(f"{PAGE}bring/", upload(away), follow=True)
    page = " ".join(answer.content.decode().split())
    assert "What would change" in page
    assert '<th scope="row">students</th><td class="num">2</td><td class="num">1</td>' in page
    assert Student.objects.count() == 2
    assert [kept.why for kept in keeping.all_backups()] == [Why.BROUGHT]


def test_going_back_needs_the_password(signed_in: Client, backup: Backup) -> None:
    Student.objects.update(given_name="Changed")
    for typed in ("", "wrong"):
        answer = signed_in.post(f"{PAGE}{backup.name}/restore/", {"old_password": typed})
        assert answer.status_code == 422
        assert "password" in answer.content.decode()
    assert Student.objects.get().given_name == "Changed"


def test_guessing_the_password_is_slowed(signed_in: Client, backup: Backup) -> None:
    statuses = [
        signed_in.post(f"{PAGE}{backup.name}/restore/", {"old_password": "x"}).status_code
        for _ in range(11)
    ]
    assert statuses == [422] * 10 + [429]
    answer = signed_in.post(f"{PAGE}{backup.name}/restore/", {"old_password": PASSWORD})
    assert answer.status_code == 429


def test_going_back_and_signing_in_again(signed_in: Client, backup: Backup) -> None:
    Student.objects.update(given_name="Changed")
    answer = signed_in.post(
        f"{PAGE}{backup.name}/restore/", {"old_password": PASSWORD}, follow=True
    )
    assert answer.redirect_chain == [("/sign-in/", 302)]
    assert "The backup is in place" in answer.content.decode()
    assert Student.objects.get().given_name == "Imani"
    email = Student.objects.get().family.studio.owner.username
    signed = signed_in.post("/sign-in/", {"email": email, "password": PASSWORD}, follow=True)
    assert signed.status_code == 200
    assert "before a restore" in signed_in.get(PAGE).content.decode()


@pytest.mark.parametrize("content", [b"a letter", b"", b"PK\x05\x06" + bytes(18)])
def test_what_is_no_backup_is_refused_in_words(
    signed_in: Client, filled: Student, content: bytes
) -> None:
    answer = signed_in.post(f"{PAGE}bring/", upload(content))
    assert answer.status_code == 422
    assert "The file was not taken." in answer.content.decode()
    assert keeping.all_backups() == []


def test_what_is_too_large_is_refused(
    signed_in: Client, backup: Backup, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forms.BringForm.base_fields["file"], "largest", 100)
    answer = signed_in.post(f"{PAGE}bring/", upload(backup.path))
    assert answer.status_code == 422
    assert "command line" in answer.content.decode()


def test_no_file_is_refused_in_words(signed_in: Client, filled: Student) -> None:
    answer = signed_in.post(f"{PAGE}bring/")
    assert answer.status_code == 422
    assert "Choose a file." in answer.content.decode()


def paths(name: str) -> list[tuple[str, str]]:
    return [
        ("POST", f"{PAGE}make/"),
        ("POST", f"{PAGE}bring/"),
        ("GET", f"{PAGE}{name}/"),
        ("GET", f"{PAGE}{name}/restore/"),
        ("POST", f"{PAGE}{name}/restore/"),
    ]


def test_among_several_studios_no_teacher_sees_a_backup(
    signed_in: Client, backup: Backup, other_studio: Studio
) -> None:
    page = signed_in.get(PAGE).content.decode()
    assert "open to several studios" in page
    assert backup.name not in page
    for method, path in paths(backup.name):
        assert signed_in.generic(method, path).status_code == 404, path
    theirs = Client()
    theirs.force_login(other_studio.owner)
    for method, path in paths(backup.name):
        assert theirs.generic(method, path).status_code == 404, path
    assert len(keeping.all_backups()) == 1


def test_nor_where_a_second_studio_may_open(
    signed_in: Client, backup: Backup, settings: Settings
) -> None:
    settings.MORE_STUDIOS = True
    assert "open to several studios" in signed_in.get(PAGE).content.decode()
    for method, path in paths(backup.name):
        assert signed_in.generic(method, path).status_code == 404, path


def test_one_made_when_there_were_others_stays_closed(
    signed_in: Client, filled: Student, other_studio: Studio
) -> None:
    """She may be alone by now; the file still holds what was another's."""
    backup = keeping.make(Why.DAILY)
    other_studio.delete()
    assert backup.name in signed_in.get(PAGE).content.decode()
    for method, path in paths(backup.name)[2:]:
        assert signed_in.generic(method, path).status_code == 404, path


def test_names_that_are_no_backup_are_not_there(signed_in: Client, backup: Backup) -> None:
    for name in ("secret-key", "studio.sqlite3", "..%2Fsecret-key", "%2e%2e"):
        assert signed_in.get(f"{PAGE}{name}/").status_code == 404, name


def test_a_damaged_one_is_told_and_changes_nothing(signed_in: Client, backup: Backup) -> None:
    backup.path.write_bytes(backup.path.read_bytes()[:-200])
    assert signed_in.get(PAGE).status_code == 200
    answer = signed_in.get(f"{PAGE}{backup.name}/restore/")
    assert answer.status_code == 422
    assert "is damaged: it cannot be unpacked" in answer.content.decode()
    assert signed_in.get(f"{PAGE}{backup.name}/").status_code == 404


def test_the_list_asks_the_database_alike_for_one_and_for_many(
    signed_in: Client, backup: Backup
) -> None:
    with CaptureQueriesContext(connection) as few:
        signed_in.get(PAGE)
    for _ in range(5):
        keeping.make(Why.BY_HAND)
    with CaptureQueriesContext(connection) as many:
        signed_in.get(PAGE)
    assert len(few) == len(many) == 3


def test_several_studios_in_a_file_from_elsewhere_are_not_put_back_from_the_page(
    filled: Student, other_studio: Studio
) -> None:
    backup = keeping.make(Why.BY_HAND)
    other_studio.delete()
    with pytest.raises(BackupTrouble, match="several studios"):
        restoring.restore(backup.path, at_most_one_studio=True)


def test_an_old_backup_is_told(signed_in: Client, backup: Backup, frozen: FrozenClock) -> None:
    frozen.move(days=2)
    assert "days old" not in signed_in.get(PAGE).content.decode()
    frozen.move(days=1)
    assert "The last backup is 3 days old." in signed_in.get(PAGE).content.decode()
    keeping.bring([backup.path.read_bytes()])
    assert "The last backup is 3 days old." in signed_in.get(PAGE).content.decode()
    frozen.move(days=-10)
    assert "days old" not in signed_in.get(PAGE).content.decode()
