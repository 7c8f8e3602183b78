"""Text on paper: stress, reading direction, shortening with a sign, parting without loss."""

import re
import unicodedata
from collections.abc import Mapping

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.html import format_html
from django.utils.safestring import SafeString

ELLIPSIS = "…"
_EMOJI = re.compile("[\U0001f000-\U0001faff\u2600-\u2668\u2670-\u27bf\ufe0f\u200d\u20e3]+ ?")
_STRESS = re.compile(r"\*(\S(?:[^*]*\S)?)\*")


def stressed(text: str) -> SafeString:
    """Escaped, with `*words*` in <em>; a star without its partner stays a star."""
    html, at = SafeString(""), 0
    for match in _STRESS.finditer(text):
        html += format_html("{}<em>{}</em>", text[at : match.start()], match[1])
        at = match.end()
    return html + format_html("{}", text[at:])


def reading_direction(text: str) -> str:
    """ "rtl" where the first letter with a direction is read from the right, else "ltr"."""
    for letter in text:
        direction = unicodedata.bidirectional(letter)
        if direction in {"R", "AL"}:
            return "rtl"
        if direction == "L":
            return "ltr"
    return "ltr"


def shortened(text: str, limit: int) -> str:
    """At most `limit` letters, cut between words where one is near, with … as a sign of it."""
    if len(text) <= limit:
        return text
    room = text[: limit - 1]
    head, space, _ = room.rpartition(" ")
    return (head if space and len(head) > limit // 2 else room).rstrip(" ,;:.") + ELLIPSIS


def parted(text: str, limit: int) -> tuple[str, str]:
    """About the first `limit` letters and the rest, parted after a sentence or between words.

    Joined with a space the two give the whole again; stress that is cut in two is stressed in both.
    """
    if len(text) <= limit:
        return text, ""
    room = text[: limit + 1]
    ends = [match.end() for match in re.finditer(r"[.!?…](?=\s)", room)]
    at = ends[-1] if ends and ends[-1] > limit // 3 else room.rfind(" ")
    at = at if at > 0 else limit
    first, rest = text[:at].rstrip(), text[at:].lstrip()
    if first.count("*") % 2:
        return f"{first}*", f"*{rest}"
    return first, rest


def on_paper(template: str, language: str, context: Mapping[str, object]) -> str:
    """The template filled in that language, as the press takes it."""
    with translation.override(language):
        return without_pictures(render_to_string(template, {**context, "language": language}))


def without_pictures(text: str) -> str:
    """Without emoji, which no face on paper has."""
    return _EMOJI.sub("", text)
