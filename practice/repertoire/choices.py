"""Keys, strings, notes over the top to choose from: stored in English, shown as they are told."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import pgettext_lazy

from practice.music.keys import ALL_KEYS, MAJOR, MINOR, key_told
from practice.music.naming import string_name
from practice.music.scales import OVER_THE_TOP, Form
from practice.music.violin import STRINGS

MAJOR_KEYS: Final = sorted(key.name for key in ALL_KEYS if key.mode == MAJOR)
MINOR_KEYS: Final = sorted(key.name for key in ALL_KEYS if key.mode == MINOR)
# After “minor keys as”.
MINOR_FORMS: Final = (
    (Form.NATURAL.value, pgettext_lazy("minor keys as", "natural minor")),
    (Form.HARMONIC.value, pgettext_lazy("minor keys as", "harmonic minor")),
    (Form.MELODIC.value, pgettext_lazy("minor keys as", "melodic minor")),
)


def key_choices() -> list[tuple[str, list[tuple[str, str]]]]:
    return [
        (_("Major"), [(name, key_told(name)) for name in MAJOR_KEYS]),
        (_("Minor"), [(name, key_told(name)) for name in MINOR_KEYS]),
    ]


def string_choices() -> list[tuple[str, str]]:
    one = _("only on the {string} string")
    named = [(each, one.format(string=string_name(each))) for each in STRINGS]
    return [("", _("across all strings")), *named]


def over_choices() -> list[tuple[int, str]]:
    named = [(notes, _(words)) for notes, words in enumerate(OVER_THE_TOP, start=1)]
    return [(0, _("no further note")), *named]
