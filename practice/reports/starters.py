"""First sentences for a report, each with figures the rows hold and no judgement of them."""

from __future__ import annotations

from dataclasses import dataclass

from practice.figures.tempo_lines import TempoLine
from practice.reports.data import ReportData, hours


@dataclass(frozen=True)
class Starter:
    """`key` names it in the form; `about` is the word on its button."""

    key: str
    about: str
    text: str


def starters(data: ReportData) -> list[Starter]:
    """Those for which there are figures, in the order of the report."""
    found = [
        ("lessons", "Lessons", _lessons(data)),
        ("practice", "Practice at home", _practice(data)),
        ("keys", "Keys", _keys(data)),
        *(
            (f"tempo-{number}", line.name, _tempo(line))
            for number, line in enumerate(data.drawn)
            if len(line.tempos) > 1
        ),
        ("pieces", "Pieces finished", _finished(data)),
        ("next", "What comes next", _next(data)),
    ]
    return [Starter(key, about, text) for key, about, text in found if text]


def _lessons(data: ReportData) -> str:
    if not data.lessons:
        return ""
    count = len(data.lessons)
    if data.lesson_words == f"{count} kept":
        return f"{data.student} came to all {count} lessons." if count > 1 else ""
    return f"Of {_many(count, 'lesson')} this term: {data.lesson_words}."


def _practice(data: ReportData) -> str:
    if not data.practised:
        return ""
    weeks = _many(data.weeks_practised, "week")
    return (
        f"{data.student} practised {hours(data.practised)} at home, in {weeks},"
        f" of {hours(data.planned)} planned."
    )


def _keys(data: ReportData) -> str:
    new = [key.name for key in data.learnt if key.this_term]
    now = [key.name for key in data.now]
    if new and now:
        return f"{data.student} learnt {_listed(new)} and is now in {_listed(now)}."
    if new:
        return f"{data.student} learnt {_listed(new)}."
    return f"{data.student} is in {_listed(now)}." if now else ""


def _tempo(line: TempoLine) -> str:
    text = f"{line.name} {_went([each.bpm for each in line.tempos])} beats a minute"
    if line.reached:
        return f"{text} and reached its goal of {line.goal}."
    return f"{text}; its goal is {line.goal}."


def _went(tempos: list[int]) -> str:
    if tempos[0] != tempos[-1]:
        return f"went from {tempos[0]} to {tempos[-1]}"
    least, most = min(tempos), max(tempos)
    return f"stayed at {most}" if least == most else f"was between {least} and {most}"


def _finished(data: ReportData) -> str:
    titles = [piece.title for piece in data.finished]
    if not titles:
        return ""
    return f"{_listed(titles)} {'is' if len(titles) == 1 else 'are'} finished."


def _next(data: ReportData) -> str:
    return f"We are going on with {_listed(list(data.in_hand))}." if data.in_hand else ""


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def _many(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
