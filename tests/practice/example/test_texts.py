"""What the data files hold. Notes of excerpts are checked against music21's ABC reader."""

from collections.abc import Iterable, Mapping

import pytest
from music21 import converter, note

from practice.example.cast import (
    SpotText,
    load_cast,
    load_pieces,
    load_sentences,
    load_words,
)
from practice.music.abc_bar import read_abc
from practice.music.bowing_list import bowing
from practice.music.bowings import Pattern
from practice.music.excerpt import borrowed_bowing, simpler_keys
from practice.music.fit import variations
from practice.music.how import How, fingered
from practice.music.keys import parse_key
from practice.plans.models import Assignment
from practice.repertoire.catalogue import work_rows
from practice.repertoire.models import Spot

PUPILS = [pupil for each in load_cast().households for pupil in each.students]
EXCERPTS = [
    pytest.param(spot, id=f"{name}-{spot.bars[0]}")
    for name, piece in load_pieces().items()
    for spot in piece.spots
    if spot.abc
]


def sentences(kinds: Mapping[str, Iterable[str]]) -> list[str]:
    return [sentence for said in kinds.values() for sentence in said]


def test_there_are_sixty_things_to_listen_for_and_none_comes_twice() -> None:
    said = sentences(load_sentences()["listen"])
    assert len(said) >= 60
    assert len(set(said)) == len(said)
    longest = Assignment._meta.get_field("listen_for").max_length or 0
    assert all(len(each) <= longest and each.count("*") == 2 for each in said)


def test_there_are_fifty_words_from_home_and_none_comes_twice() -> None:
    said = sentences(load_words())
    assert len(said) >= 50
    assert len(set(said)) == len(said)


def test_the_cast_is_twenty_four_from_five_to_grown_up() -> None:
    assert len(PUPILS) == 24
    assert len({pupil.key for pupil in PUPILS}) == 24
    assert min(int(pupil.age) for pupil in PUPILS) == 5
    assert sum(pupil.age >= 20 for pupil in PUPILS) >= 3
    assert {"Bảo Châu", "Łucja", "Şebnem", "نور"} <= {pupil.given for pupil in PUPILS}


def test_every_habit_of_keeping_a_log_is_there() -> None:
    wanted = {"exact", "late", "round", "badly", "never", "over", "paper", "file", "two homes"}
    assert {pupil.habit for pupil in PUPILS} == wanted


def test_everything_the_cast_plays_is_in_the_catalogue_or_the_teachers_own() -> None:
    known = {row["catalogue_key"] for row in work_rows()}
    pieces = load_pieces()
    for pupil in PUPILS:
        names = [*(step.piece for step in pupil.pieces), *pupil.favourites]
        assert set(names) <= set(pieces)
        assert len(set(names)) == len(names), f"{pupil.key} plays something twice"
        assert {step.work for step in pupil.etudes} <= known
    assert {piece.work for piece in pieces.values() if piece.work} <= known
    assert all(piece.work or piece.title for piece in pieces.values())


def test_every_scale_and_bowing_exists() -> None:
    for pupil in PUPILS:
        for step in pupil.scales:
            assert parse_key(step.key).name == step.key
            assert (parse_key(step.key).mode == "minor") == (step.form != "major")
            how = How(step.string, step.over, "use", fingers=step.fingers)
            assert fingered(parse_key(step.key), step.form, step.octaves, how)
            for name in step.bowings:
                base, _, variation = name.partition("+")
                pattern = pattern_named(base)
                assert isinstance(pattern, Pattern)
                assert not variation or variation in variations(pattern)


def pattern_named(name: str) -> Pattern:
    if not name.startswith("spot:"):
        return bowing(name)
    _, piece, number = name.split(":")
    return borrowed_bowing(read_abc(load_pieces()[piece].spots[int(number) - 1].abc))


def test_a_piece_written_down_to_be_finished_never_makes_a_third_in_hand() -> None:
    for pupil in PUPILS:
        for week in range(-24, 1):
            in_hand = [step for step in pupil.pieces if step.since <= week < step.until]
            assert len(in_hand) <= 2, f"{pupil.key} in week {week}"


@pytest.mark.parametrize("spot", EXCERPTS)
def test_an_excerpt_has_its_bars_and_they_are_full(spot: SpotText) -> None:
    line = read_abc(spot.abc)
    assert line.metre is not None
    assert len(line.bars) == spot.bars[1] - spot.bars[0] + 1
    for bar in line.bars:
        assert sum(each.quarters for each in bar.notes) == line.metre.bar


@pytest.mark.parametrize("spot", EXCERPTS)
def test_music21_reads_the_same_notes_in_an_excerpt(spot: SpotText) -> None:
    ours = [(each.pitch.midi, each.quarters) for each in read_abc(spot.abc).notes if each.pitch]
    score = converter.parse(spot.abc)
    theirs = [
        (each.pitch.midi, each.quarterLength)
        for each in score.recurse().getElementsByClass(note.Note)
    ]
    assert ours == theirs


@pytest.mark.parametrize("spot", EXCERPTS)
def test_fingers_in_an_excerpt_lie_in_the_first_position(spot: SpotText) -> None:
    """First position: the finger's place above its string, in steps of the staff."""
    strings = {"G3": 3 * 7 + 4, "D4": 4 * 7 + 1, "A4": 4 * 7 + 5, "E5": 5 * 7 + 2}
    for each in read_abc(spot.abc).notes:
        if each.pitch is not None and each.finger is not None:
            steps = {each.pitch.diatonic - open_string for open_string in strings.values()}
            assert each.finger in steps, f"{each.pitch.text()} with finger {each.finger}"


def test_a_cue_fits_its_line_and_the_tempo_wanted_is_not_below_the_one_now() -> None:
    longest = Spot._meta.get_field("what").max_length or 0
    for piece in load_pieces().values():
        for spot in piece.spots:
            assert len(spot.what) <= longest
            assert 20 <= spot.now <= spot.goal <= 300


def test_second_exercises_are_in_keys_with_fewer_signs() -> None:
    asked = [spot for piece in load_pieces().values() for spot in piece.spots if spot.easier]
    assert asked
    for spot in asked:
        assert spot.easier in [key.name for key in simpler_keys(read_abc(spot.abc))]
