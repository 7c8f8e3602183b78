import pytest

from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern, parse_pattern
from practice.music.fingering import fingering
from practice.music.how import How
from practice.music.keys import parse_key
from practice.music.scales import Arpeggio
from practice.music.staves import (
    arpeggio_staff,
    bowed_arpeggio_staff,
    bowing_card,
    bowing_staff,
    excerpt_staff,
    scale_staff,
)

G = parse_key("G major")


def test_the_scale_names_its_notes_and_strings() -> None:
    staff = scale_staff(G, None, 2)
    assert staff.alt == "G major, two octaves: G A B C D E F sharp G A B C D E F sharp G."
    assert [s for s in "GDAE" if f">{s} string<" in staff.mei] == list("GDAE")
    assert staff.mei.count("<fing ") == 15
    assert staff.mei.count('stem.visible="false"') == 15


def test_the_way_down_is_shown_where_it_differs() -> None:
    staff = scale_staff(parse_key("A minor"), "melodic", 1)
    assert staff.alt.endswith("F sharp G sharp A; down: A G F E D C B A.")
    assert staff.mei.count("<note ") == 15
    assert scale_staff(parse_key("A minor"), "natural", 1).mei.count("<note ") == 8


def test_the_teachers_finger_stands_over_the_scale() -> None:
    assert ">4</fing>" not in scale_staff(G, None, 1).mei
    assert ">4</fing>" in scale_staff(G, None, 1, how=How(fingers="4.4")).mei


def test_a_bowing_says_what_the_bow_does() -> None:
    staff = bowing_staff(parse_pattern("3/4 4 (8 8) (8 8)", name="long, two, two"), G, None, 2, 3)
    assert staff.alt == (
        "G major, two octaves, bowing: long, two, two, quarter note down; 2 eighth notes in one "
        "up-bow; 2 eighth notes in one down-bow. The bow turns round: bars 2, 4, 6 begin up-bow. "
        "First 3 bars: G A B C D E F sharp G A B C D E F sharp G."
    )
    assert staff.mei.count("<measure ") == 3


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
def test_every_bowing_has_a_card_with_words(pattern: Pattern) -> None:
    card = bowing_card(pattern, G)
    assert card.alt.lower().startswith(f"{pattern.name}: ")
    assert card.mei.count("<measure ") == 1
    assert "<fing " not in card.mei


def test_arpeggios_are_named() -> None:
    assert arpeggio_staff(G, Arpeggio.DOMINANT7, 1).alt == (
        "D dominant seventh arpeggio, one octave: D F sharp A C D."
    )
    staff = bowed_arpeggio_staff(bowing("slur3"), G)
    assert "three in a bow" in staff.alt


def test_an_excerpt_is_told_note_by_note() -> None:
    line = read_abc("M:3/4\nL:1/8\nK:G\nv!4!e2 u(!2!cd) z [GB]")
    assert excerpt_staff(line, "Minuet").alt == (
        "Minuet, G major, 3/4. E down-bow finger 4, C up-bow finger 2 slurred to D, rest, G with B."
    )


@pytest.mark.parametrize("string", list("GDAE"))
def test_a_scale_on_one_string(string: str) -> None:
    staff = scale_staff(parse_key("C major"), octaves=1, how=How(string=string))
    assert staff.alt.startswith(f"C major on the {string} string, one octave: C D E")
    assert staff.mei.count("string</dir>") == 1


def test_a_scale_over_the_top() -> None:
    assert scale_staff(G, octaves=2, how=How(over=2)).alt.endswith("E F sharp G A B.")


def test_a_bowing_prints_a_finger_where_the_hand_shifts() -> None:
    staff = bowing_staff(bowing("detache"), parse_key("A major"), None, 3)
    shifts = fingering(staff.line.pitches).shifts
    assert shifts
    for place in shifts:
        assert f'<fing startid="#n{place + 1}"' in staff.mei
