"""Each change of position in words: where, which finger leads, and why just there."""

from collections.abc import Sequence
from dataclasses import dataclass

from practice.music.fingering import Fingering
from practice.music.pitch import Pitch
from practice.music.violin import STRINGS, Place, hands, position_name

_FINGERS = ("the open string", "1st finger", "2nd finger", "3rd finger", "4th finger")


@dataclass(frozen=True, slots=True)
class Shift:
    """`index` is the first note in the new position; `reason` a sentence for the student."""

    index: int
    from_position: int
    to_position: int
    reason: str


def explain_shifts(pitches: Sequence[Pitch], chosen: Fingering) -> tuple[Shift, ...]:
    """One explained shift for each index in `chosen.shifts`."""
    return tuple(_explain(pitches, chosen.places, index) for index in chosen.shifts)


def explain_extensions(pitches: Sequence[Pitch], chosen: Fingering) -> tuple[str, ...]:
    """A sentence for each note a finger has to reach for, told once for each place."""
    found = [
        f"On {pitch.text()} ({place.string} string) the {_reaching(place)}."
        for pitch, place in zip(pitches, chosen.places, strict=True)
        if place.extension
    ]
    return tuple(dict.fromkeys(found))


def _reaching(place: Place) -> str:
    finger, _, reach = place.extension.partition(" finger ")
    where = position_name(place.position)
    verb = "reaches back" if reach == "back" else "is stretched"
    return f"{finger} finger {verb} out of {where}"


def _explain(pitches: Sequence[Pitch], places: Sequence[Place], index: int) -> Shift:
    before = _stopped_before(places, index)
    old, new = places[before].position, places[index].position
    place = places[index]
    words = (
        f"On {pitches[index].text()} ({place.string} string) the {_FINGERS[place.finger]} takes "
        f"{position_name(new)}{_how(places, index, before)}"
    )
    return Shift(index, old, new, f"{words}{_why(pitches, places, index, old)}.")


def _stopped_before(places: Sequence[Place], index: int) -> int:
    return max(i for i in range(index) if places[i].finger)


def _how(places: Sequence[Place], index: int, before: int) -> str:
    if before < index - 1:
        return " while the open string before it sounds"
    if places[before].string == places[index].string:
        if places[before].finger == places[index].finger:
            return ", sliding from the note before"
        return f" after the {_FINGERS[places[before].finger]}"
    return " with the change of string"


def _why(pitches: Sequence[Pitch], places: Sequence[Place], index: int, old: int) -> str:
    """The first note the hand would not have reached from where it was."""
    for i in range(index, len(pitches)):
        if i > index and places[i].finger and places[i].position != places[index].position:
            break
        if not _within(pitches[i], places[i], old):
            note = "it" if i == index else pitches[i].text()
            return f", because {note} is out of reach in {position_name(old)}"
    if places[index].position == 1:
        return ": back to where open strings are at hand"
    return ": the notes that follow lie under one hand there"


def _within(pitch: Pitch, place: Place, position: int) -> bool:
    """Whether the note lies in a position without stretching, on the string it is played on."""
    if place.finger == 0:
        return True
    reached = hands(pitch)
    return any(
        hand.position == position and STRINGS[hand.string] == place.string and not hand.reach
        for hand in reached
    )
