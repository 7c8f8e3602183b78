"""Which notes share a beam."""

from collections.abc import Sequence
from fractions import Fraction

from practice.music.line import Note
from practice.music.rhythm import Metre


def beamed(notes: Sequence[Note], metre: Metre | None) -> list[list[Note]]:
    """Notes of one bar in beam groups, in order.

    Within a beat; four plain eighths share a beam in half a bar of 2/4 or 4/4. Rests and longer
    notes break the beam; grace notes go with the note they lean on.
    """
    span = metre.beat if metre else Fraction(1)
    if metre and metre.unit == 4 and metre.count % 2 == 0 and _only_eighths(notes):
        span = Fraction(2)
    groups: list[list[Note]] = []
    graces: list[Note] = []
    time = Fraction(0)
    joined = False
    for note in notes:
        if note.grace:
            graces.append(note)
            continue
        short = note.pitch is not None and note.value.base >= 8
        if short and joined and time % span != 0:
            groups[-1] += [*graces, note]
        else:
            groups.append([*graces, note])
        graces, joined = [], short
        time += note.quarters
    return _whole_tuplets(groups) + ([graces] if graces else [])


def _only_eighths(notes: Sequence[Note]) -> bool:
    short = [note.value for note in notes if note.value.base >= 8]
    return all(v.base == 8 and not v.dots and v.tuplet == (1, 1) for v in short)


def _whole_tuplets(groups: list[list[Note]]) -> list[list[Note]]:
    """A tuplet that holds a longer note or a rest stays in one group, or it would be torn."""
    joined: list[list[Note]] = []
    filled = Fraction(0)
    for group in groups:
        if joined and filled.denominator % 3 == 0:
            joined[-1] += group
        else:
            joined.append(group)
            filled = Fraction(0)
        filled += sum((note.quarters for note in group), Fraction(0))
    return joined
