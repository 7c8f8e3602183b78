"""A recital in each term: the past ones were played, the next one is being made ready."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Final

from practice.example.seasons import Named, Year
from practice.programme.rules import Character, Siblings
from practice.recitals.models import Performance, Programme, Thanks
from practice.recitals.order import draft_anew, move, put_interval
from practice.recitals.pieces import settle
from practice.repertoire.models import PieceInHand, Work
from studio.access.models import Studio
from studio.people.models import Student
from studio.terms.models import Recital

LATE_IN_TERM: Final = dt.timedelta(weeks=8, days=5)  # a Saturday
FRESH: Final = dt.timedelta(weeks=20)  # a piece finished longer ago is not taken up again
NEARLY: Final = dt.timedelta(weeks=3)  # one that was played may be called finished a little later
MOST: Final = 18  # players
WITHOUT_LENGTH: Final = 5  # every so manieth piece of the next recital has no length yet
PIANIST: Final = "Oisín"
THANKS: Final = (
    "Dear [name], it takes courage to stand up there alone, and it takes weeks nobody sees."
    " I heard both. Thank you for the music."
)
SLOW_WORDS: Final = (
    *("lullaby", "romance", "largo", "adagio", "siciliano", "bus", "pavane", "greensleeves"),
    *("allemande", "auld lang"),
)
FAST_WORDS: Final = (
    *("march", "dance", "gavotte", "jig", "bourrée", "allegro", "bicycle", "rondo", "reel"),
    *("csárdás", "waltz"),
)
ALONE: Final = "Partita"  # played without piano


def invent_recitals(studio: Studio, year: Year) -> None:
    """For every term of the example; the pieces must be saved."""
    for term in year.terms:
        _invent(studio, term, year.today)


def _invent(studio: Studio, term: Named, today: dt.date) -> None:
    date = term.starts + LATE_IN_TERM
    recital = Recital.objects.create(
        studio=studio,
        name=f"{term.name.split()[0]} recital",
        date=date,
        starts=dt.time(15),
        place="Parish hall, the room with the stove",
        minutes=60,
    )
    programme = Programme.objects.create(
        recital=recital,
        accompanist=PIANIST,
        siblings=Siblings.APART,
        most_with_piano=3,
        thanks=THANKS if date < today else "",
    )
    chosen = list(_chosen(studio, date, today))[:MOST]
    for place, (student, partner, work) in enumerate(chosen, 1):
        timed = date < today or place % WITHOUT_LENGTH
        Performance.objects.create(
            programme=programme,
            student=student,
            partner=partner,
            work=work,
            place=place,
            seconds=_length(work, place) if timed else None,
            character=_character(work),
            with_piano=work.studio_id is None and place % 4 != 0 and ALONE not in work.title,
        )
    settle(programme)
    put_interval(programme, len(chosen) // 2)
    drafted = draft_anew(programme).order
    if date >= today and len(drafted) > 2:
        move(programme, drafted[1].key, 1)
    elif chosen:
        words = "Dear [name], you went on after the slip as if nothing had been. That is the art."
        Thanks.objects.create(programme=programme, student=chosen[0][0], words=words)


def _chosen(
    studio: Studio, date: dt.date, today: dt.date
) -> Iterator[tuple[Student, Student | None, Work]]:
    """Of each student the piece that stood nearest to being ready on that day.

    Siblings who learn the same one play it together.
    """
    rows = PieceInHand.objects.filter(
        student__family__studio=studio,
        student__status=Student.Status.LEARNING,
        started__lt=date,
        stage__in=[PieceInHand.Stage.POLISHING, PieceInHand.Stage.FINISHED],
    ).select_related("student", "work")
    best: dict[int, PieceInHand] = {}
    for row in rows.order_by("student__family__name", "student__given_name", "started", "place"):
        last = row.finished or today
        if date - FRESH <= last and (date >= today or last <= date + NEARLY):
            best[row.student_id] = row
    together: dict[tuple[int, int], list[Student]] = {}
    for row in best.values():
        together.setdefault((row.student.family_id, row.work_id), []).append(row.student)
    works = {row.work_id: row.work for row in best.values()}
    for (_, work), players in together.items():
        yield players[0], players[1] if len(players) > 1 else None, works[work]


def _length(work: Work, place: int) -> int:
    """Seconds, to the next five, longer for harder pieces."""
    return 60 + 20 * (work.difficulty or 3) + 5 * (place * 7 % 12)


def _character(work: Work) -> Character:
    words = work.title.lower()
    if any(word in words for word in SLOW_WORDS):
        return Character.SLOW
    return Character.FAST if any(word in words for word in FAST_WORDS) else Character.OTHER
