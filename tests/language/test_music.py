"""Notes, keys and bowings as a German teacher reads them, and pictures that keep their language."""

import pytest
from django.test import Client
from django.utils import translation

from practice.engraving.pictures import picture
from practice.engraving.spec import Spec
from practice.music.abc_bar import AbcError, read_abc
from practice.music.bowing_list import BOWINGS, bowing
from practice.music.fingering import fingering
from practice.music.keys import parse_key
from practice.music.rhythm import parse_value
from practice.music.scales import Arpeggio, arpeggio, scale
from practice.music.shifts import explain_shifts
from practice.music.staves import bowing_staff, scale_staff
from practice.music.typed_keys import typed_key
from studio.language import LETTERS, SYLLABLES, naming

B_FLAT = parse_key("B flat major")


def test_keys_scales_and_chords_are_named_as_in_german() -> None:
    b_minor = parse_key("B minor")
    with translation.override("de"):
        assert (B_FLAT.told, B_FLAT.sign, b_minor.told) == ("B-Dur", "B-Dur", "h-Moll")
        assert scale(b_minor, "melodic").name == "h-Moll melodisch"
        assert arpeggio(B_FLAT, Arpeggio.DOMINANT7).name == "Dominantseptakkord auf F"
        assert typed_key("B-Dur") == B_FLAT
        assert b_minor.name == "B minor"
    assert b_minor.told == "B minor"


def test_other_names_of_notes_have_signs_where_german_has_no_word() -> None:
    with translation.override("de"):
        with naming(LETTERS):
            assert B_FLAT.told == "B♭-Dur"
        with naming(SYLLABLES):
            assert B_FLAT.told == "Si♭-Dur"


def test_alternatives_name_notes_strokes_and_bars_in_german() -> None:
    with translation.override("de"):
        assert scale_staff(parse_key("B minor"), "melodic", 1).alt == (
            "h-Moll melodisch, eine Oktave: H Cis D E Fis Gis Ais H; abwärts: H A G Fis E D Cis H."
        )
        assert bowing_staff(bowing("2s2d"), B_FLAT, None, 1, 3).alt == (
            "B-Dur, eine Oktave, Strichart: zwei zusammen, zwei für sich, 2 Achtelnoten auf einem "
            "Abstrich; Achtelnote im Aufstrich; Achtelnote im Abstrich. Der Strich kehrt sich um: "
            "Die Takte 2, 4 beginnen mit Aufstrich. Die ersten 3 Takte: B C D Es F G A B C B A G."
        )


def test_values_are_counted_and_shifts_explained_in_german() -> None:
    notes = scale(parse_key("A major"), octaves=3).there_and_back
    with translation.override("de"):
        assert parse_value("8.").name == "punktierte Achtelnote"
        assert parse_value("r16").names(3) == "Sechzehntelpausen"
        assert explain_shifts(notes, fingering(notes))[0].reason == (
            "Auf h² (E-Saite) geht der 1. Finger nach dem 3. Finger in die 4. Lage, weil cis³ in "
            "der 1. Lage nicht zu erreichen ist."
        )


def test_bars_that_cannot_be_read_are_refused_in_german() -> None:
    with translation.override("de"), pytest.raises(AbcError, match="Dieser Bindebogen wird nie"):
        read_abc("(AB")


def test_bowings_of_the_list_are_stored_in_english_and_shown_in_german() -> None:
    two = bowing("slur2")
    with translation.override("de"):
        assert (two.name, two.trade_name) == ("zwei auf einem Bogen", "je zwei gebunden")
        assert two.as_json()["name"] == "two in a bow"
        assert all(each.name not in (each.called, "") for each in BOWINGS)
    assert two.name == "two in a bow"


def test_a_picture_keeps_its_language_in_its_address(client: Client) -> None:
    spec = Spec("scale", parse_key("G major"), "major", 1)
    english = picture(spec)
    with translation.override("de"):
        german = picture(spec)
    with naming(SYLLABLES):
        syllables = picture(spec)
    assert len({english.src, german.src, syllables.src}) == 3
    assert len({english.alt, german.alt, syllables.alt}) == 3
    drawn = {}
    for each in (english, german, syllables):
        # A browser's own language says nothing about a studio's.
        answer = client.get(each.src, headers={"accept-language": "de"})
        drawn[each.src] = answer.content.decode()
        assert drawn[each.src] == each.svg
        assert client.get(each.sound).json()["notes"] == client.get(english.sound).json()["notes"]
    assert len(set(drawn.values())) == 3
