"""The charts of a report as SVG text, each with the words that say the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from django.template.loader import render_to_string
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.figures.circle_chart import circle_chart
from practice.figures.lesson_pegs import lesson_pegs
from practice.figures.minutes_chart import HEIGHT as BARS_MM
from practice.figures.minutes_chart import MinutesChart, minutes_chart
from practice.figures.tempo_chart import tempo_chart
from practice.figures.term_weeks import Into, WeekMinutes
from practice.reports.data import ReportData
from practice.reports.keys import key_name, sign_of

# A chart stands in a file of its own on paper, where the style's variables do not reach.
# no words: names of faces
FONTS = "Andika, Andika V, Andika X, Andika C, Andika CX, Studio Signs, Noto Sans Hebrew"


class _Drawn(Protocol):
    @property
    def width(self) -> float: ...
    @property
    def height(self) -> float: ...


@dataclass(frozen=True)
class Chart:
    """`svg` draws what `words` say; `width` and `height` are its millimetres."""

    svg: SafeString
    words: str
    width: float
    height: float


@dataclass(frozen=True)
class Pictures:
    """None where there is nothing to draw."""

    lessons: Chart | None
    minutes: Chart | None
    circle: Chart
    tempos: Chart | None
    legend: tuple[tuple[Into, SafeString], ...]


def pictures_of(data: ReportData, minutes_height: float | None = None) -> Pictures:
    """`minutes_height` makes the bars lower where a page needs room."""
    pegs = lesson_pegs(data.lessons)
    weeks = minutes_chart(data.weeks, minutes_height or BARS_MM)
    circle = circle_chart(data.keys, sign_of)
    tempos = tempo_chart(data.drawn, len(data.weeks)) if data.tempos else None
    drawn = any(week.planned or week.total for week in data.weeks)
    return Pictures(
        lessons=chart_of("lessons", pegs, lessons_words(data)) if pegs else None,
        minutes=chart_of("minutes", weeks, minutes_words(data)) if drawn else None,
        circle=chart_of("circle", circle, circle_words(data), legend=legend_of_keys()),
        tempos=chart_of("tempos", tempos, tempo_words(data)) if tempos else None,
        legend=legend_of(weeks),
    )


def chart_of(name: str, chart: _Drawn, words: str, **more: object) -> Chart:
    """The template of that name, filled; `more` is what it asks for besides."""
    context = {"chart": chart, "words": words, "fonts": FONTS, **more}
    return Chart(_svg(name, context), words, chart.width, chart.height)


def legend_of(weeks: MinutesChart) -> tuple[tuple[Into, SafeString], ...]:
    return tuple((fill.into, _svg("swatch", {"fill": fill})) for fill in weeks.legend)


def _svg(name: str, context: dict[str, object]) -> SafeString:
    return SafeString(render_to_string(f"reports/{name}.svg", context).strip())


def legend_of_keys() -> tuple[str, str, str]:
    return pgettext("keys", "learnt"), pgettext("keys", "now"), pgettext("keys", "to come")


def lessons_words(data: ReportData) -> str:
    return _("Lessons: {lessons}.").format(lessons=data.lesson_words)


def minutes_words(data: ReportData) -> str:
    told = "; ".join(_of_week(week) for week in data.weeks)
    parts = ", ".join(f"{into.label} {minutes}" for into, minutes in data.parts)
    words = _("Minutes practised of minutes planned: {weeks}. Of the term: {parts}.")
    return words.format(weeks=told, parts=parts)


def _of_week(week: WeekMinutes) -> str:
    if week.off:
        return _("week {number}, {why}").format(number=week.number, why=week.off.label)
    words = _("week {number}, {played} of {planned}")
    return words.format(number=week.number, played=week.total, planned=week.planned)


def circle_words(data: ReportData) -> str:
    learnt = ", ".join(map(key_name, data.learnt)) or pgettext("keys", "none yet")
    now = ", ".join(map(key_name, data.now)) or pgettext("keys", "none")
    return _("Circle of fifths. Keys learnt: {learnt}. Now: {now}.").format(learnt=learnt, now=now)


def tempo_words(data: ReportData) -> str:
    told = [
        _("{what} {tempos}, by week {weeks}").format(
            what=line.name, tempos=line.words, weeks=line.by_week
        )
        for line in data.drawn
    ]
    return _("Beats a minute: {tempos}.").format(tempos="; ".join(told))
