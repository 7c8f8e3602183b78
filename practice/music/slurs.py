"""Which of a file's slurs say how to bow."""

from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence
from dataclasses import replace

from practice.music.line import Bar, Note

Span = tuple[int, int]


def place_slurs(bars: Sequence[Bar], spans: Iterable[Span]) -> tuple[tuple[Bar, ...], int]:
    """The bars with slurs set, and how many were passed over.

    A span is (first, last) by note from 0, rests and graces counted. Slurs do not lie over one
    another on a bow: where they do, the shorter one is the bow and the longer a phrase mark.
    """
    kept: list[Span] = []
    passed = 0
    for span in sorted(set(spans), key=lambda s: (s[1] - s[0], s)):
        if span[0] >= span[1] or _overlaps(kept, span):
            passed += 1
        else:
            insort(kept, span)
    starts, ends = {span[0] for span in kept}, {span[1] for span in kept}
    result, count = [], 0
    for bar in bars:
        notes: list[Note] = []
        for note in bar.notes:
            if count in starts or count in ends:
                note = replace(note, slur_start=count in starts, slur_end=count in ends)
            notes.append(note)
            count += 1
        result.append(replace(bar, notes=tuple(notes)))
    return tuple(result), passed


def _overlaps(kept: list[Span], span: Span) -> bool:
    """Whether a span shares more than one note with a kept one; kept ones are disjoint."""
    place = bisect_left(kept, span)
    before = kept[place - 1] if place else None
    after = kept[place] if place < len(kept) else None
    return bool((before and before[1] > span[0]) or (after and after[0] < span[1]))
