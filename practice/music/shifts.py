"""Each change of position in words: where, which finger leads, and why just there."""

from collections.abc import Sequence
from dataclasses import dataclass

from practice.music.fingering import Fingering
from practice.music.naming import string_label
from practice.music.pitch import Pitch
from practice.music.violin import BACK, STRINGS, Place, hands, position_name
from studio.language import gettext as _


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
        _reaching(pitch, place)
        for pitch, place in zip(pitches, chosen.places, strict=True)
        if place.reach
    ]
    return tuple(dict.fromkeys(found))


def _reaching(pitch: Pitch, place: Place) -> str:
    words = _("On {note} ({string}) the {finger} is stretched out of {position}.")
    if place.reach == BACK:
        words = _("On {note} ({string}) the {finger} reaches back out of {position}.")
    return words.format(
        note=pitch.text(),
        string=string_label(place.string),
        finger=_finger(place),
        position=position_name(place.position),
    )


def _finger(place: Place) -> str:
    """ "1st finger"; open strings lead no shift."""
    return (_("1st finger"), _("2nd finger"), _("3rd finger"), _("4th finger"))[place.finger - 1]


def _explain(pitches: Sequence[Pitch], places: Sequence[Place], index: int) -> Shift:
    before = _stopped_before(places, index)
    old, new = places[before].position, places[index].position
    place = places[index]
    words = _how(places, index, before).format(
        note=pitches[index].text(),
        string=string_label(place.string),
        finger=_finger(place),
        position=position_name(new),
        before=_finger(places[before]),
    )
    return Shift(index, old, new, _why(words, pitches, places, index, old))


def _stopped_before(places: Sequence[Place], index: int) -> int:
    return max(i for i in range(index) if places[i].finger)


def _how(places: Sequence[Place], index: int, before: int) -> str:
    if before < index - 1:
        return _(
            "On {note} ({string}) the {finger} takes {position} while the open string before it "
            "sounds"
        )
    if places[before].string != places[index].string:
        return _("On {note} ({string}) the {finger} takes {position} with the change of string")
    if places[before].finger == places[index].finger:
        return _("On {note} ({string}) the {finger} takes {position}, sliding from the note before")
    return _("On {note} ({string}) the {finger} takes {position} after the {before}")


def _why(
    shift: str, pitches: Sequence[Pitch], places: Sequence[Place], index: int, old: int
) -> str:
    """With the first note the hand would not have reached from where it was."""
    for i in range(index, len(pitches)):
        if i > index and places[i].finger and places[i].position != places[index].position:
            break
        if not _reached(pitches[i], places[i], old):
            words = _("{shift}, because {note} is out of reach in {position}.")
            if i == index:
                words = _("{shift}, because it is out of reach in {position}.")
            return words.format(shift=shift, note=pitches[i].text(), position=position_name(old))
    words = _("{shift}: the notes that follow lie under one hand there.")
    if places[index].position == 1:
        words = _("{shift}: back to where open strings are at hand.")
    return words.format(shift=shift)


def _reached(pitch: Pitch, place: Place, position: int) -> bool:
    """Whether the note lies in a position without stretching, on the string it is played on."""
    if place.finger == 0:
        return True
    reached = hands(pitch)
    return any(
        hand.position == position and STRINGS[hand.string] == place.string and not hand.reach
        for hand in reached
    )
