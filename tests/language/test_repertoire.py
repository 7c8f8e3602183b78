"""Repertoire, scores, bowings, scale books and the list of weeks in German."""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING

import pypdf
import pytest
from django.test import Client
from django.utils import translation

from practice.models import Bowing, Idea, PieceInHand, Work
from practice.music.bowing_list import bowing
from practice.repertoire.catalogue import load_catalogue
from practice.repertoire.catalogue_words import technique_from, told_technique
from tests import factories
from tests.factories import DAY
from tests.language.leftover import left_in_english

if TYPE_CHECKING:
    from studio.models import Student, Studio

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]
SAME_LETTERS = {"Do", "Mi"}  # days, and names of notes in English


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    """With a spot to be seen and a solved one; and all else a student can have."""
    student.session_1 = "Nachmittags"
    student.save()
    made: PieceInHand = factories.PieceInHandFactory.create(student=student)
    bars = {"excerpt": "K:G\n[M:3/4] d2 GA Bc", "easier_key": "C major", "last_bar": 8}
    factories.SpotFactory.create(piece=made, first_bar=7, **bars)
    factories.SpotFactory.create(piece=made, state="solved", solved=DAY)
    gone = {"finished": DAY, "stage": PieceInHand.Stage.FINISHED}
    factories.PieceInHandFactory.create(student=student, work=made.work, place=2, **gone)
    old = {"since": dt.date(2026, 9, 3), "until": dt.date(2026, 11, 11), "string": "A"}
    factories.ScaleInHandFactory.create(student=student, **old)
    now = {"tempo_now": 66, "tempo_goal": 80, "form": "harmonic"}
    factories.ScaleInHandFactory.create(student=student, key="B minor", **now)
    factories.EtudeInHandFactory.create(student=student)
    factories.FavouriteFactory.create(student=student)
    pattern = bowing("slur2").as_json() | {"slug": ""}
    Bowing.objects.create(studio=student.family.studio, name="Schaukel", pattern=pattern)
    return made


@pytest.mark.parametrize(
    "address",
    [
        "/repertoire/",
        "/repertoire/?q=nichts",
        "/repertoire/add/",
        "/repertoire/ideas/",
        "/repertoire/ideas/add/",
        "/repertoire/scale-book/",
        "/repertoire/{piece.work_id}/",
        "/repertoire/{piece.work_id}/score/",
        "/bowings/",
        "/bowings/make/",
        "/students/{piece.student_id}/",
        "/students/{piece.student_id}/repertoire/",
        "/students/{piece.student_id}/pieces/give/",
        "/students/{piece.student_id}/pieces/give/new/",
        "/students/{piece.student_id}/etude/",
        "/students/{piece.student_id}/etude/new/",
        "/students/{piece.student_id}/scale/",
        "/students/{piece.student_id}/scale/fingers/",
        "/students/{piece.student_id}/scale-book/",
        "/students/{piece.student_id}/favourites/add/",
        "/students/{piece.student_id}/weeks/",
        "/pieces/{piece.pk}/edit/",
        "/pieces/{piece.pk}/spots/add/",
        "/spots/{spot.pk}/edit/",
    ],
)
def test_no_page_keeps_an_english_message(german: Client, piece: PieceInHand, address: str) -> None:
    load_catalogue()
    answer = german.get(address.format(piece=piece, spot=piece.spots.earliest("hardness")))
    assert answer.status_code == 200
    assert left_in_english(answer.content.decode()) <= SAME_LETTERS


def test_the_page_of_a_student_says_all_in_german(german: Client, piece: PieceInHand) -> None:
    page = german.get(f"/students/{piece.student_id}/repertoire/").content.decode()
    for words in ("<b>h-Moll</b> harmonisch, 2 Oktaven", "auf der A-Saite", "Zuerst in C-Dur."):
        assert words in page
    assert "seit 11. November, 2 Wochen" in page
    assert '<span class="second">Takte</span> <b>7 bis 8</b>' in page


def test_refusals_are_german_sentences(german: Client, piece: PieceInHand) -> None:
    factories.PieceInHandFactory.create(student=piece.student, place=2)
    third = factories.WorkFactory.create(title="Gavotte")
    page = german.post(f"/students/{piece.student_id}/pieces/give/", {"work": third.pk})
    assert (
        "hat schon zwei Stücke in Arbeit, Menuett G-Dur und Menuett G-Dur." in page.content.decode()
    )


def test_the_shared_list_is_told_in_german_and_a_teachers_own_as_typed(
    german: Client, studio: Studio
) -> None:
    load_catalogue()
    own = factories.IdeaFactory.create(studio=studio, title="Deep river", text="Trill.")
    shared = Idea.objects.get(title="Deep river", studio=None)
    with translation.override("de"):
        assert (str(shared), str(own)) == ("Tiefer Fluss", "Deep river")
        assert own.told_text == "Trill."
        assert shared.told_text.startswith("Lass die leere D-Saite klingen")
        assert str(Work.objects.get(kind=Work.Kind.METHOD)) == "Übung aus der Schule"
        assert str(Work.objects.filter(title="60 Studies").first()) == "60 Etüden, op. 45 Nr. 1"
        mine = factories.WorkFactory.create(studio=studio, title="60 Studies", opus="45")
        assert str(mine) == "60 Studies, op. 45"
        handel = Work.objects.filter(composer="George Frideric Handel").first()
        assert handel is not None
        assert handel.told_composer == "Georg Friedrich Händel"
    assert str(shared) == "Deep river"


def test_a_work_is_found_by_its_german_title_and_by_the_stored_one(german: Client) -> None:
    load_catalogue()
    for words in ("Soldatenmarsch", "Soldiers’ March", "Händel HWV 361"):
        found = german.get("/repertoire/", {"q": words}).context["page"].object_list
        assert len(found) == 1, words


def test_techniques_are_found_typed_and_kept_by_either_name(german: Client) -> None:
    load_catalogue()
    found = [
        german.get("/repertoire/", {"q": words}).context["page"].object_list
        for words in ("Saitenwechsel a-Moll", "string crossing A minor", "Quetschkommode")
    ]
    assert {(work.key, "string crossing" in work.techniques) for work in found[0]} == {
        ("A minor", True)
    }
    assert set(found[0]) <= set(found[1])
    assert found[2] == []
    typed = {"title": "Karussell", "kind": "piece", "key": "B-Dur"}
    german.post("/repertoire/add/", typed | {"techniques": "Triller, Wackelkontakt"})
    work = Work.objects.get(title="Karussell")
    assert (work.key, work.techniques) == ("B flat major", ["trill", "Wackelkontakt"])
    page = german.get(f"/repertoire/{work.pk}/edit/").content.decode()
    assert 'value="B-Dur"' in page
    assert 'value="Triller, Wackelkontakt"' in page


def test_a_technique_of_her_own_is_no_message() -> None:
    with translation.override("de"):
        assert told_technique("Monday") == "Monday"
        assert technique_from("Doppelgriffe") == "double stops"


def test_bars_of_a_score_are_told_in_the_language_of_the_moment(
    german: Client, piece: PieceInHand, studio: Studio
) -> None:
    score = factories.ScoreFactory.create(studio=studio, work=piece.work)
    address = f"/scores/{score.pk}/?bar=2&bar=3&tempo=200"
    page = german.get(address).content.decode()
    assert left_in_english(page) <= SAME_LETTERS
    assert "<h2>Takte 1 bis 2</h2>" in page
    assert "Wahrscheinlich schwer" in page
    studio.locale = "en"
    studio.save()
    assert "<h2>Bars 1 to 2</h2>" in german.get(address).content.decode()


def test_a_scale_book_is_german_to_its_last_page(german: Client, piece: PieceInHand) -> None:
    asked = {"keys": ["B minor", "B flat major"], "octaves": "1", "minor_form": "melodic"}
    asked |= {"bowings": ["slur3"], "arpeggios": ["tonic", "relative", "dominant7"]}
    answer = german.post(f"/students/{piece.student_id}/scale-book/", asked)
    assert "tonleiterheft" in answer["Content-Disposition"]
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.content)).pages]
    text = " ".join(" ".join(pages).split())
    for words in ("In diesem Heft: B-Dur, h-Moll.", "Dreiklang der Paralleltonart", "Seite 10 von"):
        assert words in text
    for word in ("Scale", "major", "minor", "Bowing", "page", "November 2026, from"):
        assert word not in text
