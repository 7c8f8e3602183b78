"""How the bow comes round the top of an exercise, and why a scale was made longer, in sentences."""

from dataclasses import dataclass

from practice.music.exercise import Exercise
from practice.music.line import Bow
from studio.language import gettext as _


@dataclass(frozen=True, slots=True)
class Top:
    """The first note of the way down: its bow, its bar from 1, whether the slur goes on over the
    top, and whether its bow is the other one than the exercise began with."""

    bow: Bow
    bar: int
    slurred: bool
    reversed: bool

    @property
    def words(self) -> str:
        down = self.bow == "down"
        if self.slurred:
            inside = _("The top lies inside one up-bow.")
            return _("The top lies inside one down-bow.") if down else inside
        if self.reversed:
            words = _(
                "At the top the bow turns round: the way down begins up-bow, in bar {number}."
            )
            if down:
                words = _(
                    "At the top the bow turns round: the way down begins down-bow, in bar {number}."
                )
            return words.format(number=self.bar)
        begins = _("The way down begins up-bow, as the way up did.")
        return _("The way down begins down-bow, as the way up did.") if down else begins

    @property
    def told(self) -> str:
        """For the sheet: nothing where the bow comes as one expects."""
        return self.words if self.slurred or self.reversed else ""


def at_the_top(exercise: Exercise) -> Top:
    """Bow and bar of the note after the highest one."""
    line = exercise.line
    pitches = [pitch.midi for pitch in line.pitches]
    after = len(pitches) - pitches[::-1].index(max(pitches))
    bow: Bow = exercise.pattern.start
    place = 0
    for number, bar in enumerate(line.bars, start=1):
        for note in bar.notes:
            bow = note.bow or bow
            if note.pitch is None:
                continue
            if place == after:
                hangs = line.slurred[place]
                return Top(bow, number, hangs, bow != exercise.pattern.start)
            place += 1
    raise AssertionError("a scale ends below its top")


def uneven_words(exercise: Exercise) -> str:
    """Why the scale is played as it is: the count, and what is done; "" where it comes out even."""
    if not exercise.completion:
        return ""
    pattern, run = exercise.pattern, exercise.run
    count = len(run.there_and_back) - 1
    group = pattern.notes // pattern.repeats
    done = exercise.completion[:1].lower() + exercise.completion[1:]
    words = _(
        "Before the last note stand {n} notes and the bowing takes {group} at a time, so {done}"
    )
    if pattern.each > 1:
        words = _(
            "Before the last note stand {n} notes, each {each} times, and the bowing takes {group} "
            "at a time, so {done}"
        )
    return words.format(n=count, each=pattern.each, group=group, done=done)
