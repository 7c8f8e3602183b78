"""Finding works among the catalogue and the teacher's own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from django.http import QueryDict

from practice.music.keys import key_told
from practice.repertoire.catalogue_words import told_technique
from practice.repertoire.library import surname
from practice.repertoire.models import Work
from studio.web.search import folded, holds_all, typed_words

DIFFICULTIES: Final = range(1, 11)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the teacher asks for; an empty value asks for nothing."""

    words: str = ""
    kind: str = ""
    technique: str = ""
    easiest: int | None = None
    hardest: int | None = None
    own: bool = False

    def __bool__(self) -> bool:
        return self != Wanted()

    def fits(self, work: Work) -> bool:
        return (
            (not self.kind or work.kind == self.kind)
            and (not self.technique or self.technique in work.techniques)
            and (self.easiest is None or (work.difficulty or 0) >= self.easiest)
            and (self.hardest is None or (work.difficulty or 99) <= self.hardest)
            and (not self.own or work.studio_id is not None)
            and holds_all(self.words, *_texts(work))
        )


def _texts(work: Work) -> tuple[str, ...]:
    """What a word is looked for in: as it is stored and as it is shown."""
    stored = (work.composer, work.title, work.key, *work.techniques)
    shown = (work.told_composer, work.short_title, key_told(work.key), *work.told_techniques)
    return (*stored, *shown)


def in_order(works: Iterable[Work]) -> list[Work]:
    """By the composer's surname, then title, opus and number as a reader counts them."""
    return sorted(works, key=lambda work: (_place(work.composer), *_counted(work)))


def by_difficulty(works: Iterable[Work]) -> list[Work]:
    """The easiest first; works whose difficulty nobody said come last."""
    return sorted(in_order(works), key=lambda work: work.difficulty or 99)


def next_in_book(now: Work, works: Iterable[Work]) -> list[Work]:
    """Those that follow in the same collection, in its order."""
    book = (now.composer, now.title, now.opus)
    return [
        work
        for work in in_order(works)
        if (work.composer, work.title, work.opus) == book and _counted(work) > _counted(now)
    ]


def _place(composer: str) -> str:
    """A work without a composer comes last."""
    return folded(surname(composer)) or "\uffff"


def _counted(work: Work) -> tuple[list[tuple[int, str]], ...]:
    """Figures inside a text compare as numbers: no. 2 before no. 10."""
    texts = (work.title, work.opus, work.number)
    return tuple(
        [(int(digits or 0), rest) for digits, rest in re.findall(r"(\d*)(\D*)", folded(text))]
        for text in texts
    )


def wanted(query: QueryDict) -> Wanted:
    """From the address; a value that means nothing is dropped."""
    kind = query.get("kind", "")
    return Wanted(
        words=typed_words(query.get("q")),
        kind=kind if kind in Work.Kind.values else "",
        technique=typed_words(query.get("technique")),
        easiest=_difficulty(query.get("from")),
        hardest=_difficulty(query.get("to")),
        own=query.get("own") == "1",
    )


def _difficulty(text: str | None) -> int | None:
    return int(text) if text in {str(number) for number in DIFFICULTIES} else None


def techniques_of(works: list[Work]) -> list[str]:
    """Every technique once, by the name it is shown with."""
    found = {technique for work in works for technique in work.techniques}
    return sorted(found, key=lambda technique: folded(told_technique(technique)))
