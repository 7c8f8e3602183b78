"""One voice out of an ABC tune, if it is one a violin reads (ABC 2.1, sections 4.6 and 7)."""

import re
from collections.abc import Sequence

from practice.music.errors import MusicError
from studio.language import gettext as _
from studio.language import ngettext

_DECLARED = re.compile(r"^V:[ \t]*(\S+)(.*)$", re.MULTILINE)
_TURN = re.compile(
    r"^V:[ \t]*(?P<line>\S+).*$|\[V:[ \t]*(?P<inside>[^\]\s]+)[^\]\n]*\]", re.MULTILINE
)
_BRACED = re.compile(r"^%%(?:score|staves)\b.*\{([^}\n]*)\}", re.MULTILINE)
_NAME = re.compile(r'\b(?:name|nm)="([^"\n]*)"')
_CLEF = re.compile(r"\b(bass|tenor|alto|perc)\b|\b(treble[-+^_]8)", re.IGNORECASE)
_TRANSPOSE = re.compile(r"\btranspose=([-+]?\d{1,3})\b")
_VIOLIN = re.compile(r"viol[io]n|violín|fiddle|geige", re.IGNORECASE)


def one_voice(head: str, body: str) -> tuple[str, tuple[str, ...]]:
    """The music of the violin's voice, or of the first; and a remark on the others.

    Raises MusicError where that voice is no violin's: in another clef, transposing, a keyboard's.
    """
    words: dict[str, str] = {}
    for name, rest in _DECLARED.findall(f"{head}\n{body}"):
        words.setdefault(name, rest)
    parts = _parts(body, next(iter(words), ""))
    voices = [name for name in parts if parts[name].strip()] or [""]
    chosen = next((name for name in voices if _VIOLIN.search(words.get(name, ""))), voices[0])
    if any(chosen in braced.split() for braced in _BRACED.findall(head)):
        raise MusicError(
            _("This tune is for a keyboard (two staves in a brace). Choose the violin part.")
        )
    key = next((line for line in head.split("\n")[::-1] if line.startswith("K:")), "")
    _refuse_others(f"{words.get(chosen, '')} {key}")
    others = [_named(name, words) for name in voices if name != chosen]
    if not others:
        return parts.get(chosen, body), ()
    return parts[chosen], (others_left_out(_named(chosen, words), others),)


def _parts(body: str, first: str) -> dict[str, str]:
    """The music of each voice, its pieces joined; `first` is the one in force to begin with."""
    found: dict[str, list[str]] = {}
    at, voice = 0, first
    for turn in _TURN.finditer(body):
        found.setdefault(voice, []).append(body[at : turn.start()])
        at, voice = turn.end(), turn["line"] or turn["inside"]
    found.setdefault(voice, []).append(body[at:])
    return {name: "".join(pieces) for name, pieces in found.items()}


def _named(voice: str, words: dict[str, str]) -> str:
    name = _NAME.search(words.get(voice, ""))
    return name[1] if name and name[1] else _("voice {name}").format(name=voice)


def _refuse_others(declared: str) -> None:
    clef = _CLEF.search(_NAME.sub("", declared))
    if clef and clef[1]:
        words = {
            "bass": _("This tune is written in the bass clef, so it is no violin part."),
            "tenor": _("This tune is written in the tenor clef, so it is no violin part."),
            "alto": _("This tune is written in the alto clef, so it is no violin part."),
            "perc": _("This tune is written in the perc clef, so it is no violin part."),
        }
        raise MusicError(words[clef[1].lower()])
    moved = _TRANSPOSE.search(declared)
    semitones = int(moved[1]) if moved else 0
    if clef and clef[2]:
        semitones += -12 if clef[2][-2] in "-_" else 12
    if semitones:
        what = _("This tune is a transposing part: {how} Choose a part at sounding pitch.")
        raise MusicError(what.format(how=sounds_apart(semitones)))


def others_left_out(chosen: str, others: Sequence[str]) -> str:
    """The remark on the voices or parts beside the one that was read."""
    words = _("Read: {name}. Left out: {others}.")
    return words.format(name=chosen, others=", ".join(others[:6]))


def sounds_apart(semitones: int) -> str:
    """How a transposing part sounds, as half of a sentence with its full stop."""
    words = ngettext(
        "it sounds {n} semitone higher than written.",
        "it sounds {n} semitones higher than written.",
        abs(semitones),
    )
    if semitones < 0:
        words = ngettext(
            "it sounds {n} semitone lower than written.",
            "it sounds {n} semitones lower than written.",
            abs(semitones),
        )
    return words.format(n=abs(semitones))
