"""Bars of dropped files are named as they are printed, in every format, on the page itself."""

from __future__ import annotations

import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from practice.engraving.engrave import thread_toolkit
from practice.models import Score
from tests.factories import WorkFactory

# A pickup, a triplet, a grace note, a bar cut in two by a repeat, two endings; invented.
ABC = "X:1\nT:Ferry\nM:2/4\nL:1/8\nK:G\nD|(3GAB {c}d2|e2:|:f2|g2 (fe)|[1 d4:|[2 G4|]\n"
NAMES = ["The pickup", "Bar 1", "Bar 2", "The pickup to bar 3", "Bar 3", "Bar 4", "Bar 5"]


def note(step: str, octave: int, kind: str, more: str = "", before: str = "") -> str:
    """A violin's note of MusicXML."""
    length = "" if "grace" in before else "<duration>2</duration>"
    return (
        f"<note>{before}<pitch><step>{step}</step><octave>{octave}</octave></pitch>"
        f"{length}<voice>1</voice><type>{kind}</type>{more}</note>"
    )


TRIPLET = (
    "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes>"
    "</time-modification>"
)
TUPLET = [
    ("G", '<notations><tuplet type="start"/></notations>'),
    ("A", ""),
    ("B", '<notations><tuplet type="stop"/></notations>'),
]
END = '<barline location="right"><repeat direction="backward"/></barline>'
START = '<barline location="left"><repeat direction="forward"/></barline>'


def ending(number: int) -> str:
    return f'<barline location="left"><ending number="{number}" type="start"/></barline>'


BARS = [
    ("0", note("D", 4, "eighth")),
    (
        "1",
        "".join(note(step, 4, "eighth", TRIPLET + mark) for step, mark in TUPLET)
        + note("C", 5, "eighth", before="<grace/>")
        + note("D", 5, "quarter"),
    ),
    ("2", note("E", 5, "quarter") + END),
    ("X1", START + note("F", 5, "quarter")),
    ("3", note("G", 5, "quarter") + note("F", 5, "eighth") + note("E", 5, "eighth")),
    ("4", ending(1) + note("D", 5, "half") + END),
    ("5", ending(2) + note("G", 4, "half")),
]
HEAD = (
    "<attributes><divisions>4</divisions><key><fifths>1</fifths></key><time><beats>2</beats>"
    "<beat-type>4</beat-type></time><clef><sign>G</sign></clef></attributes>"
)


def musicxml() -> str:
    measures = "".join(
        f'<measure number="{number}"{"" if number.isdigit() and number != "0" else IMPLICIT}>'
        f"{HEAD if number == '0' else ''}{music}</measure>"
        for number, music in BARS
    )
    return (
        "<score-partwise><part-list><score-part id='P1'><part-name>Violin</part-name>"
        f"</score-part></part-list><part id='P1'>{measures}</part></score-partwise>"
    )


IMPLICIT = ' implicit="yes"'


def mei() -> str:
    """The same by Verovio's own conversion."""
    toolkit = thread_toolkit()
    toolkit.setOptions({"inputFrom": "xml"})
    assert toolkit.loadData(musicxml())
    return str(toolkit.getMEI())


@pytest.mark.parametrize("kind", ["abc", "musicxml", "mei"])
def test_bars_carry_their_printed_numbers_on_the_page(signed_in: Client, kind: str) -> None:
    text = {"abc": ABC, "musicxml": musicxml(), "mei": mei()}[kind]
    work = WorkFactory.create()
    upload = SimpleUploadedFile(f"ferry.{kind}", text.encode())
    answer = signed_in.post(f"/repertoire/{work.pk}/score/", {"file": upload})
    assert answer.status_code == 302
    url = answer.headers["Location"]
    html = signed_in.get(url).content.decode()
    assert [re.sub(", likely.*", "", n) for n in re.findall(r'aria-label="([^"]+)" ?[^>]*>', html)
            if n.startswith(("Bar ", "The pickup"))] == NAMES  # fmt: skip
    hand = signed_in.get(f"{url}bars/?bar=2").content.decode()
    assert "Bar 1" in hand
    assert "G, A, B, C, D" in hand
    assert Score.objects.get().bars == len(NAMES)


@pytest.mark.parametrize("bar", ["8", "999", "0"])
def test_a_bar_that_does_not_exist_is_told_on_the_page(signed_in: Client, bar: str) -> None:
    work = WorkFactory.create()
    upload = SimpleUploadedFile("ferry.abc", ABC.encode())
    url = signed_in.post(f"/repertoire/{work.pk}/score/", {"file": upload}).headers["Location"]
    for address in (f"{url}?bar={bar}", f"{url}bars/?bar={bar}"):
        answer = signed_in.get(address)
        assert answer.status_code == 200
        assert "These bars are not in the score." in answer.content.decode()
