from dataclasses import replace

import pytest

from practice.music.errors import MusicError, NoFingering, OutOfRange
from practice.music.how import PLAIN, How, carried_over, fingered, run_of
from practice.music.keys import ALL_KEYS, Key, parse_key
from practice.music.scales import forms_for
from practice.music.violin import STRINGS

G = parse_key("G major")
NAMED = ("G major", "major", 2)


@pytest.mark.parametrize("string", STRINGS)
@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_one_octave_on_one_string_is_played_on_it_alone(key: Key, string: str) -> None:
    for form in forms_for(key):
        found = fingered(key, form, 1, How(string=string))
        assert {place.string for place in found.places} == {string}


@pytest.mark.parametrize("over", [1, 2, 3])
def test_the_ending_goes_over_the_top_and_back(over: int) -> None:
    run = run_of(G, None, 2, How(over=over))
    assert len(run.there_and_back) == 29 + 2 * over
    assert run.down == run.up[::-1]
    assert fingered(G, None, 2, How(over=over)).places


def test_what_the_violin_does_not_have_is_told() -> None:
    with pytest.raises(OutOfRange, match="above the violin"):
        fingered(G, None, 3, How(string="E"))
    with pytest.raises(NoFingering, match="cannot be played on the G string in first position"):
        fingered(G, None, 1, How(string="G", highest=1))


def test_fingers_over_three_octaves_stay_wherever_they_are_written() -> None:
    plain = fingered(G, None, 3).places
    changed = fingered(G, None, 3, How(fingers="4.4G-18.D-38.3")).places
    assert (changed[4].finger, changed[4].string) == (4, "G")
    assert changed[18].string == "D"
    assert changed[38].finger == 3
    assert changed != plain
    assert changed[:3] == plain[:3]


def test_the_same_scale_keeps_its_fingers_and_another_does_not() -> None:
    now = (NAMED, How(open_strings="avoid", fingers="4.4G-24.4G"))
    assert carried_over(now, NAMED, PLAIN) == now[1]
    longer = carried_over(now, NAMED, How(over=1))
    assert longer == replace(now[1], over=1, fingers="4.4G-26.4G")
    assert carried_over((NAMED, longer), NAMED, PLAIN) == now[1]
    other = carried_over(now, ("D major", "major", 2), PLAIN)
    assert other == How(open_strings="avoid")
    assert carried_over(now, NAMED, How(string="")).fingers
    with pytest.raises(MusicError):
        carried_over(now, ("G major", "major", 3), How(string="E"))


def test_words_name_string_and_top() -> None:
    assert How(string="A", over=2).words == ("on the A string", "two notes over the top")
    assert PLAIN.words == ()
