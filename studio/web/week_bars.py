"""Minutes by day as a small picture: hollow is planned, solid is logged, a rest is a day off."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

SIZES = {False: (148, 46, 2), True: (268, 128, 16)}  # large: width, height, room on top (px)


@dataclass(frozen=True)
class Bar:
    """One day, in pixels of the picture's own grid; heights of 0 are not drawn."""

    day: str
    label: str
    middle: float
    planned: float
    planned_top: float
    logged: float
    logged_top: float
    amount: int | None
    amount_at: float


@dataclass(frozen=True)
class WeekBars:
    width: int
    height: int
    base: float
    label_at: float
    rest_at: float
    bar_width: float
    half_bar: float
    core_width: float
    half_core: float
    bars: tuple[Bar, ...]
    words: str


def week_bars(
    plan: Sequence[int | None],
    done: Sequence[int | None],
    days: Sequence[str],
    large: bool = False,
) -> WeekBars:
    """Minutes planned and logged per day (`None` or 0 planned: a day off); days are the names."""
    width, height, top = SIZES[large]
    planned, logged = [m or 0 for m in plan], [m or 0 for m in done]
    if not len(planned) == len(logged) == len(days):
        raise ValueError(
            f"{len(planned)} days planned, {len(logged)} logged and {len(days)} named do not agree."
        )
    base = float(height - (18 if large else 15))
    scale = (base - top) / max([1, *planned, *logged])
    step = width / max(1, len(days))
    half_bar = round(step * 0.31, 1)
    bars = tuple(
        _bar(day, want, got, round(step * (number + 0.5), 1), base, scale, large)
        for number, (day, want, got) in enumerate(zip(days, planned, logged, strict=True))
    )
    return WeekBars(
        width=width,
        height=height,
        base=base,
        label_at=height - 3,
        rest_at=base - 5,
        bar_width=2 * half_bar,
        half_bar=half_bar,
        core_width=2 * half_bar - 5,
        half_core=half_bar - 2.5,
        bars=bars,
        words=_("Minutes logged of minutes planned: {days}.").format(
            days=_said(days, planned, logged)
        ),
    )


def _bar(
    day: str, want: int, got: int, middle: float, base: float, scale: float, large: bool
) -> Bar:
    want_high, got_high = round(want * scale, 1), round(got * scale, 1)
    return Bar(
        day=day,
        label=day[:3] if large else day[:1],
        middle=middle,
        planned=want_high,
        planned_top=round(base - want_high, 1),
        logged=got_high,
        logged_top=round(base - got_high, 1),
        amount=got if large and (want or got) else None,
        amount_at=round(base - max(want_high, got_high) - 4, 1),
    )


def _said(days: Sequence[str], planned: Sequence[int], logged: Sequence[int]) -> str:
    played = pgettext("minutes of a day", "{day} {got} of {want}")
    off = pgettext("minutes of a day", "{day} off")
    return ", ".join(
        (played if want or got else off).format(day=day, want=want, got=got)
        for day, want, got in zip(days, planned, logged, strict=True)
    )
