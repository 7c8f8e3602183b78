"""Finding works by words, kind, technique and difficulty; the order they stand in."""

from __future__ import annotations

import pytest
from django.http import QueryDict

from practice.models import Work
from practice.repertoire.finding import (
    Wanted,
    by_difficulty,
    in_order,
    next_in_book,
    techniques_of,
    wanted,
)
from practice.repertoire.library import surname

HUMORESQUE = Work(
    composer="Antonín Dvořák",
    title="Humoresque",
    opus="101",
    number="7",
    key="D major",
    kind="piece",
    techniques=["dotted rhythm", "slurs"],
    difficulty=4,
)


@pytest.mark.parametrize(
    "query",
    [
        "",
        "q=dvorak",
        "q=DVOŘÁK+humor",
        "q=op.+101",
        "q=d+major",
        "q=slurs",
        "kind=piece",
        "technique=slurs",
        "from=4&to=4",
        "from=nonsense&kind=opera",
    ],
)
def test_what_fits(query: str) -> None:
    assert wanted(QueryDict(query)).fits(HUMORESQUE)


@pytest.mark.parametrize(
    "query",
    ["q=elgar", "q=dvorak+elgar", "kind=etude", "technique=trill", "from=5", "to=3", "own=1"],
)
def test_what_does_not_fit(query: str) -> None:
    assert not wanted(QueryDict(query)).fits(HUMORESQUE)


def test_a_work_of_unsaid_difficulty_is_neither_easy_nor_hard() -> None:
    unsaid = Work(title="Tram No. Nine")
    assert Wanted().fits(unsaid)
    assert not Wanted(easiest=1).fits(unsaid)
    assert not Wanted(hardest=10).fits(unsaid)


@pytest.mark.parametrize(
    ("composer", "name"),
    [
        ("Ludwig van Beethoven", "Beethoven"),
        ("Tomaso Antonio Vitali (attr.)", "Vitali"),
        ("Otakar Ševčík", "Ševčík"),
        ("Traditional", "Traditional"),
    ],
)
def test_composers_are_known_by_their_surname(composer: str, name: str) -> None:
    assert surname(composer) == name


def test_numbers_inside_an_opus_are_counted_not_spelled() -> None:
    book = [
        Work(composer="Franz Wohlfahrt", title="60 Studies", opus="45", number=number)
        for number in ("10", "2", "1")
    ]
    loose = Work(title="Exercise")
    early = Work(composer="Ludwig van Beethoven", title="Minuet in G")
    ordered = in_order([loose, *book, early])
    assert [work.number or work.title for work in ordered] == [
        "Minuet in G", "1", "2", "10", "Exercise",
    ]  # fmt: skip


def test_the_next_in_the_book_follow_the_one_in_hand() -> None:
    def study(number: str, opus: str = "45") -> Work:
        return Work(composer="Franz Wohlfahrt", title="60 Studies", opus=opus, number=number)

    works = [study("10"), study("3"), study("1"), study("2"), study("5", opus="54")]
    assert [work.number for work in next_in_book(study("2"), works)] == ["3", "10"]


def test_the_easiest_come_first_and_the_unsaid_last() -> None:
    hard, easy, unsaid = Work(difficulty=9), Work(difficulty=1), Work()
    assert by_difficulty([unsaid, hard, easy]) == [easy, hard, unsaid]


def test_each_technique_is_listed_once() -> None:
    works = [Work(techniques=["trill", "Slurs"]), Work(techniques=["trill"])]
    assert techniques_of(works) == ["Slurs", "trill"]
