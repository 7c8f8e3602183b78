"""Rows into the pure rules and back: the order that is drafted, moved, and judged in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.db import transaction

from practice.programme import rules
from practice.programme.draft import Draft, draft
from practice.programme.timing import Timetable, guess, timetable
from practice.recitals.models import Performance, Programme
from studio.language.lists import listed
from studio.lessons.feed import shown_names
from studio.people.models import Student


def performances_of(programme: Programme) -> list[Performance]:
    """In their order, with all that is shown of them. One query."""
    rows = programme.performances.select_related("student__family", "partner__family", "work")
    return list(rows.order_by("place", "pk"))


def players_of(performances: Iterable[Performance]) -> list[Student]:
    """Everybody who plays, once, in the order of the programme."""
    found = {
        student.pk: student
        for each in performances
        for student in (each.student, each.partner)
        if student is not None
    }
    return list(found.values())


def names_of(performances: Sequence[Performance]) -> dict[int, str]:
    """First names by student id; with the initial where two share one."""
    return shown_names(players_of(performances))


def who(each: Performance, names: dict[int, str]) -> str:
    """ "Imani" or "Imani and Zola"."""
    return listed([names[pk] for pk in (each.student_id, each.partner_id) if pk])


def played(performances: Sequence[Performance]) -> list[rules.Played]:
    names = names_of(performances)
    found = []
    for each in performances:
        players = [each.student, *([each.partner] if each.partner else [])]
        born = [player.birth_date for player in players if player.birth_date]
        found.append(
            rules.Played(
                key=each.pk,
                label=f"{who(each, names)} ({each.work.short_title})",
                families=frozenset(player.family_id for player in players),
                players=frozenset(player.pk for player in players),
                born=max(born, default=None),
                character=rules.Character(each.character),
                with_piano=each.with_piano,
            )
        )
    return found


def wishes_of(programme: Programme, count: int) -> rules.Wishes:
    return rules.Wishes(
        rules.Siblings(programme.siblings),
        programme.most_with_piano if programme.accompanist else 0,
        interval_at(programme, count),
    )


def interval_at(programme: Programme, count: int) -> int:
    """How many pieces come before the interval; 0 where it would not lie between two."""
    return programme.interval_after if programme.interval_after < count else 0


def bent(programme: Programme, performances: Sequence[Performance]) -> tuple[rules.Bend, ...]:
    return rules.bends(played(performances), wishes_of(programme, len(performances)))


def timed(programme: Programme, performances: Sequence[Performance]) -> Timetable:
    return timetable(
        [length(each) for each in performances],
        programme.change_seconds,
        interval_at(programme, len(performances)),
        60 * programme.interval_minutes,
    )


def length(each: Performance) -> int:
    """Seconds; a guess by the kind of work until the teacher has taken the time."""
    return each.seconds if each.seconds is not None else guess(each.work.kind)


@transaction.atomic
def draft_anew(programme: Programme) -> Draft:
    """Puts the pieces into the drafted order; what was moved by hand is gone."""
    rows = performances_of(programme)
    found = draft(played(rows), wishes_of(programme, len(rows)))
    of = {each.pk: each for each in rows}
    _keep([of[each.key] for each in found.order])
    programme.moved_by_hand = False
    programme.save(update_fields=["moved_by_hand"])
    return found


def follow(programme: Programme) -> bool:
    """Drafts anew after something the order looks at has changed; never over what she moved."""
    if programme.moved_by_hand:
        return False
    draft_anew(programme)
    return True


@transaction.atomic
def move(programme: Programme, pk: int, by: int) -> tuple[str, ...]:
    """One place earlier (-1) or later (1); returns the sentences on what bends only now."""
    rows = performances_of(programme)
    before = {each.words for each in bent(programme, rows)}
    here = next((n for n, each in enumerate(rows) if each.pk == pk), None)
    if here is None or not 0 <= here + by < len(rows):
        return ()
    rows[here], rows[here + by] = rows[here + by], rows[here]
    _keep(rows)
    programme.moved_by_hand = True
    programme.save(update_fields=["moved_by_hand"])
    return tuple(each.words for each in bent(programme, rows) if each.words not in before)


@transaction.atomic
def put_interval(programme: Programme, after: int) -> tuple[str, ...]:
    """After so many pieces, 0: none; returns the sentences on what bends only now."""
    rows = performances_of(programme)
    before = {each.words for each in bent(programme, rows)}
    programme.interval_after = max(0, min(after, len(rows) - 1))
    programme.save(update_fields=["interval_after"])
    return tuple(each.words for each in bent(programme, rows) if each.words not in before)


def _keep(rows: Sequence[Performance]) -> None:
    for place, each in enumerate(rows, 1):
        each.place = place
    Performance.objects.bulk_update(rows, ["place"])
