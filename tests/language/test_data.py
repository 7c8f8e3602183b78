"""Backups, lists, exports and printing for everybody in German, and what stays the same in all."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import translation

from practice.models import PrintJob
from practice.printing import ask, work
from practice.printing.orders import Order, broken_off, carried_out
from studio.backups import keeping
from studio.backups.keeping import Why
from studio.export import family_file, writing
from studio.export.rules import all_rules, called
from studio.models import Guardian, RecordEntry, Student, Studio
from studio.people.models import THE_STUDENT
from studio.web.speaking import speaking
from tests import factories
from tests.language.leftover import left_in_english
from tests.practice.printing.material import ScriptedPens, a_term, given_reports
from tests.studio.export.comparing import differences

if TYPE_CHECKING:
    from pytest_django import Settings

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]

LIST = """Nachname;Vorname;Geb.-Datum;Größe;Eltern;E-Mail-Adresse;Tel.-Nr.;Handy;Straße
Brückner;Jonas;5.3.2014;3/4-Geige;Katrin Brückner;katrin@example.org;0351 44112;0170 55;Am Hang 3
Nowak;Mia;31.13.2015;halbe;Ewa Nowak;;;;
Adu;Kofi;1.2.1980;ganze;;kofi@example.org;;;
"""


@pytest.fixture(autouse=True)
def own_folder(settings: Settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path


def page(client: Client, *address: Any) -> str:
    return client.get(reverse(address[0], args=address[1:])).content.decode()


def looked_at(client: Client) -> str:
    upload = {"file": SimpleUploadedFile("Schüler.csv", LIST.encode())}
    return client.post(reverse("roster:read"), upload).content.decode()


def test_no_page_is_left_in_english(german: Client, student: Student) -> None:
    backup = keeping.make(Why.BY_HAND).name
    pages = {
        address[0]: page(german, *address)
        for address in (
            ("backups:list",),
            ("backups:lock", backup),
            ("backups:restore", backup),
            ("export:data",),
            ("export:family_data", student.family_id),
            ("roster:roster",),
            ("printing:jobs",),
        )
    }
    pages["roster:read"] = looked_at(german)
    assert {name: left for name, text in pages.items() if (left := left_in_english(text))} == {}
    assert "von Ihnen gemacht" in pages["backups:list"]


def test_a_list_as_a_german_teacher_keeps_it_is_read(german: Client, studio: Studio) -> None:
    told = looked_at(german)
    assert "31.13.2015" in told
    assert "Das ist kein Datum. Schreiben Sie es wie 2014-03-05 oder als Tag, Monat, Jahr." in told
    assert "2 Schüler:innen, 2 Bezugspersonen, 2 neue Familien" in told
    assert "Jonas Brückner</bdi>, geboren am 5. März 2014, Geige 3/4" in told


def test_what_is_brought_in_is_counted_whole(german: Client, studio: Studio) -> None:
    told = looked_at(german)
    fields = {"order": "dmy"} | {
        f"column_{place}": kind
        for place, kind in enumerate(
            ("family-name", "given", "born", "size", "guardian", "email", "phone", "", "")
        )
    }
    for name in ("held", "seen"):
        fields[name] = told.split(f'name="{name}" value="')[1].split('"')[0]
    made = german.post(reverse("roster:take"), fields, follow=True).content.decode()
    assert "Neu in Ihrem Studio: 2 Schüler:innen, 2 Bezugspersonen und 2 neue Familien." in made
    assert Student.objects.get(given_name="Jonas").instrument_size == "3/4"
    assert RecordEntry.objects.latest("pk").detail == "eine Liste mit 2 Schüler:innen"
    with translation.override("de"):
        assert Guardian.objects.get(name="Kofi Adu").relation == translation.gettext(THE_STUDENT)


def test_a_restore_names_what_changes_by_words_of_each_model() -> None:
    with translation.override("en"):
        english = {rule.label: str(rule.many) for rule in all_rules()}
    with translation.override("de"):
        assert {rule.label: str(rule.many) for rule in all_rules()}.items().isdisjoint(
            english.items()
        )
        assert called(Student) == "Schüler:innen"
        table = next(rule.table for rule in all_rules() if rule.model is Guardian)
        assert table
        counted = [table.counted(rows) for rows in (1, 2)]
    assert counted == ["Bezugsperson", "Bezugspersonen"]


def exported(studio: Studio) -> zipfile.ZipFile:
    file = io.BytesIO()
    with speaking(studio), writing.one_moment() as alias:
        writing.write(studio, file, alias)
    return zipfile.ZipFile(file)


def test_an_export_is_alike_in_every_language_but_for_its_readme(student: Student) -> None:
    factories.ScaleInHandFactory.create(student=student, key="B minor")
    studio = student.family.studio
    english = exported(studio)
    Studio.objects.filter(pk=studio.pk).update(locale="de", note_names="german")
    studio.refresh_from_db()
    german = exported(studio)
    tables = [name for name in english.namelist() if name.startswith("tables/")]
    assert tables == [name for name in german.namelist() if name.startswith("tables/")]
    assert "tables/scales.csv" in tables
    assert [german.read(name) for name in tables] == [english.read(name) for name in tables]
    assert german.read("README.txt").decode().startswith("Ein ganzes Studio")
    assert "studio.student.jsonl: Schüler:innen" in german.read("README.txt").decode()


def test_a_german_studio_out_and_in_again(german: Client, student: Student) -> None:
    factories.ScaleInHandFactory.create(student=student, key="B minor")
    content = b"".join(german.post(reverse("export:everything")).streaming_content)  # type: ignore[attr-defined]
    second = factories.StudioFactory.create(locale="de")
    german.force_login(second.owner)
    for name, words in (("a.zip", "kein Zip"), ("b.zip", "Der Export ist da")):
        upload = {"file": SimpleUploadedFile(name, content if name == "b.zip" else b"no zip")}
        told = german.post(reverse("export:take_in"), upload, follow=True).content.decode()
        assert words in told
    second.refresh_from_db()
    assert "\n".join(differences(student.family.studio, second)) == ""


def test_a_family_reads_its_own_file_in_its_language(student: Student) -> None:
    factories.ScaleInHandFactory.create(student=student, key="B minor", form="harmonic")
    studio = student.family.studio
    studio.locale = "de"
    file = io.BytesIO()
    with speaking(studio):
        family_file.write(student.family, file, notes=False)
    with zipfile.ZipFile(file) as archive:
        told = archive.read("page.html").decode()
        readme = archive.read("README.txt").decode()
    assert '<html lang="de">' in told
    assert "h-Moll" in told
    assert left_in_english(told) == set()
    assert readme.startswith("Was ein Geigenstudio über eine Familie aufbewahrt.")
    assert readme.rstrip().endswith("nur für die Lehrkraft bestimmt sind, fehlen.")


def job_of(studio: Studio) -> PrintJob:
    term = a_term(studio)
    given_reports(term)
    return ask.print_reports(term)


def test_the_worker_speaks_as_the_studio_does(
    studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    studio.locale = "de"
    studio.save()
    job_of(studio)
    monkeypatch.setattr(work, "LEAST_ROOM", 1 << 60)
    claimed = work.claim("me")
    assert claimed
    work.work_off(claimed, "me", ScriptedPens())
    claimed.refresh_from_db()
    assert claimed.trouble.startswith("Der Datenträger ist fast voll.")
    with translation.override("de"):
        assert (claimed.title, claimed.get_state_display()) == (
            f"Berichte {claimed.term.name if claimed.term else ''}",
            "nicht gedruckt",
        )


def test_a_drawing_process_answers_in_the_language_it_was_asked_in(
    studio: Studio, tmp_path: Path
) -> None:
    studio.locale, studio.note_names = "de", "german"
    with speaking(studio):
        asked = Order(1, "reports", str(tmp_path / "1.pdf"), {"student": "nothing else"})
    came = Order(**json.loads(asked.line()))
    assert (came.locale, came.note_names, came.zone) == ("de", "german", studio.zone)
    assert carried_out(came).trouble == "Die Seite ließ sich nicht erstellen (ValueError)."
    assert broken_off(came).trouble.startswith("Die Seite ließ sich nicht erstellen:")


def test_a_prints_page_is_german(german: Client, studio: Studio) -> None:
    job = job_of(studio)
    told = page(german, "printing:job", job.pk)
    assert left_in_english(told) == set()
    assert "Seiten für 0 von 3 Schüler:innen erstellt" in told
