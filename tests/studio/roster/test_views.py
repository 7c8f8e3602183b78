"""A list from the file to the studio and back, without script."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from studio.models import Family, Guardian, RecordEntry, RosterImport, Student, Studio
from tests.factories import NOW, LessonFactory, StudentFactory

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]
PAGE = "/settings/roster/"
LIST = """Nachname;Vorname;Geburtsdatum;Elternteil;E-Mail;Geige;Bemerkung
Okonkwo-Reyes;Amara;05.03.2014;Tomás Okonkwo-Reyes;tomas@example.org;1/2;=1+1
Brandauer;Leonie;31.02.2012;Sabine Brandauer;sabine@example.org;3/4;
Nakamura;Ren;02.06.2013;Yuki Nakamura;yuki@example.org;3/4;
"""


def read(client: Client, content: str | bytes = LIST, name: str = "list.csv") -> Any:
    raw = content.encode() if isinstance(content, str) else content
    return client.post(f"{PAGE}read/", {"file": SimpleUploadedFile(name, raw)})


def fields(page: Any, **changes: str) -> dict[str, Any]:
    """What a browser would send back of the form on the page."""
    html = page.content.decode()
    found = dict(re.findall(r'type="hidden" name="(held|seen)" value="([^"]+)"', html))
    for name, options in re.findall(r'<select name="(\w+)".*?>(.*?)</select>', html, re.S):
        chosen = re.search(r'value="([^"]*)" selected', options)
        found[name] = chosen[1] if chosen else ""
    return {**found, **changes}


def test_from_the_file_to_the_studio(signed_in: Client, studio: Studio) -> None:
    page = read(signed_in)
    html = " ".join(page.content.decode().split())
    assert "Line 3, <bdi>Geburtsdatum</bdi>:" in html
    assert "“<bdi>31.02.2012</bdi>”" in html
    assert "Bring in 2 students" in html
    assert not Student.objects.exists()
    answer = signed_in.post(f"{PAGE}take/", fields(page), follow=True)
    assert "2 students, 2 guardians and 2 new families are in your studio." in (
        answer.content.decode()
    )
    amara = Student.objects.get(given_name="Amara")
    assert (amara.birth_date, amara.instrument_size) == (dt.date(2014, 3, 5), "1/2")
    assert amara.notes == "=1+1"
    assert amara.family.studio == studio
    assert [entry.what for entry in RecordEntry.objects.all()] == ["imported"]
    made = RosterImport.objects.get()
    gone = signed_in.post(f"{PAGE}{made.pk}/undo/", follow=True).content.decode()
    assert "taken back" in gone
    assert not Student.objects.exists()
    assert not Family.objects.exists()


def test_other_columns_are_looked_at_before_anything_is_made(signed_in: Client) -> None:
    page = read(signed_in)
    other = fields(page, column_4="", column_3="notes", column_6="")
    answer = signed_in.post(f"{PAGE}take/", other)
    assert answer.status_code == 422
    assert "Look at it once more." in answer.content.decode()
    assert not Student.objects.exists()
    answer = signed_in.post(f"{PAGE}take/", fields(answer), follow=True)
    assert Student.objects.get(given_name="Ren").notes == "Yuki Nakamura"
    assert not Guardian.objects.exists()


def test_one_kind_twice_is_told_at_the_column(signed_in: Client) -> None:
    page = read(signed_in)
    answer = signed_in.post(f"{PAGE}look/", fields(page, column_6="given"))
    assert answer.status_code == 422
    assert "is “student: first name” already" in answer.content.decode()


def test_doubles_are_left_alone_unless_ticked(signed_in: Client, studio: Studio) -> None:
    StudentFactory.create(
        family__studio=studio, given_name="Ren", family_name="Nakamura", birth_date=None
    )
    page = read(signed_in)
    assert "Bring in 1 student<" in page.content.decode()
    assert "like <bdi>Ren Nakamura in your studio</bdi>" in page.content.decode()
    signed_in.post(f"{PAGE}take/", fields(page, double="4"))
    assert Student.objects.filter(given_name="Ren").count() == 2


def test_when_the_studio_changed_meanwhile_it_is_looked_at_again(
    signed_in: Client, studio: Studio
) -> None:
    page = read(signed_in)
    StudentFactory.create(family__studio=studio, given_name="Ren", family_name="Nakamura")
    answer = signed_in.post(f"{PAGE}take/", fields(page))
    assert answer.status_code == 422
    assert Student.objects.count() == 1


def test_a_list_without_headings(signed_in: Client) -> None:
    page = read(signed_in, "Ren Nakamura,2013-06-02\nAmara Reyes,2014-03-05\n")
    sent = fields(page, headless="on", column_0="full", column_1="born")
    page = signed_in.post(f"{PAGE}look/", sent)
    assert "Bring in 2 students" in page.content.decode()
    signed_in.post(f"{PAGE}take/", fields(page, headless="on"))
    assert Student.objects.count() == 2


def test_nobody_to_bring_in(signed_in: Client) -> None:
    page = read(signed_in, "Shoe;Hat\n41;blue\n")
    answer = signed_in.post(f"{PAGE}take/", fields(page))
    assert answer.status_code == 422
    assert "nobody to bring in" in answer.content.decode()


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "The file is empty."), (b"PK\x03\x04x", "damaged"), (b"x" * 2_200_000, "at most 2 MB")],
)
def test_what_is_no_list_is_told(signed_in: Client, content: bytes, words: str) -> None:
    answer = read(signed_in, content)
    assert answer.status_code == 422
    assert words in answer.content.decode()


@pytest.mark.parametrize("held", ["", "x", "x:y:z"])
@pytest.mark.parametrize("step", ["look", "take"])
def test_a_list_that_is_not_ours_is_not_believed(signed_in: Client, held: str, step: str) -> None:
    answer = signed_in.post(f"{PAGE}{step}/", {"held": held}, follow=True)
    assert "Choose the list once more." in answer.content.decode()


def test_another_studios_list_is_not_taken(
    signed_in: Client, client: Client, other_studio: Studio
) -> None:
    page = read(signed_in)
    client.force_login(other_studio.owner)
    answer = client.post(f"{PAGE}take/", fields(page), follow=True)
    assert "for another studio" in answer.content.decode()
    assert not Student.objects.exists()


def test_another_studios_import_is_not_found(signed_in: Client, other_studio: Studio) -> None:
    made = RosterImport.objects.create(studio=other_studio, name="x", made=NOW)
    assert signed_in.get(f"{PAGE}{made.pk}/").status_code == 404
    assert signed_in.post(f"{PAGE}{made.pk}/undo/").status_code == 404


def test_what_stays_is_told(signed_in: Client) -> None:
    page = read(signed_in)
    signed_in.post(f"{PAGE}take/", fields(page))
    LessonFactory.create(student=Student.objects.get(given_name="Ren"))
    made = RosterImport.objects.get()
    answer = signed_in.post(f"{PAGE}{made.pk}/undo/", follow=True)
    assert "<bdi>Ren Nakamura</bdi>: has lessons" in answer.content.decode()


def test_a_name_of_a_file_that_is_no_name(signed_in: Client) -> None:
    page = read(signed_in, name='<b>"x\r\nSet-Cookie: y.csv')
    assert "<b>&quot;" not in page.content.decode()
    signed_in.post(f"{PAGE}take/", fields(page))
    assert "\n" not in RosterImport.objects.get().name


def test_the_pages_ask_the_database_a_constant_number_of_times(
    signed_in: Client, studio: Studio, django_assert_max_num_queries: Any
) -> None:
    lines = ["First name,Family name,Parent"]
    lines += [f"Amara {n},Reyes {n},Tomás {n}" for n in range(200)]
    with django_assert_max_num_queries(8):
        read(signed_in, "\n".join(lines))
    for n in range(5):
        RosterImport.objects.create(studio=studio, name=f"{n}.csv", made=NOW)
    with django_assert_max_num_queries(5):
        page = signed_in.get(PAGE)
    assert [each.name for each in page.context["made"]] == [f"{n}.csv" for n in (4, 3, 2, 1, 0)]
