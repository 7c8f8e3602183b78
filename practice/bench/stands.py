"""How it stands: what speaks for moving on with the scale and with each spot. Only shown."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.figures.evidence import (
    HeardLesson,
    TempoEvidence,
    TempoPoint,
    evidence,
    tempo_evidence,
)
from practice.figures.sparkline import Sparkline, sparkline
from practice.logs.models import Mark, ScaleHeard
from practice.music.keys import key_told
from practice.planning.words import sentence_case
from practice.plans.models import Item
from practice.repertoire.models import PieceInHand, ScaleInHand, Spot
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.terms.models import Recital, Term
from studio.web.days import long_day


@dataclass(frozen=True)
class Standing:
    """One thing in hand: a sentence a line, and its tempos where they are enough for a trend."""

    title: str
    words: tuple[str, ...]
    line: Sparkline | None = None


@dataclass(frozen=True)
class PieceStanding:
    piece: PieceInHand
    spots: tuple[Standing, ...]


def scale_standing(student: Student, today: dt.date) -> Standing | None:
    """None without a scale in hand. Six queries, however much was logged."""
    scale = student.scales.filter(until=None).first()
    if scale is None:
        return None
    rows = Item.objects.filter(scale=scale, log__done=True, date__lte=today)
    logged = list(rows.values_list("date", "log__tempo").order_by("date"))
    lessons, lines = _lessons(student, scale, today)
    tempos = [TempoPoint(day, bpm) for day, bpm in logged if bpm]
    tempos += [TempoPoint(each.date, each.tempo) for each in lessons if each.tempo]
    term, recital = _ahead(student, today)
    found = evidence(
        since=scale.since,
        today=today,
        practised=[day for day, _ in logged],
        lessons=lessons,
        tempos=tempos,
        goal=scale.tempo_goal,
        steady_wanted=student.family.studio.steady_lessons,
        recital=recital,
    )
    counted, steady = found.words[:2]
    tempo = found.tempo
    since = _("In {key} since {day}: {counted}")
    key = key_told(scale.key)
    said = [since.format(key=key, day=long_day(scale.since), counted=counted), *lines, steady]
    said.append(
        _told(tempo, term, recital)
        if tempo
        else _("No tempo is wanted of this scale yet, so no trend is drawn.")
    )
    return Standing(key, tuple(said), _line(tempo, tempos, today))


def pieces_standing(
    student: Student, today: dt.date, only: int | None = None
) -> tuple[PieceStanding, ...]:
    """Each piece in hand (or the one with that id) with its open spots. Five queries."""
    pieces = student.pieces.in_hand().select_related("work").prefetch_related("spots")
    rows = list(pieces if only is None else pieces.filter(pk=only))
    open_spots = {
        piece.pk: [spot for spot in piece.spots.all() if spot.state != Spot.State.SOLVED]
        for piece in rows
    }
    told = _tempos_of(
        Item.objects.filter(
            spot__in=[spot.pk for spots in open_spots.values() for spot in spots],
            log__done=True,
            date__lte=today,
        )
    )
    term, recital = _ahead(student, today)
    return tuple(
        PieceStanding(
            piece,
            tuple(
                _spot(spot, told[spot.pk], today, term, recital) for spot in open_spots[piece.pk]
            ),
        )
        for piece in rows
    )


def lesson_to_hear(student: Student, today: dt.date) -> Lesson | None:
    """The latest lesson that took place or is today: the one marks are noted of."""
    past = Lesson.objects.standing().filter(student=student, date__lte=today)
    return past.order_by("-date", "-starts").first()


def _spot(
    spot: Spot,
    told: list[tuple[dt.date, int | None]],
    today: dt.date,
    term: Term | None,
    recital: dt.date | None,
) -> Standing:
    days = len({day for day, _ in told if day >= spot.opened})
    played = ngettext("{state}, played on {n} day.", "{state}, played on {n} days.", days).format(
        state=sentence_case(spot.get_state_display()), n=days
    )
    tempos = [TempoPoint(day, bpm) for day, bpm in told if bpm and day >= spot.opened]
    tempo = tempo_evidence(tempos, spot.tempo_goal, today, recital)
    said = (played, _told(tempo, term, recital))
    return Standing(spot.label, said, _line(tempo, tempos, today))


def _tempos_of(items: QuerySet[Item]) -> defaultdict[int, list[tuple[dt.date, int | None]]]:
    found: defaultdict[int, list[tuple[dt.date, int | None]]] = defaultdict(list)
    for spot, day, bpm in items.values_list("spot", "date", "log__tempo").order_by("date"):
        found[spot].append((day, bpm))
    return found


def _lessons(
    student: Student, scale: ScaleInHand, today: dt.date
) -> tuple[list[HeardLesson], list[str]]:
    """The lessons kept in this key, and a sentence on the last one that has marks."""
    rows = Lesson.objects.standing().filter(student=student, date__gte=scale.since, date__lte=today)
    found, marked = [], None
    for lesson in (
        rows.order_by("date", "starts").select_related("scale_heard").prefetch_related("marks")
    ):
        marks = sorted(lesson.marks.all(), key=_order)
        heard = _scale_heard(lesson, scale)
        if lesson.status == Lesson.Status.PLANNED and not (marks or heard):
            continue
        marked = (lesson.date, marks) if marks else marked
        found.append(
            HeardLesson(
                lesson.date,
                tuple(mark.heard for mark in marks),
                heard.tempo if heard else None,
                bool(heard and heard.with_bowings),
            )
        )
    return found, [_marks_sentence(found, *marked) if marked else _("No marks heard in it yet.")]


def _scale_heard(lesson: Lesson, scale: ScaleInHand) -> ScaleHeard | None:
    heard: ScaleHeard | None = getattr(lesson, "scale_heard", None)
    return heard if heard is not None and heard.scale_id == scale.pk else None


def _order(mark: Mark) -> int:
    return Mark.Aspect.values.index(mark.aspect)


def _marks_sentence(lessons: Sequence[HeardLesson], day: dt.date, marks: Iterable[Mark]) -> str:
    """ "Marks at 3 lessons; on 18 November 2026: notes steady, bow coming."."""
    count = sum(bool(each.grades) for each in lessons)
    said = ", ".join(f"{mark.get_aspect_display()} {mark.get_heard_display()}" for mark in marks)
    pattern = ngettext(
        "Marks at {n} lesson; on {day}: {marks}.", "Marks at {n} lessons; on {day}: {marks}.", count
    )
    return pattern.format(n=count, day=long_day(day), marks=said)


def _line(
    tempo: TempoEvidence | None, tempos: Iterable[TempoPoint], today: dt.date
) -> Sparkline | None:
    """Nothing is drawn where too few tempos are told."""
    if tempo is None or tempo.now is None:
        return None
    return sparkline(tempos, tempo.goal, today)


def _ahead(student: Student, today: dt.date) -> tuple[Term | None, dt.date | None]:
    """The term of today and the day of the next recital."""
    studio = student.family.studio
    return Term.objects.of(studio).on(today), Recital.objects.next_day(studio, today)


def _told(tempo: TempoEvidence, term: Term | None, recital: dt.date | None) -> str:
    """The end of the term beside the range of days, where no recital stands there already."""
    if tempo.earliest is None or term is None or recital:
        return tempo.words
    if tempo.earliest > term.ends:
        beside = _("That is after the term, which ends on {day}.")
    elif tempo.latest is not None and tempo.latest <= term.ends:
        beside = _("That is within the term, which ends on {day}.")
    else:
        beside = _("The term ends on {day}, so it may or may not be in it.")
    return f"{tempo.words} {beside.format(day=long_day(term.ends))}"
