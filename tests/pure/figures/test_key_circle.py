"""The circle against the table of signatures that every theory book prints."""

import pytest

from practice.figures.circle_chart import circle_chart
from practice.figures.key_circle import MAJORS, MINORS, KeyHeld, Known, in_order, key_circle
from practice.music.keys import ALL_KEYS, MINOR, Key


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_every_key_stands_with_its_signature(key: Key) -> None:
    """Keys by practice.music, which is checked against a reference of its own."""
    minor = key.mode == MINOR
    signature = key.signature
    usual = (MINORS if minor else MAJORS)[signature % 12]
    sign = key.sign.split()[0]
    enharmonic = {"D♭": "C♯", "F♯": "G♭", "B": "C♭", "g♯": "a♭", "e♭": "d♯", "b♭": "a♯"}
    own = sign.lower() if minor else sign
    assert own in (usual, enharmonic.get(usual))


def test_relatives_stand_on_one_ray() -> None:
    # From memory: C and a share no sign, G and e one sharp, F and d one flat, E♭ and c three flats.
    assert [(MAJORS[n], MINORS[n]) for n in (0, 1, 11, 9)] == [
        ("C", "a"),
        ("G", "e"),
        ("F", "d"),
        ("E♭", "c"),
    ]


def test_a_key_in_hand_now_is_shown_as_that() -> None:
    held = [KeyHeld(1, False, "G", Known.NOW), KeyHeld(1, False, "G", Known.LEARNT)]
    places = key_circle(held)
    assert [each.sign for each in places if each.known == Known.NOW] == ["G"]
    assert len(places) == 24
    assert sum(each.known == Known.TO_COME for each in places) == 23


def test_a_key_is_spelled_as_the_student_has_it() -> None:
    places = key_circle([KeyHeld(-6, False, "G♭", Known.LEARNT), KeyHeld(7, True, "A♯", Known.NOW)])
    known = {each.sign for each in places if each.known != Known.TO_COME}
    assert known == {"G♭", "a♯"}


def test_keys_are_named_once_majors_first_from_flats_to_sharps() -> None:
    held = [
        KeyHeld(1, True, "E", Known.LEARNT),
        KeyHeld(3, False, "A", Known.LEARNT),
        KeyHeld(-1, False, "F", Known.LEARNT),
        KeyHeld(3, False, "A", Known.LEARNT),
        KeyHeld(0, False, "C", Known.NOW),
    ]
    assert [(key.tonic, key.minor) for key in in_order(held, Known.LEARNT)] == [
        ("F", False),
        ("A", False),
        ("E", True),
    ]


def test_c_stands_at_the_top_and_sharps_go_clockwise() -> None:
    pegs = {(peg.sign, peg.minor): peg for peg in circle_chart([]).pegs}
    top, right, bottom = pegs["C", False], pegs["A", False], pegs["F♯", False]
    assert top.x == bottom.x == 39
    assert top.y < right.y < bottom.y
    assert right.x > top.x
    assert pegs["a", True].x == top.x
    assert pegs["a", True].y > top.y


def test_no_peg_touches_another() -> None:
    held = [KeyHeld(n, minor, "X", Known.LEARNT) for n in range(12) for minor in (False, True)]
    pegs = circle_chart(held).pegs
    for number, one in enumerate(pegs):
        for other in pegs[number + 1 :]:
            apart = ((one.x - other.x) ** 2 + (one.y - other.y) ** 2) ** 0.5
            assert apart > one.radius + other.radius


def test_a_key_is_called_as_it_is_named_and_a_long_name_stays_inside_its_peg() -> None:
    """A letter is at most about as wide as 0.62 of its size."""
    names = {("F♯", False): "Fis", ("c♯", True): "cis", ("g♯", True): "sol♯"}
    found = {
        peg.sign: peg
        for peg in circle_chart([], lambda sign, minor: names.get((sign, minor), sign)).pegs
    }
    assert {"C", "Fis", "cis", "sol♯"} <= set(found)
    for name in names.values():
        assert 0.62 * found[name].size * len(name) < 2 * found[name].radius
