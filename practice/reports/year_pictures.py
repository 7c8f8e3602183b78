"""The charts of a studio's year, each with the words that say the same."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.figures.circle_chart import circle_chart
from practice.figures.hours_chart import hours_chart, in_hours
from practice.figures.minutes_chart import minutes_chart
from practice.figures.term_weeks import Into
from practice.reports.keys import key_name, sign_of
from practice.reports.pictures import Chart, chart_of, legend_of
from practice.reports.studio_year import YearFigures
from studio.language.days import month as named
from studio.web.days import in_words

HEIGHT = 50.0  # mm of the minutes


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
    names = [in_words(month.starts, "M") for month in figures.taught]
    hours = hours_chart(
        [(name, month.minutes) for name, month in zip(names, figures.taught, strict=True)]
    )
    minutes = minutes_chart(figures.months, HEIGHT, names, _("month"), unit=60)
    circle = circle_chart([each.key for each in figures.keys], sign_of)
    legend = (pgettext("keys", "in hand"), "", pgettext("keys", "not"))
    return YearPictures(
        taught=chart_of("hours", hours, hours_words(figures)) if figures.minutes_taught else None,
        minutes=chart_of("minutes", minutes, months_words(figures)) if figures.planned else None,
        keys=chart_of("circle", circle, keys_words(figures), legend=legend)
        if figures.keys
        else None,
        legend=legend_of(minutes),
    )


def hours_words(figures: YearFigures) -> str:
    told = [f"{named(month.starts)} {in_hours(month.minutes)}" for month in figures.taught]
    return _("Hours taught: {months}.").format(months=", ".join(told))


def months_words(figures: YearFigures) -> str:
    told = [
        _("{month} {played} of {planned}").format(
            month=named(month.starts),
            played=in_hours(month.total),
            planned=in_hours(month.planned),
        )
        for month in figures.months
    ]
    return _("Hours practised of hours planned: {months}.").format(months=", ".join(told))


def keys_words(figures: YearFigures) -> str:
    told = ", ".join(f"{key_name(each.key)} {each.students}" for each in figures.keys)
    words = _("Circle of fifths. Keys in hand and how many students had them: {keys}.")
    return words.format(keys=told)
