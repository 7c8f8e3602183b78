"""Scales and arpeggios, spelled, from the lowest tonic the violin has."""

from dataclasses import dataclass, replace
from enum import StrEnum

from practice.music.errors import MusicError, OutOfRange
from practice.music.keys import Key
from practice.music.naming import MAJOR, MINOR, key_in_words, tone, tonic
from practice.music.pitch import HIGHEST, LOWEST, Pitch
from studio.language import gettext as _
from studio.language import gettext_noop, pgettext


class Form(StrEnum):
    """How a scale is built. A major key has one form, a minor key three."""

    MAJOR = "major"
    NATURAL = "natural"
    HARMONIC = "harmonic"
    MELODIC = "melodic"


class Arpeggio(StrEnum):
    """The usual violin set; common practice, no source."""

    TONIC = "tonic"
    RELATIVE = "relative"
    PARALLEL = "parallel"
    DOMINANT7 = "dominant7"
    DIMINISHED7 = "diminished7"


# Notes over the top: 1, 2 or 3 of them.
OVER_THE_TOP = (gettext_noop("one note"), gettext_noop("two notes"), gettext_noop("three notes"))
# Semitones of the seven degrees above the tonic.
_DEGREES = {
    Form.MAJOR: (0, 2, 4, 5, 7, 9, 11),
    Form.NATURAL: (0, 2, 3, 5, 7, 8, 10),
    Form.HARMONIC: (0, 2, 3, 5, 7, 8, 11),
    Form.MELODIC: (0, 2, 3, 5, 7, 9, 11),
}
Degrees = tuple[tuple[int, int], ...]  # letter steps and semitones above the root
_MAJOR_TRIAD: Degrees = ((0, 0), (2, 4), (4, 7))
_MINOR_TRIAD = ((0, 0), (2, 3), (4, 7))
_DOMINANT = ((0, 0), (2, 4), (4, 7), (6, 10))
_DIMINISHED = ((0, 0), (2, 3), (4, 6), (6, 9))


@dataclass(frozen=True, slots=True)
class Run:
    """Notes going up, and the same road down; `up[-1] == down[0]` is the top note.

    `beyond` are the next notes above the top and `under` the one below the first, for turns; both
    are empty where the violin has none. `over` of the notes lie over the top of the octaves.
    """

    up: tuple[Pitch, ...]
    down: tuple[Pitch, ...]
    name: str
    key: Key
    beyond: tuple[Pitch, ...] = ()
    under: tuple[Pitch, ...] = ()
    over: int = 0

    @property
    def there_and_back(self) -> tuple[Pitch, ...]:
        """Up and down with the top note once."""
        return self.up + self.down[1:]

    @property
    def top(self) -> Pitch:
        return self.up[-1]


def forms_for(key: Key) -> tuple[Form, ...]:
    """The forms a scale of this key can take, the usual first."""
    if key.mode == MAJOR:
        return (Form.MAJOR,)
    return (Form.MELODIC, Form.HARMONIC, Form.NATURAL)


def parse_form(text: str, key: Key) -> Form:
    """Read a form that fits the key. Raises MusicError naming the value."""
    for form in forms_for(key):
        if text.strip().lower() == form:
            return form
    choice = ", ".join(map(form_told, forms_for(key)))
    words = _("“{text}” is not a form of {key}. Choose from: {choice}.")
    raise MusicError(words.format(text=text, key=key.told, choice=choice))


def form_told(form: str) -> str:
    """ "harmonic" as it is shown."""
    return {
        Form.MAJOR.value: pgettext("mode", "major"),
        Form.NATURAL.value: pgettext("form of a minor scale", "natural"),
        Form.HARMONIC.value: pgettext("form of a minor scale", "harmonic"),
        Form.MELODIC.value: pgettext("form of a minor scale", "melodic"),
    }[str(form)]


def lowest(step: str, alter: int, above: Pitch = LOWEST) -> Pitch:
    """The lowest pitch of that name on the violin (G3 upward), or from `above` upward."""
    return min(p for octave in range(2, 7) if (p := Pitch(step, alter, octave)).midi >= above.midi)


def over_the_top(run: Run, notes: int = 1) -> Run:
    """The run with one to three more notes above its top before it turns."""
    if not 1 <= notes <= len(run.beyond):
        words = _("{notes} notes over the top of {top}: choose 1 to {most}.")
        if not run.beyond:
            words = _("{notes} notes over the top of {top}: the violin ends there.")
        said = words.format(notes=notes, top=run.top.text(), most=len(run.beyond))
        raise OutOfRange(said)
    over = run.beyond[:notes]
    name = f"{run.name}, {over_in_words(notes)}"
    down = (*over[::-1], *run.down)
    beyond = run.beyond[notes:]
    return replace(run, up=run.up + over, down=down, name=name, beyond=beyond, over=notes)


def over_in_words(notes: int) -> str:
    """ "two notes over the top"; 1 to 3."""
    return (
        _("one note over the top"),
        _("two notes over the top"),
        _("three notes over the top"),
    )[notes - 1]


def scale(
    key: Key, form: Form | str | None = None, octaves: int = 2, *, above: Pitch = LOWEST
) -> Run:
    """One to three octaves from the lowest tonic; melodic minor comes down in the natural form.

    `form` defaults to major, or melodic in a minor key. `above`: the lowest note allowed, an open
    string for a scale on one string.
    """
    chosen = parse_form(form, key) if form else forms_for(key)[0]
    start = lowest(key.step, key.alter, above)
    down_form = Form.NATURAL if chosen is Form.MELODIC else chosen
    degrees = tuple(enumerate(_DEGREES[chosen]))
    up = _climb(start, degrees, octaves)
    down = _climb(start, tuple(enumerate(_DEGREES[down_form])), octaves)[::-1]
    beyond, under = _around(up, degrees)
    return Run(up, down, scale_name(key, chosen), key, beyond, under)


def scale_name(key: Key, form: Form) -> str:
    """ "G major", "B flat melodic minor"; German "b-Moll melodisch"."""
    if form is Form.MAJOR:
        return key.told
    words = {
        Form.NATURAL: _("{tonic} natural minor"),
        Form.HARMONIC: _("{tonic} harmonic minor"),
        Form.MELODIC: _("{tonic} melodic minor"),
    }[form]
    return words.format(tonic=tonic(tone(key.step, key.alter), key.mode))


def arpeggio(key: Key, kind: Arpeggio | str = Arpeggio.TONIC, octaves: int = 2) -> Run:
    """The broken chord of a key, from the lowest root; spelled in that key.

    Dominant seventh: V7. Diminished seventh: on the leading note of the minor scale.
    """
    steps, semitones, chord = _chord(key, parse_arpeggio(kind))
    root = lowest(key.step, key.alter).up(steps, semitones)
    start = lowest(root.step, root.alter)
    up = _climb(start, chord, octaves)
    beyond, under = _around(up, chord)
    return Run(up, up[::-1], _chord_name(root, chord), key, beyond, under)


def parse_arpeggio(text: str) -> Arpeggio:
    """Read the name of an arpeggio. Raises MusicError naming the value."""
    try:
        return Arpeggio(text.strip().lower())
    except ValueError:
        choice = ", ".join(Arpeggio)
        words = _("“{text}” is not an arpeggio. Choose from: {choice}.")
        raise MusicError(words.format(text=text, choice=choice)) from None


def _chord(key: Key, kind: Arpeggio) -> tuple[int, int, Degrees]:
    """Interval of the root above the tonic (steps, semitones), and the chord."""
    major = key.mode == MAJOR
    if kind is Arpeggio.DOMINANT7:
        return 4, 7, _DOMINANT
    if kind is Arpeggio.DIMINISHED7:
        return 6, 11, _DIMINISHED
    if kind is Arpeggio.RELATIVE:
        interval = (5, 9) if major else (2, 3)
        return *interval, _MINOR_TRIAD if major else _MAJOR_TRIAD
    if kind is Arpeggio.PARALLEL:
        major = not major
    return 0, 0, _MAJOR_TRIAD if major else _MINOR_TRIAD


def _chord_name(root: Pitch, chord: Degrees) -> str:
    """ "G major", "C sharp diminished seventh"."""
    if chord in (_MAJOR_TRIAD, _MINOR_TRIAD):
        return key_in_words(root.step, root.alter, MAJOR if chord == _MAJOR_TRIAD else MINOR)
    words = _("{note} diminished seventh")
    if chord == _DOMINANT:
        words = _("{note} dominant seventh")
    return words.format(note=root.text(octave=False))


def _around(up: tuple[Pitch, ...], degrees: Degrees) -> tuple[tuple[Pitch, ...], tuple[Pitch, ...]]:
    """The next notes above the top (three at most) and the one below the bottom."""
    above = [up[-1].up(steps, semitones) for steps, semitones in degrees[1:4]]
    steps, semitones = degrees[-1]
    below = up[0].up(steps - 7, semitones - 12)
    return (
        tuple(p for p in above if p.midi <= HIGHEST.midi),
        (below,) if below.midi >= LOWEST.midi else (),
    )


def _climb(start: Pitch, degrees: Degrees, octaves: int) -> tuple[Pitch, ...]:
    if not 1 <= octaves <= 3:
        words = _("{octaves} octaves: choose one, two or three.")
        raise OutOfRange(words.format(octaves=octaves))
    notes = [
        start.up(steps + 7 * octave, semitones + 12 * octave)
        for octave in range(octaves)
        for steps, semitones in degrees
    ]
    notes.append(start.up(7 * octaves, 12 * octaves))
    if notes[-1].midi > HIGHEST.midi:
        words = _("{note} is above the violin's {highest}.")
        raise OutOfRange(words.format(note=notes[-1].text(), highest=HIGHEST.text()))
    return tuple(notes)
