"""What the templates of the Bench are given, ready to write down."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from practice.bench.cards import Card
from practice.bench.fields import minutes_on
from practice.bench.page_form import PageForm
from practice.bench.state import Bench
from practice.bench.week_view import slider_most, week_view
from practice.engraving.engrave import EngravingFailed, Layout
from practice.engraving.pictures import Picture, picture, source
from practice.engraving.spec import Spec
from practice.music.errors import MusicError
from practice.music.keys import key_told
from practice.music.metronome import MARKS
from practice.planning.types import Pins
from practice.planning.versions import build
from practice.plans.generate import Wanted, week_inputs
from practice.plans.hand import Hand, HandScale
from practice.plans.words import scale_words
from practice.sheets.bowed import base_of
from practice.sheets.pictures import bowing_spec, bowing_words, key_of
from practice.sheets.siblings import beside_siblings
from studio.language.cached import cached_as_spoken
from studio.web.days import named_day
from studio.web.wall_clock import wall_time

WEEKS_AS_DOTS = 8
CARD = Layout(7.0, None)
WHOLE, HALF = Layout(6.2, 106.0), Layout(6.2, 51.0)


@dataclass(frozen=True)
class Unseen:
    """A picture inside what is folded away: drawn only when it is looked at, so without a size."""

    src: str
    alt: str


@dataclass(frozen=True)
class CardChoice:
    card: Card
    picture: Picture | Unseen | None
    chosen: bool


@dataclass(frozen=True)
class Music:
    """A chosen bowing engraved; `words` say where the bow turns round and how it comes out even."""

    picture: Picture
    words: str


@dataclass(frozen=True)
class Budget:
    """One day's cell in the foot of the week: the name of its field and what stands in it."""

    name: str
    label: str
    value: str
    wrong: bool


def page_context(page: PageForm) -> dict[str, Any]:
    bench = page.bench
    return {
        "student": bench.student,
        "bench": bench,
        "page": page,
        "last_week": bench.last_week,
        "next_lesson": next_lesson(bench),
        "scale": scale_row(page),
        "why": "why" in page.data,
        "cards": card_choices(page, page.hand.scale),
        "rhythms": rhythm_choices(page, page.hand.scale),
        "marks": ",".join(map(str, MARKS)),
        "open_wishes": page.wishes.any_kept or any(f.errors for f in page.wishes.forms),
    }


def week_context(page: PageForm) -> dict[str, Any]:
    """The week as decided on the page; of a page with problems, as it stood."""
    bench = page.bench
    valid = page.week.is_bound and page.is_valid()
    hand = page.foreseen() if valid else page.hand
    wanted = page.wanted() if valid else _standing(bench)
    inputs = week_inputs(bench.student, bench.week, hand, wanted, bench.past)
    plan = beside_siblings(bench.student, build(inputs))
    view = week_view(plan, hand, wanted.idea, bench.studio if _shares(bench) else None)
    total = sum(wanted.minutes)
    by_hand = page.week.base if valid and page.slider_moved else wanted.minutes
    return {
        "student": bench.student,
        "view": view,
        "budgets": list(_budgets(page, wanted.minutes)),
        "total": total,
        "by_hand": ",".join(map(str, by_hand)),
        "slider_least": sum(1 for each in wanted.minutes if each),
        "slider_most": slider_most(sum(bench.student.minutes), total),
        "heading": _heading(hand, page),
        "cards": card_choices(page, hand.scale),
        "rhythms": rhythm_choices(page, hand.scale),
        "music": chosen_music(page, hand),
    }


def scale_row(page: PageForm) -> dict[str, Any]:
    scale = page.hand.scale
    if scale is None:
        return {"words": _("No scale in hand yet"), "weeks": 0, "dots": range(0)}
    weeks = max(0, (page.bench.week.starts - scale.since).days // 7)
    return {
        "words": scale_words(page.hand),
        "weeks": weeks,
        "dots": range(min(weeks, WEEKS_AS_DOTS)),
    }


def next_lesson(bench: Bench) -> str:
    lesson = bench.next_lesson
    if lesson is None:
        return ""
    return f"{named_day(lesson.date)}, {wall_time(lesson.starts, bench.studio)}"


def card_choices(page: PageForm, scale: HandScale | None) -> list[CardChoice]:
    """The offered bowings, drawn in the scale's own key."""
    return _choices(page.bench.cards.offered, scale, _drawn)


def rhythm_choices(page: PageForm, scale: HandScale | None) -> list[CardChoice]:
    """What can be made of the bowings on the scale, of the first one offered where none is."""
    rhythms = page.bench.cards.rhythms
    on_it = dict.fromkeys(base_of(each) for each in (scale.bowings if scale else ()))
    bases = [base for base in on_it if base in rhythms] or list(rhythms)[:1]
    return _choices([card for base in bases for card in rhythms[base]], scale, _unseen)


def _choices(
    cards: Iterable[Card],
    scale: HandScale | None,
    shown: Callable[[Spec], Picture | Unseen | None],
) -> list[CardChoice]:
    key = key_of(scale) if scale else None
    if scale is None or key is None:
        return []
    found = []
    for card in cards:
        made = shown(Spec("card", key, scale.form, 1, card.bowed.pattern))
        found.append(CardChoice(card, made, card.id in scale.bowings))
    return found


def chosen_music(page: PageForm, hand: Hand) -> list[Music]:
    """The chosen bowings on their first bars, as they will stand on the back of the sheet."""
    scale = hand.scale
    key = key_of(scale) if scale else None
    if scale is None or key is None:
        return []
    chosen = [card.bowed for card in page.bench.cards.of(scale.bowings)]
    bars, layout = (1, HALF) if len(chosen) > 1 else (2, WHOLE)
    found = []
    for each in chosen:
        made = _drawn(bowing_spec(key, scale, each.pattern, bars), layout)
        if made:
            found.append(Music(made, bowing_words(each.pattern, key, scale)))
    return found


@cached_as_spoken(maxsize=512)
def _drawn(spec: Spec, layout: Layout = CARD) -> Picture | None:
    try:
        return picture(spec, layout)
    except (MusicError, EngravingFailed):
        return None


@cached_as_spoken(maxsize=512)
def _unseen(spec: Spec) -> Unseen | None:
    try:
        return Unseen(source(spec, CARD), spec.staff().alt)
    except MusicError:
        return None


def _shares(bench: Bench) -> bool:
    return bench.student.family.shares_violin


def _standing(bench: Bench) -> Wanted:
    default = bench.default
    return Wanted(
        minutes=bench.minutes,
        favourite_id=default.favourite_id if default else None,
        idea=default.idea if default else None,
        pins=bench.pins if bench.assignment else Pins(),
    )


def _budgets(page: PageForm, minutes: tuple[int, ...]) -> Iterator[Budget]:
    for number, day in enumerate(page.bench.week.days):
        field = page.week[f"minutes_{number}"]
        typed = page.week.is_bound and bool(page.week.errors)
        value = str(field.value() or "") if typed else str(minutes[number] or "")
        yield Budget(field.html_name, minutes_on(day), value, bool(field.errors))


def _played(scale: HandScale) -> tuple[int, str, int]:
    return scale.octaves, scale.how.string, scale.how.over


def _heading(hand: Hand, page: PageForm) -> str:
    """ "B♭ major: two in a bow + dotted"; all of the scale's words where it is played otherwise
    than now, because the first bar's picture does not show octaves or the top."""
    scale, now = hand.scale, page.hand.scale
    if scale is None:
        return _("No scale yet")
    names = [card.name for card in page.bench.cards.of(scale.bowings)]
    key = key_of(scale)
    called = key.sign if key else key_told(scale.key)
    if now is not None and _played(scale) != _played(now):
        called = scale_words(hand)
    return ": ".join(filter(None, [called, " + ".join(names)]))
