"""The charts of a report as SVG text, each with the words that say the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from django.template.loader import render_to_string
from django.utils.safestring import SafeString

from practice.figures.circle_chart import circle_chart
from practice.figures.lesson_pegs import lesson_pegs
from practice.figures.minutes_chart import HEIGHT as BARS_MM
from practice.figures.minutes_chart import MinutesChart, minutes_chart
from practice.figures.tempo_chart import tempo_chart
from practice.figures.term_weeks import Into
from practice.reports.data import ReportData

# A chart stands in a file of its own on paper, where the style's variables do not reach.
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
    circle = circle_chart(data.keys)
    tempos = tempo_chart(data.drawn, len(data.weeks)) if data.tempos else None
    drawn = any(week.planned or week.total for week in data.weeks)
    return Pictures(
        lessons=chart_of("lessons", pegs, f"Lessons: {data.lesson_words}.") if pegs else None,
        minutes=chart_of("minutes", weeks, minutes_words(data)) if drawn else None,
        circle=chart_of("circle", circle, circle_words(data), legend=("learnt", "now", "to come")),
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


def minutes_words(data: ReportData) -> str:
    told = [
        f"week {week.number}, {week.off}"
        if week.off
        else f"week {week.number}, {week.total} of {week.planned}"
        for week in data.weeks
    ]
    parts = ", ".join(f"{into} {minutes}" for into, minutes in data.parts)
    return f"Minutes practised of minutes planned: {'; '.join(told)}. Of the term: {parts}."


def circle_words(data: ReportData) -> str:
    learnt = ", ".join(key.name for key in data.learnt) or "none yet"
    now = ", ".join(key.name for key in data.now) or "none"
    return f"Circle of fifths. Keys learnt: {learnt}. Now: {now}."


def tempo_words(data: ReportData) -> str:
    told = [f"{line.name} {line.words}, by week {line.by_week}" for line in data.drawn]
    return f"Beats a minute: {'; '.join(told)}."
