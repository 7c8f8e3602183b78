"""How the bow comes round the top of an exercise, and why a scale was made longer, in sentences."""

from dataclasses import dataclass

from practice.music.exercise import Exercise
from practice.music.line import Bow


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
        if self.slurred:
            return f"The top lies inside one {self.bow}-bow."
        if self.reversed:
            return (
                f"At the top the bow turns round: "
                f"the way down begins {self.bow}-bow, in bar {self.bar}."
            )
        return f"The way down begins {self.bow}-bow, as the way up did."

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
    notes = f"{count} notes" if pattern.each == 1 else f"{count} notes, each {pattern.each} times,"
    done = exercise.completion[:1].lower() + exercise.completion[1:]
    return f"Before the last note stand {notes} and the bowing takes {group} at a time, so {done}"
