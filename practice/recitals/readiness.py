"""What the rows say of a piece before its recital: sentences and numbers, no verdict, no rank."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import prefetch_related_objects
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.figures.evidence import TempoPoint, tempo_evidence
from practice.logs.models import LogEntry, Mark
from practice.planning.types import Part
from practice.recitals.models import Performance, of_pairs
from practice.repertoire.models import Favourite, PieceInHand, Spot
from studio.lessons.models import Lesson
from studio.web.days import in_words, long_day

LATELY = dt.timedelta(weeks=4)
Played = list[tuple[dt.date, int | None]]


@dataclass(frozen=True)
class Readiness:
    """`line` is the shortest form for a row; `sentences` say the rest."""

    line: str
    sentences: tuple[str, ...]


@dataclass
class _Rows:
    """Everything asked of the database, by student and work, by student, and by spot."""

    pieces: dict[tuple[int, int], PieceInHand]
    liked: dict[tuple[int, int], Favourite]
    whole: defaultdict[tuple[int, int], set[dt.date]]
    spots: defaultdict[int, Played]
    marks: dict[int, tuple[dt.date, list[Mark]]]


def readiness_of(
    performances: Sequence[Performance], recital: dt.date, today: dt.date
) -> dict[int, Readiness]:
    """By the id of the performance. Six queries, however many there are."""
    rows = _rows(performances, today)
    return {each.pk: _one(each, rows, recital, today) for each in performances}


def _rows(performances: Sequence[Performance], today: dt.date) -> _Rows:
    students = {each.student_id for each in performances}
    taken = of_pairs((each.student_id, each.work_id) for each in performances)
    found = PieceInHand.objects.filter(taken).exclude(stage=PieceInHand.Stage.SET_ASIDE)
    pieces = {(each.student_id, each.work_id): each for each in found.order_by("started", "pk")}
    prefetch_related_objects(list(pieces.values()), "spots")
    liked = Favourite.objects.filter(taken, retired=None)
    rows = _Rows(
        pieces=pieces,
        liked={(each.student_id, each.work_id): each for each in liked},
        whole=defaultdict(set),
        spots=defaultdict(list),
        marks=_marks(students, today),
    )
    _read_logs(rows, today)
    return rows


def _read_logs(rows: _Rows, today: dt.date) -> None:
    """Days on which the whole piece was played, and the tempos of its spots."""
    whole = {f"run:{piece.pk}": at for at, piece in rows.pieces.items()}
    whole |= {f"favourite:{each.pk}": at for at, each in rows.liked.items()}
    logged = LogEntry.objects.filter(
        item__key__in=list(whole),
        item__part__in=[Part.RUN_THROUGH, Part.FAVOURITE],
        item__date__range=(today - LATELY, today),
        item__plan__assignment__student__in={student for student, _ in whole.values()},
        done=True,
    )
    for key, day in logged.values_list("item__key", "item__date"):
        rows.whole[whole[key]].add(day)
    open_spots = [
        spot.pk
        for piece in rows.pieces.values()
        for spot in piece.spots.all()
        if spot.state != Spot.State.SOLVED
    ]
    tempos = LogEntry.objects.filter(item__spot__in=open_spots, item__date__lte=today, done=True)
    for spot, day, bpm in tempos.values_list("item__spot", "item__date", "tempo"):
        rows.spots[spot].append((day, bpm))


def _marks(students: set[int], today: dt.date) -> dict[int, tuple[dt.date, list[Mark]]]:
    """Of each student those of the latest lesson that has any."""
    found: dict[int, tuple[dt.date, list[Mark]]] = {}
    lessons = Lesson.objects.standing().filter(
        student__in=students, date__range=(today - 2 * LATELY, today)
    )
    rows = Mark.objects.filter(lesson__in=lessons)
    for mark in rows.select_related("lesson").order_by("-lesson__date", "-lesson__starts"):
        day, marks = found.setdefault(mark.lesson.student_id, (mark.lesson.date, []))
        if day == mark.lesson.date:
            marks.append(mark)
    return found


def _one(each: Performance, rows: _Rows, recital: dt.date, today: dt.date) -> Readiness:
    at = (each.student_id, each.work_id)
    piece, liked = rows.pieces.get(at), rows.liked.get(at)
    if piece is None and liked is None:
        return Readiness(
            _("not among the pieces"),
            (_("It is not among this student’s pieces, so nothing is known of it."),),
        )
    open_spots = (
        [spot for spot in piece.spots.all() if spot.state != Spot.State.SOLVED] if piece else []
    )
    sentences = [_stage(piece, liked.since if liked else None), _whole(len(rows.whole[at]))]
    if piece is not None and piece.finished is None:
        sentences.append(_count(open_spots))
    for spot in open_spots:
        sentences.append(_spot(spot, rows.spots[spot.pk], recital, today))
    sentences.append(_heard(rows.marks.get(each.student_id)))
    return Readiness(_line(piece, open_spots), tuple(filter(None, sentences)))


def _line(piece: PieceInHand | None, open_spots: Sequence[Spot]) -> str:
    if piece is None:
        return _("a favourite")
    if piece.finished is not None:
        return _("finished {day}").format(day=in_words(piece.finished, "j M Y"))
    stage, count = piece.get_stage_display(), len(open_spots)
    if not open_spots:
        return _("{stage}, no spot open").format(stage=stage)
    words = ngettext("{stage}, {n} spot open", "{stage}, {n} spots open", count)
    return words.format(stage=stage, n=count)


def _stage(piece: PieceInHand | None, since: dt.date | None) -> str:
    liked = long_day(since) if since else ""
    if piece is None:
        return _("A favourite since {liked}.").format(liked=liked)
    if piece.finished is not None:
        words = (
            _("Finished on {day}, a favourite since {liked}.") if liked else _("Finished on {day}.")
        )
        return words.format(day=long_day(piece.finished), liked=liked)
    words = (
        _("{stage}, in hand since {day}, a favourite since {liked}.")
        if liked
        else _("{stage}, in hand since {day}.")
    )
    stage = capfirst(piece.get_stage_display())
    return words.format(stage=stage, day=long_day(piece.started), liked=liked)


def _whole(days: int) -> str:
    if not days:
        return _("No log says that it was played through in the last four weeks.")
    return ngettext(
        "Played through on {n} day of the last four weeks, as logged.",
        "Played through on {n} days of the last four weeks, as logged.",
        days,
    ).format(n=days)


def _count(open_spots: Sequence[Spot]) -> str:
    if not open_spots:
        return _("No spot is open.")
    words = ngettext("{n} spot is open.", "{n} spots are open.", len(open_spots))
    return words.format(n=len(open_spots))


def _spot(spot: Spot, told: Played, recital: dt.date, today: dt.date) -> str:
    """The trend where there are enough tempos; otherwise that there are too few."""
    tempos = [TempoPoint(day, bpm) for day, bpm in told if bpm and day >= spot.opened]
    shown = recital if recital >= today else None
    found = tempo_evidence(tempos, spot.tempo_goal, today, shown)
    now = _("{spot}: {state}, now {now} of {goal}.").format(
        spot=capfirst(spot.label),
        state=spot.get_state_display(),
        now=spot.tempo_now,
        goal=spot.tempo_goal,
    )
    return f"{now} {found.words}"


def _heard(marks: tuple[dt.date, list[Mark]] | None) -> str:
    if marks is None:
        return _("No marks were heard at a lesson in the last eight weeks.")
    day, rows = marks
    ordered = sorted(rows, key=lambda mark: Mark.Aspect.values.index(mark.aspect))
    said = ", ".join(f"{mark.get_aspect_display()} {mark.get_heard_display()}" for mark in ordered)
    words = _("Heard at the lesson on {day}: {marks}.")
    return words.format(day=long_day(day), marks=said)
