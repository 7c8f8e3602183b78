import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.music.errors import NoFingering
from practice.music.own_fingers import (
    Own,
    fingers_code,
    parse_fingers,
    parse_own,
    with_another_top,
)

owns = st.builds(
    Own, st.sampled_from([None, 0, 1, 2, 3, 4]), st.sampled_from(["", *"GDAE"])
).filter(lambda own: own != Own())


@pytest.mark.parametrize(
    ("typed", "own"),
    [
        ("4", Own(4)),
        (" 4 a ", Own(4, "A")),
        ("0", Own(0)),
        ("open", Own(0)),
        ("d", Own(None, "D")),
        ("", None),
        ("  ", None),
    ],
)
def test_a_finger_is_read_as_it_is_written(typed: str, own: Own | None) -> None:
    assert parse_own(typed) == own


@pytest.mark.parametrize("typed", ["5", "44", "A4", "H", "4B", "٣"])
def test_what_is_no_finger_is_told_with_what_was_typed(typed: str) -> None:
    with pytest.raises(NoFingering, match=f"“{typed}” is no finger"):
        parse_own(typed)


@given(st.dictionaries(st.integers(0, 48), owns, max_size=40))
def test_fingers_are_read_back(own: dict[int, Own]) -> None:
    assert parse_fingers(fingers_code(own)) == own


@pytest.mark.parametrize("code", ["x", "3", "3.", "3.5", "3.4-", "3.4A-B", "1234.1", "-"])
def test_a_code_that_is_none_is_refused(code: str) -> None:
    with pytest.raises(NoFingering, match="does not say which fingers"):
        parse_fingers(code)


@given(st.integers(8, 22), st.integers(0, 3), st.integers(0, 3), st.data())
def test_fingers_stay_with_their_notes_when_the_top_moves(
    octave_top: int, before: int, after: int, data: st.DataObject
) -> None:
    """Told by the note itself: steps above the tonic, and which way it goes."""
    up, other = octave_top + before, octave_top + after
    places = data.draw(st.sets(st.integers(0, 2 * up - 2)))
    moved = with_another_top({place: Own(1) for place in places}, up, other)

    def notes(tops: int, among: set[int]) -> set[tuple[str, int]]:
        return {("up", p) if p < tops else ("down", 2 * tops - 2 - p) for p in among}

    # What the shorter way does not have is gone; nothing else is, and nothing is made up.
    kept = {(way, step) for way, step in notes(up, places) if step < other - (way == "down")}
    assert notes(other, set(moved)) == kept
