"""What a German page still says in English: texts the catalog has a German sentence for."""

from __future__ import annotations

import gettext
import html
import re
from functools import cache

from tests.test_rules import BASE

CATALOG = BASE / "studio" / "locale" / "de" / "LC_MESSAGES" / "django.mo"
UNREAD = re.compile(r"<(script|style|code|pre)\b.*?</\1>", re.DOTALL)
ATTRIBUTES = re.compile(r'\b(?:alt|title|aria-label|placeholder)="([^"]+)"')


@cache
def english() -> frozenset[str]:
    """Every message whose German is another text, without its context."""
    with CATALOG.open("rb") as file:
        known: dict[str | tuple[str, int], str] = vars(gettext.GNUTranslations(file))["_catalog"]
    pairs = ((key[0] if isinstance(key, tuple) else key, said) for key, said in known.items())
    other = {key.rpartition("\x04")[2] for key, said in pairs if said != key}
    return frozenset(key for key in other if re.search(r"[^\W\d_]{2}", key))


def left_in_english(page: str) -> set[str]:
    """Texts of the page, whole from tag to tag, that are English messages."""
    text = UNREAD.sub(" ", page)
    pieces = [*re.split(r"<[^>]*>", text), *ATTRIBUTES.findall(text)]
    return {" ".join(html.unescape(piece).split()) for piece in pieces} & english()
