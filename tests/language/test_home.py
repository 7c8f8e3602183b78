"""The child's pages, the sheet, families and students in German."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import replace
from typing import TYPE_CHECKING
from urllib.parse import unquote

import pypdf
import pytest
from django.test import Client
from django.utils import translation

from practice.home.take_home import take_home_file
from practice.logs.history import LeftOut
from practice.planning.types import Part
from practice.sheets.bowed import Bowed, borrowed_pattern
from practice.sheets.data import Paper
from practice.sheets.render import sheet_pdf
from studio.links import tokens
from studio.models import HomeLink
from tests import factories
from tests.factories import DAY
from tests.language.leftover import left_in_english
from tests.practice.sheets.samples import FULL, PRE_READER, READER

if TYPE_CHECKING:
    from practice.models import Assignment
    from studio.models import Student, Studio

# Days of the week that are also notes, and a unit.
SAME_LETTERS = {"Do", "Mi", "min"}
pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]


@pytest.fixture(autouse=True)
def in_german(german_studio: Studio, student: Student) -> None:
    student.session_1 = "Nachmittags"
    student.save()


@pytest.fixture
def week(student: Student) -> Assignment:
    """Of a student whose name is read from the right."""
    student.given_name = "نور"
    student.save()
    starts = DAY - dt.timedelta(days=2)
    plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, first_bar=3)
    scale = factories.ScaleInHandFactory.create(student=student)
    make = factories.ItemFactory.create
    make(plan=plan, date=DAY, position=0, key="scale:1", part="scale", minutes=1, scale=scale)
    on = {"key": f"spot:{spot.pk}", "part": "spot", "piece": piece, "spot": spot}
    make(plan=plan, date=DAY, position=1, minutes=3, **on)
    make(plan=plan, date=DAY, position=9, key="explore", part="explore", minutes=2)
    assignment: Assignment = plan.assignment
    return assignment


@pytest.fixture
def token(student: Student) -> str:
    return tokens.issue(HomeLink(opens=HomeLink.Opens.FAMILY, family=student.family))


def told(page: str) -> str:
    return " ".join(page.split())


def test_the_day_speaks_to_the_child(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    answer = client.get(f"/home/{token}/{student.pk}/{DAY}/", headers={"Accept-Language": "en"})
    page = told(answer.content.decode())
    assert left_in_english(page) <= SAME_LETTERS
    assert '<html lang="de">' in page
    assert "<h1><bdi>نور</bdi> am Mittwoch</h1>" in page
    assert "Mittwoch, 25. November, heute" in page
    assert "1 Minute, geschafft" in page
    assert "Tut etwas weh? Hör auf." in page


def test_the_scripts_find_their_words_on_the_page(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    page = client.get(f"/home/{token}/{student.pk}/").content.decode()
    for words in (
        'data-minutes-range="Minuten für {what} können nicht {value} sein: 0 bis {most}."',
        'data-wait="Keine Verbindung. {n} Häkchen warten auf diesem Handy',
        'data-offline="Senden, sobald online"',
        'data-go-on="Weiter"',
    ):
        assert words in page


def test_the_week_of_a_name_read_from_the_right(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    page = told(client.get(f"/home/{token}/{student.pk}/week/").content.decode())
    assert left_in_english(page) <= SAME_LETTERS
    assert "<h1>Woche von <bdi>نور</bdi></h1>" in page
    assert "<b>0</b> von 6 Minuten" in page


def test_what_is_typed_wrong_is_told_in_german(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    ids = week.plan.items.get(part="scale").pk
    sent = {"key": "0" * 32, f"minutes-{ids}": "halb"}
    page = client.post(f"/home/{token}/{student.pk}/{DAY}/", sent)
    assert page.status_code == 422
    assert "müssen eine ganze Zahl sein, nicht „halb“." in page.content.decode()


def test_the_file_for_home_is_german_whoever_asks_for_it(week: Assignment) -> None:
    with translation.override("en"):
        file = take_home_file(week, DAY)
    assert '<html lang="de"' in file
    assert "<title>Woche von نور</title>" in file
    assert left_in_english(file) <= SAME_LETTERS
    assert "Dieser Browser merkt sich nichts." in file


@pytest.mark.parametrize(
    "address",
    [
        "/students/",
        "/students/?q=imani",
        "/students/?show=paused",
        "/students/add/",
        "/students/sizes/",
        "/students/{student}/",
        "/students/{student}/edit/",
        "/families/{family}/",
        "/families/{family}/edit/",
        "/families/{family}/students/add/",
        "/families/{family}/guardians/add/",
        "/families/{family}/home/",
    ],
)
def test_no_page_about_people_stays_english(
    signed_in: Client, student: Student, token: str, address: str
) -> None:
    whole = address.format(student=student.pk, family=student.family_id)
    answer = signed_in.get(whole, headers={"Accept-Language": "en"})
    assert answer.status_code == 200
    assert left_in_english(answer.content.decode()) <= SAME_LETTERS


def test_the_letter_with_the_link_is_german(
    signed_in: Client, student: Student, token: str
) -> None:
    page = signed_in.get(f"/families/{student.family_id}/home/").content.decode()
    letter = unquote(page.partition('href="mailto:')[2].partition('"')[0])
    assert f"subject=Übeseite von {student.given_name}&amp;body=Hallo,\r\n\r\nhier ist" in letter


def test_a_first_session_is_named_in_the_language_of_the_studio(
    signed_in: Client, student: Student
) -> None:
    page = signed_in.get("/students/add/").content.decode()
    assert 'value="Nach der Schule"' in page


def test_left_out_days_have_their_own_singular() -> None:
    with translation.override("de"):
        assert LeftOut(Part.ETUDE, "Etüde", 3, 5).words == "Etüde, 3 von 5 Tagen"


def test_a_borrowed_bowing_is_named_in_each_language_in_turn() -> None:
    bars = "X:1\nM:3/4\nL:1/8\nK:G\nG2 (AB) (cd) |\n"
    said = []
    for language in ("de", "en", "de"):
        with translation.override(language):
            pattern = borrowed_pattern(bars)
            assert pattern is not None
            said.append((pattern.name, Bowed(pattern, "Walzer", "bars 3–4").source))
    in_german = ("lang, zwei, zwei", "Das sind die bars 3–4 aus deinem Stück „Walzer“.")
    assert said == [in_german, ("long, two, two", "They are bars 3–4 of your Walzer."), in_german]


SHEETS = {
    "reader": replace(READER, language="de"),
    "full": replace(FULL, language="de"),
    "pre-reader": replace(PRE_READER, language="de"),
}


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", SHEETS)
def test_a_german_sheet_is_whole_on_two_sides(name: str, paper: Paper) -> None:
    pages = pypdf.PdfReader(io.BytesIO(sheet_pdf(replace(SHEETS[name], paper=paper)))).pages
    front, back = ("".join(page.extract_text().split()) for page in pages)
    for said in (
        f"Wochevon{''.join(SHEETS[name].student.split())}",
        "NächsteStunde",
        "HöredieseWocheauf…",
        "Minuteninsgesamt",
        "EinWortvonzuHause,fürMarisol",
        "Tutetwasweh?Hörauf.",
        "IhrWortgiltmehralsdiesesBlatt.",
    ):
        assert said in front
    own = "einenKreisausmalen." if name == "pre-reader" else "Dreimalhintereinanderleicht?"
    assert own in back


@pytest.mark.parametrize("language", ["de", "en"])
@pytest.mark.parametrize("given_name", ["نور", "נועה"])
def test_a_name_read_from_the_right_stands_in_its_place(language: str, given_name: str) -> None:
    """The heading as it lies on the paper, from left to right, and as it is copied out of it."""
    data = replace(READER, student=given_name, language=language)
    page = pypdf.PdfReader(io.BytesIO(sheet_pdf(data))).pages[0]
    places: dict[str, float] = {}

    def visit(text: str, cm: list[float], tm: list[float], font: object, size: float) -> None:
        for word in (given_name, given_name[::-1], "Woche", "week"):
            if word in text:
                places.setdefault(word, tm[4])

    page.extract_text(visitor_text=visit)
    name_at = min(x for word, x in places.items() if word.startswith(tuple(given_name)))
    assert (places["Woche"] < name_at) if language == "de" else (name_at < places["week"])
