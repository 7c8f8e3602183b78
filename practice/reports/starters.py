"""First sentences for a report, each with figures the rows hold and no judgement of them."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.figures.lesson_fates import LessonFate
from practice.figures.tempo_lines import TempoLine
from practice.reports.data import ReportData, hours
from practice.reports.keys import key_name
from studio.language.lists import listed


@dataclass(frozen=True)
class Starter:
    """`key` names it in the form; `about` is the word on its button."""

    key: str
    about: str
    text: str


def starters(data: ReportData) -> list[Starter]:
    """Those for which there are figures, in the order of the report."""
    found = [
        ("lessons", _("Lessons"), _lessons(data)),
        ("practice", _("Practice at home"), _practice(data)),
        ("keys", _("Keys"), _keys(data)),
        *(
            (f"tempo-{number}", line.name, _tempo(line))
            for number, line in enumerate(data.drawn)
            if len(line.tempos) > 1
        ),
        ("pieces", _("Pieces finished"), _finished(data)),
        ("next", _("What comes next"), _next(data)),
    ]
    return [Starter(key, about, text) for key, about, text in found if text]


def _lessons(data: ReportData) -> str:
    if not data.lessons:
        return ""
    count = len(data.lessons)
    if all(fate is LessonFate.KEPT for fate in data.lessons):
        words = _("{name} came to all {count} lessons.")
        return words.format(name=data.student, count=count) if count > 1 else ""
    return ngettext(
        "Of {n} lesson this term: {lessons}.", "Of {n} lessons this term: {lessons}.", count
    ).format(n=count, lessons=data.lesson_words)


def _practice(data: ReportData) -> str:
    if not data.practised:
        return ""
    return ngettext(
        "{name} practised {practised} at home, in {n} week, of {planned} planned.",
        "{name} practised {practised} at home, in {n} weeks, of {planned} planned.",
        data.weeks_practised,
    ).format(
        name=data.student,
        practised=hours(data.practised),
        n=data.weeks_practised,
        planned=hours(data.planned),
    )


def _keys(data: ReportData) -> str:
    new = listed([key_name(key) for key in data.learnt if key.this_term])
    now = listed([key_name(key) for key in data.now])
    if new and now:
        words = _("{name} learnt {new} and is now in {now}.")
    elif new:
        words = _("{name} learnt {new}.")
    else:
        words = _("{name} is in {now}.") if now else ""
    return words.format(name=data.student, new=new, now=now)


def _tempo(line: TempoLine) -> str:
    tempos = [each.bpm for each in line.tempos]
    first, last, least, most = tempos[0], tempos[-1], min(tempos), max(tempos)
    if first != last:
        words = (
            _("{what} went from {first} to {last} beats a minute and reached its goal of {goal}.")
            if line.reached
            else _("{what} went from {first} to {last} beats a minute; its goal is {goal}.")
        )
    elif least == most:
        words = (
            _("{what} stayed at {most} beats a minute and reached its goal of {goal}.")
            if line.reached
            else _("{what} stayed at {most} beats a minute; its goal is {goal}.")
        )
    else:
        words = (
            _(
                "{what} was between {least} and {most} beats a minute"
                " and reached its goal of {goal}."
            )
            if line.reached
            else _("{what} was between {least} and {most} beats a minute; its goal is {goal}.")
        )
    return words.format(
        what=line.name, first=first, last=last, least=least, most=most, goal=line.goal
    )


def _finished(data: ReportData) -> str:
    titles = [piece.title for piece in data.finished]
    if not titles:
        return ""
    words = ngettext("{titles} is finished.", "{titles} are finished.", len(titles))
    return words.format(titles=listed(titles))


def _next(data: ReportData) -> str:
    if not data.in_hand:
        return ""
    return _("We are going on with {titles}.").format(titles=listed(data.in_hand))
