"""The charts of a studio's year, each with the words that say the same."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.dates import MONTHS_3
from django.utils.safestring import SafeString

from practice.figures.circle_chart import circle_chart
from practice.figures.hours_chart import hours_chart, in_hours
from practice.figures.minutes_chart import minutes_chart
from practice.figures.term_weeks import Into
from practice.reports.pictures import Chart, chart_of, legend_of
from practice.reports.studio_year import YearFigures

HEIGHT = 50.0  # mm of the minutes
LEGEND = ("in hand", "", "not")


@dataclass(frozen=True)
class YearPictures:
    """None where there is nothing to draw."""

    taught: Chart | None
    minutes: Chart | None
    keys: Chart | None
    legend: tuple[tuple[Into, SafeString], ...]

    @property
    def named(self) -> dict[str, str]:
        """The charts under the names the paper gives them."""
        charts = {"taught": self.taught, "minutes": self.minutes, "keys": self.keys}
        found = {f"year-{name}": chart.svg for name, chart in charts.items() if chart}
        return {**found, **{f"fill-{n}": svg for n, (_, svg) in enumerate(self.legend, 1)}}


def year_pictures(figures: YearFigures) -> YearPictures:
    names = [str(MONTHS_3[month.starts.month]).capitalize() for month in figures.taught]
    hours = hours_chart(
        [(name, month.minutes) for name, month in zip(names, figures.taught, strict=True)]
    )
    minutes = minutes_chart(figures.months, HEIGHT, names, "month", unit=60)
    circle = circle_chart([each.key for each in figures.keys])
    return YearPictures(
        taught=chart_of("hours", hours, hours_words(figures)) if figures.minutes_taught else None,
        minutes=chart_of("minutes", minutes, months_words(figures)) if figures.planned else None,
        keys=chart_of("circle", circle, keys_words(figures), legend=LEGEND)
        if figures.keys
        else None,
        legend=legend_of(minutes),
    )


def hours_words(figures: YearFigures) -> str:
    told = [f"{month.starts:%B} {in_hours(month.minutes)}" for month in figures.taught]
    return f"Hours taught: {', '.join(told)}."


def months_words(figures: YearFigures) -> str:
    told = [
        f"{month.starts:%B} {in_hours(month.total)} of {in_hours(month.planned)}"
        for month in figures.months
    ]
    return f"Hours practised of hours planned: {', '.join(told)}."


def keys_words(figures: YearFigures) -> str:
    told = ", ".join(f"{each.key.name} {each.students}" for each in figures.keys)
    return f"Circle of fifths. Keys in hand and how many students had them: {told}."
