"""What is refused with a sentence, and what is taken and told."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.models import Programme
from practice.recitals import paper_views
from studio.models import Recital, Studio
from studio.web.pdf import PrintingMissing
from tests import factories
from tests.pages.recitals.steps import DETAILS, address, piece_of

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"minutes": "0"}, "A recital of 0 minutes is too short; at least 5."),
        ({"minutes": "301"}, "A recital of 301 minutes is too long; at most 300."),
        ({"minutes": "an hour"}, "“an hour” is not a whole number."),
        ({"name": ""}, "Name is missing."),
        ({"name": "x" * 81}, "81 characters are too many; at most 80 fit."),
        ({"date": "5.12.2026"}, "“5.12.2026” is not a day."),
        ({"starts": "three"}, "“three” is not a time of day."),
        ({"date": "2027-03-28", "starts": "01:30"}, "so 01:30 does not exist."),
        ({"change_seconds": "601"}, "601 is too much; at most 600."),
        ({"siblings": "kissing"}, "kissing"),
    ],
)
def test_a_wrong_recital_is_refused_and_what_was_typed_stays(
    signed_in: Client, change: dict[str, str], sentence: str
) -> None:
    answer = signed_in.post(address("add"), {**DETAILS, **change})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert "Town library" in page
    assert not Recital.objects.exists()


def test_a_time_that_does_not_exist_is_told_by_the_studios_clock(
    signed_in: Client, studio: Studio
) -> None:
    studio.clock_24h = False
    studio.save()
    answer = signed_in.post(address("add"), {**DETAILS, "date": "2027-03-28", "starts": "01:30"})
    assert "so 1:30 am does not exist." in answer.content.decode()


@pytest.mark.parametrize(
    ("date", "sentences"),
    [
        ("2026-12-05", []),
        ("2027-01-16", ["16 January 2027 lies in no term."]),
        ("2026-11-14", ["14 November 2026 is past"]),
        ("2026-08-01", ["1 August 2026 is past", "1 August 2026 lies in no term."]),
    ],
)
def test_a_day_she_may_not_have_meant_is_taken_and_told(
    signed_in: Client, studio: Studio, date: str, sentences: list[str]
) -> None:
    factories.TermFactory.create(studio=studio)
    page = signed_in.post(address("add"), {**DETAILS, "date": date}, follow=True).content.decode()
    assert [words for words in ("is past", "lies in no term") if words in page] == [
        words for words in ("is past", "lies in no term") if words in " ".join(sentences)
    ]
    assert all(words in page for words in sentences)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("0:00", "0:00 is no length of a piece; from 0:10 to 60:00."),
        ("99:00", "99:00 is no length of a piece"),
        ("two", "“two” is no length. Write minutes and seconds: 2:30."),
    ],
)
def test_a_wrong_length_is_refused_with_its_player(
    signed_in: Client, programme: Programme, typed: str, sentence: str
) -> None:
    values: dict[str, str] = {}
    for each in programme.performances.all():
        values |= {f"{each.pk}-seconds": "1:00", f"{each.pk}-character": "other"}
    values[f"{piece_of('Imani').pk}-seconds"] = typed
    answer = signed_in.post(address("lengths", programme.recital_id), values)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert f'value="{typed}"' in page
    assert not programme.performances.exclude(seconds=None).exists()


@pytest.mark.parametrize(
    ("name", "maker"), [("programme-pdf", "programme_pdf"), ("thanks-pdf", "thanks_pdf")]
)
def test_without_the_library_for_printing_it_says_what_is_missing(
    signed_in: Client, programme: Programme, monkeypatch: pytest.MonkeyPatch, name: str, maker: str
) -> None:
    def missing(*_: object) -> bytes:
        raise PrintingMissing

    monkeypatch.setattr(paper_views, maker, missing)
    answer = signed_in.get(address(name, programme.recital_id))
    assert answer.status_code == 503
    assert "Pango" in answer.content.decode()


@pytest.mark.parametrize("name", ["programme-pdf", "thanks-pdf"])
def test_an_empty_programme_is_no_paper(signed_in: Client, studio: Studio, name: str) -> None:
    empty = factories.ProgrammeFactory.create(recital__studio=studio)
    assert signed_in.get(address(name, empty.recital_id)).status_code == 404
