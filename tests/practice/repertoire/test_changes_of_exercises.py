"""One scale and one etude at a time; moving on closes the old one on its day."""

from __future__ import annotations

import datetime as dt

import pytest

from practice.models import ScaleInHand
from practice.music.how import How
from practice.repertoire import changes
from studio.models import Student
from tests.factories import DAY, EtudeWorkFactory, ScaleInHandFactory

BEFORE = DAY - dt.timedelta(days=21)


def test_moving_on_closes_the_open_scale_on_that_day(student: Student) -> None:
    old = changes.move_scale(student, "G major", "major", 2, BEFORE)
    new = changes.move_scale(student, "C major", "major", 2, DAY, ("slur4", ""))
    old.refresh_from_db()
    assert old.until == DAY
    assert (new.since, new.until, new.bowing_1) == (DAY, None, "slur4")
    assert student.scales.filter(until=None).get() == new


def test_the_same_scale_again_changes_its_bowings_only(student: Student) -> None:
    old = changes.move_scale(student, "G major", "major", 2, BEFORE)
    again = changes.move_scale(student, "G major", "major", 2, DAY, ("slur2", "slur4"))
    assert (again.pk, again.since, again.bowing_2) == (old.pk, BEFORE, "slur4")


def test_another_number_of_octaves_is_another_exercise(student: Student) -> None:
    changes.move_scale(student, "G major", "major", 1, BEFORE)
    assert changes.move_scale(student, "G major", "major", 2, DAY).since == DAY
    assert student.scales.count() == 2


def test_a_scale_changed_on_the_day_it_was_given_leaves_no_trace(student: Student) -> None:
    first = changes.move_scale(student, "G major", "major", 2, DAY)
    changes.set_scale_tempo(first, 60, 80)
    second = changes.move_scale(student, "D major", "major", 2, DAY)
    assert student.scales.get() == second
    assert second.tempo_now is None


def test_a_key_is_kept_under_its_one_name(student: Student) -> None:
    assert changes.move_scale(student, "Bb minor", "melodic", 2, DAY).key == "B flat minor"


@pytest.mark.parametrize(
    ("key", "form", "octaves", "field", "words"),
    [
        ("H major", "major", 1, "key", "“H major” is not a key"),
        ("G sharp major", "major", 1, "key", "G sharp major"),
        ("G major", "melodic", 1, "form", "G major cannot be played as melodic minor"),
        ("E minor", "major", 1, "form", "E minor cannot be played as major"),
        ("E minor", "dorian", 1, "form", "“dorian” is no form"),
        ("G major", "major", 4, "octaves", "4 is not 1, 2 or 3"),
    ],
)
def test_a_scale_that_does_not_exist_is_refused(
    student: Student, key: str, form: str, octaves: int, field: str, words: str
) -> None:
    with pytest.raises(changes.Refused, match=words) as refused:
        changes.move_scale(student, key, form, octaves, DAY)
    assert refused.value.field == field
    assert not student.scales.exists()


def test_no_scale_starts_before_the_one_in_hand(student: Student) -> None:
    changes.move_scale(student, "G major", "major", 2, DAY)
    with pytest.raises(changes.Refused, match="G major is in hand since 25 November 2026"):
        changes.move_scale(student, "C major", "major", 2, BEFORE)


def test_the_tempo_of_a_scale_may_be_unsaid_but_not_upside_down(student: Student) -> None:
    scale = ScaleInHandFactory.create(student=student)
    changes.set_scale_tempo(scale, 60, None)
    changes.set_scale_tempo(scale, None, None)
    with pytest.raises(changes.Refused, match="wanted, 60, lies below the tempo now, 72"):
        changes.set_scale_tempo(scale, 72, 60)


def test_moving_on_to_the_next_etude_closes_the_first(student: Student) -> None:
    old = changes.move_etude(student, EtudeWorkFactory.create(), BEFORE, "lines 1 and 2")
    new = changes.move_etude(student, EtudeWorkFactory.create(), DAY, cue="wrist soft")
    old.refresh_from_db()
    assert (old.until, new.since, new.cue) == (DAY, DAY, "wrist soft")


def test_the_same_etude_again_changes_its_words_only(student: Student) -> None:
    work = EtudeWorkFactory.create()
    old = changes.move_etude(student, work, BEFORE, "line 1")
    again = changes.move_etude(student, work, DAY, "lines 1 and 2")
    assert (again.pk, again.since, again.lines) == (old.pk, BEFORE, "lines 1 and 2")


def test_no_etude_starts_before_the_one_in_hand(student: Student) -> None:
    changes.move_etude(student, EtudeWorkFactory.create(), DAY)
    with pytest.raises(changes.Refused, match="since 25 November 2026"):
        changes.move_etude(student, EtudeWorkFactory.create(), BEFORE)


MINE = "4.4G-24.4G"


def fingered(student: Student) -> ScaleInHand:
    scale = changes.move_scale(student, "G major", "major", 2, BEFORE, ("slur2", ""))
    changes.set_fingering(scale, How(open_strings="avoid", fingers=MINE))
    return scale


def test_fingers_stay_when_bowings_and_tempo_change(student: Student) -> None:
    scale = fingered(student)
    changes.move_scale(student, "G major", "major", 2, DAY, ("slur4", "slur2+doubled"))
    changes.set_scale_tempo(scale, 60, 80)
    scale.refresh_from_db()
    assert (scale.fingers, scale.open_strings) == (MINE, "avoid")


def test_another_number_of_notes_over_the_top_is_the_same_scale_with_its_fingers(
    student: Student,
) -> None:
    scale = fingered(student)
    changes.move_scale(student, "G major", "major", 2, DAY, how=How(over=2))
    scale.refresh_from_db()
    assert (scale.until, scale.over_top, scale.fingers) == (None, 2, "4.4G-28.4G")


def test_the_next_scale_begins_without_fingers_and_keeps_what_the_hand_may_do(
    student: Student,
) -> None:
    old = fingered(student)
    new = changes.move_scale(student, "C major", "major", 2, DAY)
    old.refresh_from_db()
    assert (new.fingers, new.open_strings, old.fingers) == ("", "avoid", MINE)


def test_a_scale_on_one_string_is_another_scale(student: Student) -> None:
    old = changes.move_scale(student, "G major", "major", 1, BEFORE)
    new = changes.move_scale(student, "G major", "major", 1, DAY, how=How(string="G"))
    assert (new.pk != old.pk, new.string) == (True, "G")


@pytest.mark.parametrize(
    ("octaves", "how", "field", "sentence"),
    [
        (3, How(string="E"), "string", "above the violin"),
        (3, How(over=3), "", ""),
        (1, How(string="G", over=1), "", ""),
    ],
)
def test_what_cannot_be_played_is_refused_on_its_field(
    student: Student, octaves: int, how: How, field: str, sentence: str
) -> None:
    if not field:
        assert changes.move_scale(student, "G major", "major", octaves, DAY, how=how)
        return
    with pytest.raises(changes.Refused, match=sentence) as refused:
        changes.move_scale(student, "G major", "major", octaves, DAY, how=how)
    assert refused.value.field == field
    assert not student.scales.exists()


def test_a_finger_that_cannot_play_its_note_is_refused(student: Student) -> None:
    scale = fingered(student)
    with pytest.raises(changes.Refused, match="G 3 cannot be played with finger 4"):
        changes.set_fingering(scale, How(fingers="0.4"))
    scale.refresh_from_db()
    assert scale.fingers == MINE
