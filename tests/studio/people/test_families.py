"""Adding a family on one screen, its guardians, its other students, the table of sizes."""

from __future__ import annotations

import datetime as dt

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from studio.models import Family, Guardian, Student, Studio
from studio.people.forms import FirstStudentForm
from tests.factories import DAY

pytestmark = pytest.mark.usefixtures("frozen")
ADD = "/students/add/"


def as_it_stands(client: Client, url: str, **changed: str) -> dict[str, str]:
    """What a browser would post: the form's own values, with the changes typed in."""
    form = client.get(url).context["form"]
    found = {}
    for field in form:
        value = field.value()
        if isinstance(value, dt.time):
            value = f"{value:%H:%M}"
        if value is not None and value is not False and value != "":
            found[field.html_name] = str(value)
    return found | changed


def test_a_first_name_is_enough(signed_in: Client, studio: Studio) -> None:
    response = signed_in.post(ADD, as_it_stands(signed_in, ADD, given_name="Aroha"))
    student = Student.objects.get()
    assert response.headers["Location"] == f"/students/{student.pk}/"
    assert (student.family.studio, student.family.name) == (studio, "Aroha")
    assert (student.minutes, student.started) == ([20, 20, 20, 20, 20, 20, 0], DAY)
    assert student.sessions == [("After school", None)]
    assert not student.family.guardians.exists()


def test_family_guardian_and_routine_are_kept(signed_in: Client, studio: Studio) -> None:
    typed = as_it_stands(
        signed_in,
        ADD,
        given_name="Châu",
        family_name="Nguyễn Bảo",
        birth_date="2014-03-04",
        instrument_size="3/4",
        guardian_name="Trần Mai",
        relation="mother",
        email="mai@example.org",
        minutes_wed="0",
        minutes_sat="45",
        session_1="Before school",
        session_1_starts="07:10",
        session_2="Evening",
        sheet_style="pre-reader",
    )
    signed_in.post(ADD, typed)
    student = Student.objects.get()
    guardian = student.family.guardians.get()
    assert student.family.name == "Nguyễn Bảo"
    assert (guardian.name, guardian.relation, guardian.email) == (
        "Trần Mai", "mother", "mai@example.org",
    )  # fmt: skip
    assert student.minutes == [20, 20, 0, 20, 20, 45, 0]
    assert student.sessions == [("Before school", dt.time(7, 10)), ("Evening", None)]
    assert student.sheet_style == "pre-reader"


def test_an_adult_is_a_family_of_one_and_gets_the_letters(signed_in: Client) -> None:
    typed = as_it_stands(
        signed_in, ADD, given_name="Sefa", family_name="Faleafa", is_adult="on", phone="555 0100"
    )
    signed_in.post(ADD, typed)
    guardian = Guardian.objects.get()
    assert (guardian.name, guardian.relation, guardian.phone) == (
        "Sefa Faleafa", "the student", "555 0100",
    )  # fmt: skip


BAD_INPUT = [
    ("given_name", "", "First name is missing."),
    ("given_name", "x" * 300, "300 characters are too many; at most 80 fit."),
    ("given_name", "Ana\nBcc: all", "Write it on one line."),
    ("birth_date", "2026-11-26", "26 November 2026 is still to come."),
    ("birth_date", "1890-01-01", "1 January 1890 is more than 110 years ago."),
    ("birth_date", "yesterday", "“yesterday” is not a day."),
    ("minutes_tue", "many", "“many” is not a whole number."),
    ("minutes_tue", "-5", "-5 is too little; at least 0."),
    ("minutes_tue", "601", "601 is too much; at most 600 minutes fit a day."),
    ("session_1", "", "Session 1 is missing."),
    ("session_2_starts", "17:00", "It has a start but no name."),
    ("session_1_starts", "teatime", "“teatime” is not a time of day."),
    ("session_3", "Evening", "Name the sessions of the day in order."),
    ("email", "mai(at)example", "“mai(at)example” is not an e-mail address."),
    ("phone", "555", "Whose is “555”? Name the guardian, or tick adult."),
    ("instrument_size", "9/8", "9/8"),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD_INPUT)
def test_what_cannot_be_is_explained_and_stays_typed(
    signed_in: Client, field: str, typed: str, sentence: str
) -> None:
    post = as_it_stands(signed_in, ADD, given_name="Ana", family_name="Kept Here")
    response = signed_in.post(ADD, post | {field: typed})
    page = response.content.decode()
    assert response.status_code == 422
    assert sentence in page.replace("&quot;", '"')
    assert 'value="Kept Here"' in page
    if field != "instrument_size":
        assert response.context["form"][field].value() == typed
    assert not Family.objects.exists()


STRANGE = [
    "<script>alert(1)</script>",
    "أمينة حداد",
    "נועם",
    "🎻🐙",
    "\u202eevil",
    "Nguyễn Bảo Châu",
    "O'Brien & Łucja",
]


@pytest.mark.parametrize("name", STRANGE)
def test_any_name_is_kept_as_typed_and_shown_as_text(signed_in: Client, name: str) -> None:
    signed_in.post(ADD, as_it_stands(signed_in, ADD, given_name=name))
    student = Student.objects.get()
    assert student.given_name == name
    for url in (f"/students/{student.pk}/", "/students/", f"/families/{student.family_id}/"):
        page = signed_in.get(url).content.decode()
        assert "<script>alert" not in page
    assert "<bdi>" in page


def test_an_upload_where_none_belongs_is_told(signed_in: Client) -> None:
    post: dict[str, object] = dict(as_it_stands(signed_in, ADD, given_name="Ana"))
    post["photo"] = SimpleUploadedFile("ana.jpg", b"not a picture")
    response = signed_in.post(ADD, post)
    assert response.status_code == 422
    assert "“ana.jpg” was not taken: no file belongs on this page." in response.content.decode()
    assert 'value="Ana"' in response.content.decode()
    assert not Student.objects.exists()


def test_the_days_stand_in_the_order_of_the_studio() -> None:
    form = FirstStudentForm(today=DAY, week_start=6)
    assert [day for day, _ in form.minute_fields] == [
        "Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat",
    ]  # fmt: skip
    assert form.minute_fields[0][1].name == "minutes_sun"


def test_details_are_changed_on_one_page(signed_in: Client, student: Student) -> None:
    url = f"/students/{student.pk}/edit/"
    signed_in.post(url, as_it_stands(signed_in, url, given_name="Imani Grace", minutes_sun="15"))
    student.refresh_from_db()
    assert (student.given_name, student.minutes_sun) == ("Imani Grace", 15)


def test_a_refused_change_keeps_the_old_name_in_the_heading(
    signed_in: Client, student: Student
) -> None:
    url = f"/students/{student.pk}/edit/"
    response = signed_in.post(url, as_it_stands(signed_in, url, given_name="x" * 300))
    assert response.status_code == 422
    assert response.context["name"] == "Imani Okonkwo-Reyes"


def test_a_first_day_after_the_leaving_is_refused(signed_in: Client, student: Student) -> None:
    student.leave(dt.date(2026, 6, 30))
    url = f"/students/{student.pk}/edit/"
    response = signed_in.post(url, as_it_stands(signed_in, url, started="2026-09-01"))
    assert "The student left on 30 June 2026, before this day." in response.content.decode()


def test_a_sister_joins_the_family(signed_in: Client, family: Family) -> None:
    url = f"/families/{family.pk}/students/add/"
    form = as_it_stands(signed_in, url, given_name="Zola")
    assert form["family_name"] == "Okonkwo-Reyes"
    signed_in.post(url, form)
    assert family.students.get().full_name == "Zola Okonkwo-Reyes"


def test_the_family_page_has_everybody_on_it(signed_in: Client, student: Student) -> None:
    page = signed_in.get(f"/families/{student.family_id}/").content.decode()
    for words in ("Imani Okonkwo-Reyes", "Tomás Okonkwo-Reyes", "father", "tomas@example.org"):
        assert words in page


def test_a_family_without_anybody_says_what_to_do(signed_in: Client, studio: Studio) -> None:
    family = studio.families.create(name="Ngata")
    page = signed_in.get(f"/families/{family.pk}/").content.decode()
    assert "No student in this family yet" in page
    assert "Nobody to write to yet" in page


def test_guardians_are_added_changed_and_removed(signed_in: Client, family: Family) -> None:
    add = f"/families/{family.pk}/guardians/add/"
    signed_in.post(add, {"name": "Grace Okonkwo", "relation": "grandmother"})
    grace = family.guardians.get(name="Grace Okonkwo")
    signed_in.post(f"/guardians/{grace.pk}/edit/", {"name": "Grace Okonkwo", "phone": "555 0101"})
    grace.refresh_from_db()
    assert (grace.phone, grace.relation) == ("555 0101", "")
    signed_in.post(f"/guardians/{grace.pk}/remove/")
    assert [guardian.name for guardian in family.guardians.all()] == ["Tomás Okonkwo-Reyes"]


def test_a_guardian_without_a_name_is_asked_for_one(signed_in: Client, family: Family) -> None:
    response = signed_in.post(f"/families/{family.pk}/guardians/add/", {"email": "a@example.org"})
    assert response.status_code == 422
    assert "Name is missing." in response.content.decode()
    assert 'value="a@example.org"' in response.content.decode()


def test_name_and_notes_of_a_family_are_changed(signed_in: Client, family: Family) -> None:
    signed_in.post(f"/families/{family.pk}/edit/", {"name": "Reyes", "notes": "Lower bell."})
    family.refresh_from_db()
    assert (family.name, family.notes) == ("Reyes", "Lower bell.")


def test_the_table_of_sizes_is_the_teachers_own(signed_in: Client, studio: Studio) -> None:
    assert "Write down your own table" in signed_in.get(ADD).content.decode()
    url = "/students/sizes/"
    page = signed_in.get(url)
    assert page.content.decode().count('<input type="text" name="size_') == 8
    names = {field.label: field.html_name for field in page.context["form"]}
    signed_in.post(url, {names["1/2"]: "arm of 56 cm and up", names["3/4"]: "61 cm"})
    assert "arm of 56 cm and up" in signed_in.get(ADD).content.decode()
    signed_in.post(url, {names["1/2"]: "", names["3/4"]: "62 cm"})
    assert [(note.size, note.fits) for note in studio.size_notes.all()] == [("3/4", "62 cm")]


def test_a_note_of_300_characters_is_refused(signed_in: Client) -> None:
    response = signed_in.post("/students/sizes/", {"size_0": "x" * 300})
    assert response.status_code == 422
    assert "300 characters are too many; at most 120 fit." in response.content.decode()
