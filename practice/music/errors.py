"""What can be wrong with music a teacher typed, each a sentence that names the value."""

from practice.music.naming import MINOR, key_in_words
from studio.language import gettext as _


class MusicError(ValueError):
    """Base of every error of this package; `str(error)` is a sentence for the teacher."""


class UnknownPitch(MusicError):
    def __init__(self, value: str) -> None:
        self.value = value
        words = _(
            "“{value}” is not a note. Write a letter A to G, # or b if needed, and an octave: F#4."
        )
        super().__init__(words.format(value=value))


class UnknownKey(MusicError):
    def __init__(self, value: str, hint: str = "") -> None:
        self.value = value
        words = _("“{value}” is not a key.").format(value=value)
        like = _("Write it like {key}.").format(key=key_in_words("B", -1, MINOR))
        super().__init__(f"{words} {hint or like}")


class OutOfRange(MusicError):
    """A note, a number of octaves or a bar that the violin or the music does not have."""


class BadRhythm(MusicError):
    """A note value, slur or bowing that cannot be read."""


class DoesNotFit(MusicError):
    """A bowing that cannot be written in the metre asked for."""


class NoFingering(MusicError):
    """The rules or the teacher's own fingers leave no way to play a note."""
