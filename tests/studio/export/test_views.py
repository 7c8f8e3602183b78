"""The page of data, one family's file, and the command line."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.test import Client

from practice.models import Assignment, LessonNote
from studio.export import forms
from studio.export.guarding import unguarded
from studio.export.packing import ExportTrouble
from studio.models import Family, HomeLink, Lesson, RecordEntry, SetApart, Studio
from tests.factories import (
    NOW,
    AssignmentFactory,
    FavouriteFactory,
    ItemFactory,
    LessonFactory,
    PlanFactory,
    SlotFactory,
    StudentFactory,
    StudioFactory,
    WorkFactory,
)
from tests.studio.export.comparing import differences

if TYPE_CHECKING:
    from pytest_django import Settings

    from studio.models import Student

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]
PAGE = "/settings/data/"


@pytest.fixture
def data_dir(settings: Settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path
    return tmp_path


@pytest.fixture
def week(data_dir: Path, student: Student) -> Assignment:
    """Imani with a lesson, a note of each kind, a week and a favourite."""
    lesson = LessonFactory.create(student=student)
    LessonNote.objects.create(lesson=lesson, text="Shy today", on_sheet=False)
    LessonNote.objects.create(lesson=lesson, text="Long bows", on_sheet=True)
    FavouriteFactory.create(student=student)
    assignment = AssignmentFactory.create(student=student, to_check="the thumb")
    ItemFactory.create(plan=PlanFactory.create(assignment=assignment), title="=HYPERLINK(1)")
    return assignment


def zipped(answer: Any) -> zipfile.ZipFile:
    assert answer.status_code == 200
    content = b"".join(answer.streaming_content)
    answer.close()
    return zipfile.ZipFile(io.BytesIO(content))


def test_settings_lead_to_it(signed_in: Client) -> None:
    assert b'href="/settings/data/"' in signed_in.get("/settings/").content


def test_everything_out_and_in_again(signed_in: Client, week: Assignment) -> None:
    answer = signed_in.post(f"{PAGE}everything/")
    assert answer.headers["Content-Disposition"] == (
        'attachment; filename="achterberg-violin-studio-2026-11-25.zip"'
    )
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    answer.close()
    second = StudioFactory.create(name="Empty")
    signed_in.force_login(second.owner)
    assert "This studio is empty" in signed_in.get(PAGE).content.decode()
    upload = {"file": SimpleUploadedFile("mine.zip", content)}
    told = signed_in.post(f"{PAGE}take-in/", upload, follow=True).content.decode()
    assert "with everything of theirs" in told
    second.refresh_from_db()
    first = week.student.family.studio
    assert "\n".join(differences(first, second)) == ""
    assert second.name == first.name
    whats = RecordEntry.objects.order_by("pk").values_list("what", flat=True)
    assert list(whats)[-2:] == ["exported", "imported"]


def test_the_tables_guard_formulas_and_lose_nothing(signed_in: Client, week: Assignment) -> None:
    with zipped(signed_in.post(f"{PAGE}everything/")) as archive:
        text = archive.read("tables/things-to-practise.csv").decode("utf-8-sig")
        readme = archive.read("README.txt").decode()
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert rows[0]["what"] == "'=HYPERLINK(1)"
    assert unguarded(rows[0]["what"]) == "=HYPERLINK(1)"
    assert "practice.item.jsonl" in readme


def test_an_export_is_not_taken_by_a_studio_that_holds_something(
    signed_in: Client, week: Assignment
) -> None:
    answer = signed_in.post(f"{PAGE}everything/")
    upload = {"file": SimpleUploadedFile("mine.zip", b"".join(answer.streaming_content))}  # type: ignore[attr-defined]
    answer.close()
    answer = signed_in.post(f"{PAGE}take-in/", upload)
    assert answer.status_code == 422
    assert "The studio holds something already; nothing was taken in." in answer.content.decode()
    assert Lesson.objects.count() == 1


def test_a_large_file_is_refused(
    signed_in: Client, data_dir: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(forms.TakeInForm.base_fields["file"], "largest", 10)
    upload = {"file": SimpleUploadedFile("mine.zip", b"x" * 11)}
    answer = signed_in.post(f"{PAGE}take-in/", upload)
    assert answer.status_code == 422
    assert "command line" in answer.content.decode()


def test_one_family_as_its_own_file(
    signed_in: Client, week: Assignment, other_student: Student
) -> None:
    family = week.student.family
    stranger = StudentFactory.create(
        family=Family.objects.create(studio=family.studio, name="Brandauer"), given_name="Leonie"
    )
    SlotFactory.create(studio=family.studio, students=[week.student, stranger])
    Studio.objects.filter(pk=family.studio_id).update(zone="Asia/Tokyo")
    HomeLink.objects.create(
        family=family, opens="family", token_hash="f" * 64, label="fridge", last_used=NOW
    )
    answer = signed_in.post(f"/families/{family.pk}/data/file/", {"notes": "on"})
    assert 'filename="okonkwo-reyes.zip"' in answer.headers["Content-Disposition"]
    with zipped(answer) as archive:
        whole = b"".join(archive.read(name) for name in archive.namelist()).decode()
        page = archive.read("page.html").decode()
        slots = archive.read("data/studio.slot.jsonl").splitlines()
    for word in ("Imani", "tomas@example.org", "Shy today", "Long bows", "the thumb", "fridge"):
        assert word in whole
        assert word in page
    assert f"{NOW.astimezone(ZoneInfo('Asia/Tokyo')):%Y-%m-%d %H:%M}" in page
    assert "Times of day are those of Asia/Tokyo." in page
    assert "Ode to Joy" in whole  # works are named, though they are no family's
    for word in ("Leonie", "Brandauer", "Sora", "Tanaka", "f" * 64):
        assert word not in whole
    assert json.loads(slots[0])["students"] == [week.student.pk]
    assert RecordEntry.objects.filter(what="exported", family=family).exists()


def test_her_own_notes_stay_with_her_if_she_wishes(signed_in: Client, week: Assignment) -> None:
    family = week.student.family
    Family.objects.update(notes="pays late")
    with zipped(signed_in.post(f"/families/{family.pk}/data/file/")) as archive:
        whole = b"".join(archive.read(name) for name in archive.namelist()).decode()
    assert "Long bows" in whole
    for word in ("Shy today", "the thumb", "pays late"):
        assert word not in whole


def test_what_is_anothers_is_not_found(
    signed_in: Client, studio: Studio, other_student: Student, data_dir: Path
) -> None:
    family = other_student.family
    apart = SetApart.objects.create(studio=family.studio, label="Family 1", erased="2026-11-25")
    assert signed_in.get(f"/families/{family.pk}/data/").status_code == 404
    assert signed_in.post(f"/families/{family.pk}/data/file/").status_code == 404
    assert signed_in.get(f"{PAGE}set-apart/{apart.pk}/").status_code == 404
    own = SetApart.objects.create(
        studio=studio,
        label="Family 1",
        erased="2026-11-25",
        lines=[{"student": 1, "date": "2026-11-25", "starts": "16:15", "minutes": 30}],
    )
    assert b"1,2026-11-25,16:15,30," in signed_in.get(f"{PAGE}set-apart/{own.pk}/").content


def test_a_ledger_set_apart_is_in_the_words_of_the_studio(
    signed_in: Client, studio: Studio
) -> None:
    studio.locale = "de"
    studio.save()
    line = {"student": 1, "date": "2026-11-25", "starts": "16:15", "minutes": 30, "status": "kept"}
    apart = SetApart.objects.create(
        studio=studio, label="Familie 1", erased="2026-11-25", lines=[line]
    )
    rows = signed_in.get(f"{PAGE}set-apart/{apart.pk}/").content.decode("utf-8-sig").splitlines()
    assert rows == ["Schüler:in,Tag,Zeit,Minuten,Stand", "1,2026-11-25,16:15,30,gehalten"]


def test_a_ledger_set_apart_holds_no_formula(signed_in: Client, studio: Studio) -> None:
    """An export that was taken in may have brought any line."""
    apart = SetApart.objects.create(
        studio=studio,
        label="Family 1",
        erased="2026-11-25",
        lines=[{"student": "=1", "date": "+1"}],
    )
    text = signed_in.get(f"{PAGE}set-apart/{apart.pk}/").content.decode()
    assert text.splitlines()[1] == "'=1,'+1,,,"


def test_from_one_installation_to_another_by_command(
    week: Assignment, data_dir: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    first = week.student.family.studio
    file = data_dir / "all.zip"
    call_command("export_studio", str(file))
    assert file.stat().st_mode & 0o777 == 0o600
    with pytest.raises(ExportTrouble, match="exists already"):
        call_command("export_studio", str(file))
    monkeypatch.setattr(
        "studio.management.commands.import_studio.getpass", lambda _: "seven strings and a half"
    )
    call_command("import_studio", str(file), owner="New@Example.org")
    second = Studio.objects.exclude(pk=first.pk).get()
    assert second.owner.username == "new@example.org"
    assert second.owner.check_password("seven strings and a half")
    assert "\n".join(differences(first, second)) == ""
    lines = RecordEntry.objects.order_by("pk").values_list("studio", "what", "by", "detail")
    assert list(lines)[-2:] == [
        (first.pk, "exported", "command", "all.zip"),
        (second.pk, "imported", "command", "all.zip"),
    ]
    with pytest.raises(ExportTrouble, match="--owner"):
        call_command("export_studio", str(data_dir / "which.zip"))
    with pytest.raises(ExportTrouble, match="holds something already"):
        call_command("import_studio", str(file), owner="new@example.org")
    with pytest.raises(ExportTrouble, match="is no file"):
        call_command("import_studio", "nowhere.zip", owner="new@example.org")
    assert "is in place" in capsys.readouterr().out


def test_a_refused_file_opens_no_studio(
    data_dir: Path, studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = data_dir / "letter.zip"
    file.write_bytes(b"a letter")
    monkeypatch.setattr(
        "studio.management.commands.import_studio.getpass", lambda _: "seven strings and a half"
    )
    with pytest.raises(ExportTrouble):
        call_command("import_studio", str(file), owner="new@example.org")
    assert Studio.objects.count() == 1


def test_the_export_is_of_one_moment(signed_in: Client, week: Assignment, data_dir: Path) -> None:
    """Written from its own connection, while the rest goes on."""
    from studio.export import writing

    with writing.one_moment() as alias:
        assert Lesson.objects.using(alias).count() == 1
        LessonFactory.create(student=week.student, date="2026-12-02")
        WorkFactory.create()
        assert Lesson.objects.using(alias).count() == 1
    assert Lesson.objects.count() == 2
