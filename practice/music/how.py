"""How a scale is played beside its key, form and octaves: on one string, over the top, fingered."""

from dataclasses import dataclass, replace
from typing import Literal

from practice.music.fingering import Fingering, Rules, fingering
from practice.music.keys import Key, parse_key
from practice.music.naming import string_name
from practice.music.own_fingers import Own, fingers_code, parse_fingers, with_another_top
from practice.music.scales import Form, Run, over_in_words, over_the_top, scale
from practice.music.violin import HIGHEST_POSITION, OPEN, STRINGS
from studio.language import gettext as _


@dataclass(frozen=True, slots=True)
class How:
    """`string`: one letter for a scale on one string. `over`: notes over the top, 0 to 3.
    `highest`: the position the hand does not leave upward. `fingers`: the teacher's own, as
    `own_fingers` writes them, by place in the way up and down."""

    string: str = ""
    over: int = 0
    open_strings: Literal["use", "avoid"] = "use"
    highest: int = HIGHEST_POSITION
    fingers: str = ""

    @property
    def rules(self) -> Rules:
        return Rules(self.open_strings, self.highest, self.string)

    @property
    def for_arpeggio(self) -> "How":
        """An arpeggio is played across the strings, with fingers of its own."""
        return How(open_strings=self.open_strings, highest=self.highest)

    @property
    def own(self) -> dict[int, Own]:
        """Raises NoFingering where the text is none of ours."""
        return parse_fingers(self.fingers)

    @property
    def words(self) -> tuple[str, ...]:
        """ "on the A string" and "one note over the top", where it is so."""
        string = (on_string(self.string),) if self.string else ()
        return (*string, over_in_words(self.over)) if self.over else string


PLAIN = How()


def on_string(string: str) -> str:
    """ "on the A string"."""
    return _("on the {string} string").format(string=string_name(string))


def run_of(key: Key, form: Form | str | None, octaves: int, how: How = PLAIN) -> Run:
    """The scale as it is played. Raises MusicError where the violin has no such notes."""
    if not how.string:
        run = scale(key, form, octaves)
    else:
        run = scale(key, form, octaves, above=OPEN[STRINGS.index(how.string)])
        name = _("{scale} on the {string} string")
        run = replace(run, name=name.format(scale=run.name, string=string_name(how.string)))
    return over_the_top(run, how.over) if how.over else run


def fingered(key: Key, form: Form | str | None, octaves: int, how: How = PLAIN) -> Fingering:
    """The whole way up and down. Raises MusicError naming what cannot be played."""
    run = run_of(key, form, octaves, how)
    return fingering(run.there_and_back, how.rules, fixed=how.own)


Named = tuple[str, str, int]  # key, form and octaves of a scale


def carried_over(now: tuple[Named, How] | None, wanted: Named, asked: How) -> How:
    """String and top as asked for, the rest as it is now.

    Fingers stay only with the same scale; notes over its top do not make it another. Raises
    MusicError naming what the violin cannot play.
    """
    how = How(asked.string, asked.over)
    key, form, octaves = wanted
    if now is not None:
        before = now[1]
        how = replace(before, string=asked.string, over=asked.over, fingers="")
        if is_same(now, wanted, asked) and before.fingers:
            up = len(run_of(parse_key(key), form, octaves).up)
            kept = with_another_top(before.own, up + before.over, up + how.over)
            how = replace(how, fingers=fingers_code(kept))
    fingered(parse_key(key), form, octaves, how)
    return how


def is_same(now: tuple[Named, How], wanted: Named, asked: How) -> bool:
    """Whether it is still the scale in hand."""
    return now[0] == wanted and now[1].string == asked.string
