"""Rows into the figures of a term, for all its students at once: the queries stay the same."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.figures.key_circle import KeyHeld, Known
from practice.figures.lesson_fates import LessonFate
from practice.figures.tempo_lines import TempoLine, longest_first, tempo_line
from practice.figures.term_weeks import Into, ItemMinutes, Stretch, minutes_by_week, weeks_of
from practice.music.errors import MusicError
from practice.music.keys import MINOR, key_told, parse_key
from practice.planning.types import Part
from practice.plans.models import Item
from practice.repertoire.models import PieceInHand, ScaleInHand, Spot
from practice.reports.data import NextLesson, PieceFinished, ReportData
from practice.reports.keys import SIGNS
from studio.lessons.ledger import Fate, Line
from studio.lessons.ledgers import term_ledgers
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Closure, Term

INTO = {
    Part.STRETCH: Into.WARM_UP,
    Part.WARM_UP: Into.WARM_UP,
    Part.RE_WARM_UP: Into.WARM_UP,
    Part.SCALE: Into.SCALE,
    Part.ETUDE: Into.ETUDE,
    Part.SPOT: Into.SPOTS,
    Part.RUN_THROUGH: Into.RUN_THROUGH,
    Part.FAVOURITE: Into.REST,
    Part.EXPLORE: Into.REST,
    Part.FREE: Into.REST,
}
FATES = {
    Fate.GIVEN: LessonFate.KEPT,
    Fate.MADE_UP: LessonFate.MADE_UP,
    Fate.OWED: LessonFate.OWED,
    Fate.UNMARKED: LessonFate.UNMARKED,
    Fate.TO_COME: LessonFate.TO_COME,
}
Told = list[tuple[dt.date, int]]


@dataclass
class _AtHome:
    """What a student's items of the term say; tempos by the spot or scale they belong to."""

    items: list[ItemMinutes] = field(default_factory=list)
    later: set[dt.date] = field(default_factory=set)
    spots: defaultdict[int, Told] = field(default_factory=lambda: defaultdict(list))
    scales: defaultdict[int, Told] = field(default_factory=lambda: defaultdict(list))


def term_figures(term: Term, students: Sequence[Student], today: dt.date) -> dict[int, ReportData]:
    """Figures by student id, counted until today or the term's end. Nine queries."""
    ids = [student.pk for student in students]
    until = min(today, term.ends)
    weeks = weeks_of(term.starts, term.ends, term.studio.week_start)
    ledgers = term_ledgers(term, students, today)[0]
    closed = _closed(term)
    home = _at_home(term, ids, until)
    scales = _scales(ids, until)
    spots = _spots(each for at in home.values() for each in at.spots)
    finished, in_hand = _pieces(term, ids, until)
    coming = _next_lessons(ids, today, term.ends)
    return {
        student.pk: ReportData(
            student=student.given_name,
            teacher=term.studio.teacher,
            term=term.name,
            starts=term.starts,
            ends=term.ends,
            until=until,
            lessons=tuple(_fate(line) for line in ledgers[student.pk].lines),
            weeks=minutes_by_week(weeks, home[student.pk].items, closed, student.started, until),
            keys=_keys(scales[student.pk], term, until),
            tempos=_tempos(home[student.pk], spots, scales[student.pk], weeks),
            finished=tuple(finished[student.pk]),
            in_hand=tuple(in_hand[student.pk]),
            scale=_scale_now(scales[student.pk], until),
            later=len(home[student.pk].later),
            next_lesson=coming.get(student.pk),
            paper=term.studio.paper,
            clock_24h=term.studio.clock_24h,
            language=term.studio.locale,
            note_names=term.studio.note_names,
        )
        for student in students
    }


def _closed(term: Term) -> list[tuple[dt.date, dt.date]]:
    rows = Closure.objects.filter(studio=term.studio, starts__lte=term.ends, ends__gte=term.starts)
    return list(rows.values_list("starts", "ends"))


def _fate(line: Line) -> LessonFate:
    if line.fate is Fate.FORFEITED:
        missed = line.last.status == Lesson.Status.MISSED
        return LessonFate.MISSED if missed else LessonFate.CANCELLED
    return FATES[line.fate]


def _at_home(term: Term, ids: list[int], until: dt.date) -> defaultdict[int, _AtHome]:
    found: defaultdict[int, _AtHome] = defaultdict(_AtHome)
    rows = Item.objects.filter(
        plan__assignment__student__in=ids, date__gte=term.starts, date__lte=term.ends
    ).values_list(
        *("plan__assignment__student", "date", "part", "minutes", "spot", "scale"),
        *("log__done", "log__minutes", "log__tempo"),
    )
    for student, date, part, minutes, spot, scale, done, played, tempo in rows.order_by():
        at = found[student]
        if date > until:
            if done:
                at.later.add(date)
            continue
        at.items.append(ItemMinutes(date, INTO[Part(part)], minutes, played if done else 0))
        if done and tempo and spot:
            at.spots[spot].append((date, tempo))
        elif done and tempo and scale:
            at.scales[scale].append((date, tempo))
    return found


def _spots(ids: Iterable[int]) -> dict[int, Spot]:
    return {spot.pk: spot for spot in Spot.objects.filter(pk__in=ids).select_related("piece__work")}


def _scales(ids: list[int], until: dt.date) -> defaultdict[int, list[ScaleInHand]]:
    found: defaultdict[int, list[ScaleInHand]] = defaultdict(list)
    rows = ScaleInHand.objects.filter(student__in=ids, since__lte=until)
    for scale in rows.order_by("since", "pk"):
        found[scale.student_id].append(scale)
    return found


def _open(scale: ScaleInHand, until: dt.date) -> bool:
    return scale.until is None or scale.until > until


def _scale_now(scales: Iterable[ScaleInHand], until: dt.date) -> str:
    """ "G major, 2 octaves"."""
    for scale in scales:
        if _open(scale, until):
            said = ngettext("{key}, {n} octave", "{key}, {n} octaves", scale.octaves)
            return said.format(key=key_told(scale.key), n=scale.octaves)
    return ""


def _keys(scales: Iterable[ScaleInHand], term: Term, until: dt.date) -> tuple[KeyHeld, ...]:
    """Every key so far; one in a spelling that is no key stands nowhere on the circle."""
    found = {}
    for scale in scales:
        known = Known.NOW if _open(scale, until) else Known.LEARNT
        this_term = bool(scale.until and term.starts <= scale.until <= until)
        held = key_held(scale.key, known, this_term=this_term)
        if held is not None:
            found[held.signature, held.minor, known] = held
    return tuple(found.values())


def key_held(name: str, known: Known, *, this_term: bool = False) -> KeyHeld | None:
    """A key by its name ("E flat major"); None for a spelling that is no key."""
    try:
        key = parse_key(name)
    except MusicError:
        return None
    tonic = f"{key.step}{SIGNS[key.alter]}"
    return KeyHeld(key.signature, key.mode == MINOR, tonic, known, this_term)


def _tempos(
    at: _AtHome, spots: dict[int, Spot], scales: Iterable[ScaleInHand], weeks: Sequence[Stretch]
) -> tuple[TempoLine, ...]:
    of = {scale.pk: scale for scale in scales}
    lines: list[TempoLine | None] = []
    for pk, told in at.spots.items():
        spot = spots[pk]
        lines.append(
            tempo_line(spot.piece.work.told_title, spot.label, spot.tempo_goal, told, weeks)
        )
    for pk, told in at.scales.items():
        goal = of[pk].tempo_goal if pk in of else None
        if goal:
            name = _("{key} scale").format(key=key_told(of[pk].key))
            lines.append(tempo_line(name, "", goal, told, weeks))
    return longest_first(line for line in lines if line)


def _pieces(
    term: Term, ids: list[int], until: dt.date
) -> tuple[defaultdict[int, list[PieceFinished]], defaultdict[int, list[str]]]:
    """Those learned in the term by their day, and the titles in hand at its end."""
    finished: defaultdict[int, list[PieceFinished]] = defaultdict(list)
    rows = PieceInHand.objects.learned().filter(
        student__in=ids, finished__gte=term.starts, finished__lte=until
    )
    for row in rows.select_related("work").order_by("finished", "pk"):
        if row.finished:
            finished[row.student_id].append(PieceFinished(row.work.told_title, row.finished))
    in_hand: defaultdict[int, list[str]] = defaultdict(list)
    held = PieceInHand.objects.filter(
        Q(finished=None) | Q(finished__gt=until), student__in=ids, started__lte=until
    )
    for row in held.select_related("work").order_by("place", "pk"):
        in_hand[row.student_id].append(row.work.told_title)
    return finished, in_hand


def _next_lessons(ids: list[int], today: dt.date, ends: dt.date) -> dict[int, NextLesson]:
    """The first planned lesson after the term; where there is none, the next one at all."""
    found: dict[int, NextLesson] = {}
    rows = Lesson.objects.filter(student__in=ids, date__gt=today, status=Lesson.Status.PLANNED)
    for student, date, starts in rows.order_by("date", "starts").values_list(
        "student", "date", "starts"
    ):
        known = found.get(student)
        if known is None or (date > ends and not known.of_next_term):
            found[student] = NextLesson(date, starts, date > ends)
    return found
