"""Who could play what, and taking a piece into the programme or out of it."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Max, Q
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.recitals.models import Performance, Programme, of_pairs
from practice.recitals.order import follow, performances_of, players_of
from practice.repertoire.models import Favourite, PieceInHand, Work
from studio.access.models import Studio
from studio.people.models import Student
from studio.web.days import in_words

MOST_PIECES = 120
Stage = PieceInHand.Stage
READY = (Stage.POLISHING, Stage.FINISHED)


@dataclass(frozen=True)
class Offer:
    """A piece a student could play: polished now, finished, or a favourite.

    `taken` is the id of the performance in which she plays it already, also as the partner.
    """

    student: Student
    work: Work
    words: str
    taken: int | None = None

    @property
    def key(self) -> str:
        return f"{self.student.pk}-{self.work.pk}"


@dataclass(frozen=True)
class Taken:
    """What became of a choice. `drafted`: the order was drafted anew with them."""

    count: int
    too_many: int = 0
    drafted: bool = False


def finished_before(studio: Studio, since: dt.date) -> bool:
    """Whether anybody has pieces that `offers` leaves away."""
    rows = PieceInHand.objects.filter(stage=Stage.FINISHED, finished__lt=since)
    return rows.filter(student__in=Student.objects.of(studio).learning()).exists()


def offers(
    studio: Studio, programme: Programme, since: dt.date = dt.date.min
) -> list[tuple[Student, list[Offer]]]:
    """Every student who comes to lessons, also those with nothing ready. Four queries.

    Pieces finished before `since` are left away, unless they are in the programme.
    """
    students = list(Student.objects.of(studio).learning())
    rows = programme.performances.values_list("pk", "student", "partner", "work")
    taken = {
        (player, work): pk
        for pk, student, partner, work in rows
        for player in (student, partner)
        if player
    }
    found, polished = _found(students, taken, since)
    return [
        (
            student,
            [
                Offer(
                    student, work, ", ".join(dict.fromkeys(words)), taken.get((student.pk, work.pk))
                )
                for work, words in _first(polished[student.pk], found[student.pk])
            ],
        )
        for student in students
    ]


def _found(
    students: list[Student], taken: Collection[tuple[int, int]], since: dt.date
) -> tuple[Mapping[int, dict[Work, list[str]]], Mapping[int, set[Work]]]:
    """By student: works with what is known of them, and those that are polished now."""
    found: defaultdict[int, dict[Work, list[str]]] = defaultdict(dict)
    polished: defaultdict[int, set[Work]] = defaultdict(set)
    lately = Q(finished=None) | Q(finished__gte=since)
    pieces = PieceInHand.objects.filter(
        lately | of_pairs(taken), student__in=students, stage__in=READY
    )
    for piece in pieces.select_related("work").order_by("-finished", "place", "-pk"):
        if piece.finished:
            words = _("finished {day}").format(day=in_words(piece.finished, "j M Y"))
        else:
            words = piece.get_stage_display()
            polished[piece.student_id].add(piece.work)
        found[piece.student_id].setdefault(piece.work, []).append(words)
    liked = Favourite.objects.filter(student__in=students, retired=None).select_related("work")
    for each in liked.order_by("-since", "-pk"):
        found[each.student_id].setdefault(each.work, []).append(pgettext("a piece", "favourite"))
    return found, polished


def _first(polished: set[Work], found: dict[Work, list[str]]) -> list[tuple[Work, list[str]]]:
    return sorted(found.items(), key=lambda item: item[0] not in polished)


@transaction.atomic
def take(programme: Programme, chosen: Iterable[Offer]) -> Taken:
    """Puts the pieces at the end; where nothing was moved by hand the order is drafted anew."""
    rows = [each for each in chosen if not each.taken]
    before = _as_before(programme, rows)
    last = programme.performances.aggregate(last=Max("place"))["last"] or 0
    room = max(0, MOST_PIECES - programme.performances.count())
    for place, each in enumerate(rows[:room], last + 1):
        Performance.objects.create(
            programme=programme,
            student=each.student,
            work=each.work,
            place=place,
            with_piano=bool(programme.accompanist),
            **before.get((each.student.pk, each.work.pk), {}),
        )
    settle(programme)
    drafted = bool(rows[:room]) and follow(programme)
    return Taken(len(rows[:room]), len(rows[room:]), drafted)


def _as_before(
    programme: Programme, offers: Iterable[Offer]
) -> dict[tuple[int, int], dict[str, Any]]:
    """What was known of a piece when it was last timed for the same student."""
    rows = Performance.objects.filter(
        programme__recital__studio=programme.recital.studio_id,
        seconds__isnull=False,
        student__in={each.student.pk for each in offers},
    ).order_by("programme__recital__date", "pk")
    return {
        (each.student_id, each.work_id): {"seconds": each.seconds, "character": each.character}
        for each in rows
    }


@transaction.atomic
def give_back(performance: Performance) -> None:
    programme = performance.programme
    performance.delete()
    settle(programme)


def settle(programme: Programme) -> None:
    """Whoever plays is a player of the recital, so that the family's calendar has it."""
    players = players_of(performances_of(programme))
    programme.recital.players.set(players)
    # A calendar that is asked again must not think that it knows everything.
    programme.recital.save(update_fields=["changed"])


def already_there(performance: Performance) -> Performance | None:
    """Another row of the programme with the same piece by one of the same players."""
    players = [
        performance.student_id,
        *([performance.partner_id] if performance.partner_id else []),
    ]
    same = Performance.objects.filter(programme=performance.programme, work=performance.work)
    by_them = Q(student__in=players) | Q(partner__in=players)
    return same.filter(by_them).exclude(pk=performance.pk).select_related("student").first()


def alone(performance: Performance, student: Student) -> bool:
    """Whether this is the student's piece and nobody else's."""
    return performance.student_id == student.pk and performance.partner_id is None


@transaction.atomic
def keep(performance: Performance) -> None:
    """Saves the piece; one chosen for each of two who play it together becomes one."""
    performance.save()
    if performance.partner_id:
        same = Performance.objects.filter(programme=performance.programme, work=performance.work)
        same.filter(student=performance.partner_id, partner=None).delete()
    settle(performance.programme)
