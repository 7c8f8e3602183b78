"""Notes tapped together become the pattern they show."""

from __future__ import annotations

import pytest

from practice.bowings.draft import MOST, VALUES, Draft, draft_from, draft_of
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern
from practice.music.errors import BadRhythm

DRAWN = dict(VALUES)


def test_presses_add_and_take_away() -> None:
    draft = Draft().pressed("add:8").pressed("add:8").pressed("add:4")
    assert draft.code == "2/4 8 8 4"
    assert draft.pressed("last").code == "2/4 8 8"
    assert draft.pressed("clear").notes == ()
    assert draft.pressed("add:7") == draft


def test_slurs_marks_and_hooks_are_written() -> None:
    data = {"metre": "3/4", "n0-value": "4", "start": "up", "off": "on", "each": "2"}
    data |= {"n1-value": "8", "n1-slurred": "on", "n2-value": "8", "n2-mark": "s", "n3-value": "4"}
    data |= {"n3-same": "on"}
    assert draft_from(data).code == "3/4 up 4 (8 8s) =4 off x2"


def test_a_slur_ends_before_a_rest_and_at_the_end() -> None:
    data = {"n0-value": "8", "n0-slurred": "on", "n1-value": "r8"}
    data |= {"n2-value": "8", "n2-slurred": "on", "n3-value": "8", "n3-slurred": "on"}
    assert draft_from(data).code == "2/4 8 r8 (8 8)"


def test_nothing_can_be_kept_without_notes() -> None:
    with pytest.raises(BadRhythm, match="no notes yet"):
        Draft().pattern()
    with pytest.raises(BadRhythm):
        Draft().pressed("add:r4").pattern()


def test_what_no_page_posts_is_dropped() -> None:
    data = {"metre": "17/3", "each": "99", "n0-value": "8", "n0-mark": "z", "n1-value": "x"}
    assert draft_from(data) == Draft().pressed("add:8")


def test_a_full_page_takes_no_more() -> None:
    draft = Draft()
    for _ in range(MOST + 3):
        draft = draft.pressed("add:16")
    assert len(draft.notes) == MOST


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda pattern: pattern.slug)
def test_every_bowing_of_the_list_can_be_tapped(pattern: Pattern) -> None:
    if any(value.code not in DRAWN for value in pattern.values):
        pytest.skip("a value the page does not offer")
    again = draft_of(pattern, pattern.name).pattern()
    assert again.code == pattern.code
