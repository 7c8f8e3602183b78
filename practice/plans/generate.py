"""From rows to a week and back to rows: gather the inputs, build, store. One transaction."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Max

from practice.logs.history import history_of
from practice.logs.models import LogEntry
from practice.planning.types import (
    DayIn,
    EtudeIn,
    ExploreIn,
    FavouriteIn,
    History,
    PieceIn,
    Pins,
    Routine,
    ScaleIn,
    SessionIn,
    SpotIn,
    SpotState,
    Stage,
    WeekInputs,
    WeekPlan,
)
from practice.planning.versions import LATEST, build
from practice.plans.hand import Hand
from practice.plans.models import Assignment, Item, Plan
from practice.plans.weeks import Week, usual_minutes
from practice.plans.words import item_words
from practice.repertoire.models import Idea
from studio.lessons.models import Lesson
from studio.people.models import Student


@dataclass(frozen=True)
class Past:
    """What logs say of the weeks before: for the builder, and when each key was last played."""

    history: History
    played: Mapping[str, dt.date]


@dataclass(frozen=True)
class Wanted:
    """What one assignment asks of its week, beside what is in hand."""

    minutes: tuple[int, ...]
    favourite_id: int | None = None
    idea: Idea | None = None
    pins: Pins = Pins()


def past_of(student: Student, starts: dt.date) -> Past:
    """Four queries. Spots and favourites are told when they were last played, ever."""
    last = (
        LogEntry.objects.filter(
            item__plan__assignment__student=student,
            item__date__lt=starts,
            item__part__in=["spot", "favourite"],
            done=True,
        )
        .values_list("item__key")
        .annotate(last=Max("item__date"))
        .order_by()
    )
    return Past(history_of(student, starts), dict(last))


def week_inputs(student: Student, week: Week, hand: Hand, wanted: Wanted, past: Past) -> WeekInputs:
    """The builder's inputs. No query."""
    favourites = [
        each for each in hand.favourites if wanted.favourite_id in (None, each.id)
    ] or list(hand.favourites)
    return WeekInputs(
        days=_days(student, week, wanted.minutes),
        routine=_routine(student),
        scale=_scale(hand),
        etude=EtudeIn(hand.etude.id, hand.etude.title) if hand.etude else None,
        pieces=tuple(
            PieceIn(piece.id, piece.place, piece.title, Stage(piece.stage)) for piece in hand.pieces
        ),
        spots=tuple(_spots(hand, past)),
        favourites=tuple(
            FavouriteIn(each.id, each.title, past.played.get(f"favourite:{each.id}"))
            for each in favourites
        ),
        explore=ExploreIn(wanted.idea.title, wanted.idea.pk) if wanted.idea else None,
        history=past.history,
        pins=wanted.pins,
        version=LATEST,
    )


@transaction.atomic
def store(assignment: Assignment, inputs: WeekInputs, hand: Hand, idea: Idea | None) -> Plan:
    """Builds the week and writes it down. What was logged already is never deleted."""
    week = build(inputs)
    plan, _ = Plan.objects.update_or_create(
        assignment=assignment,
        defaults={"builder_version": week.version, "inputs": inputs.to_json()},
    )
    before, plan.details = plan.details, {}
    wanted = {(item.date, item.key): item for item in item_rows(plan, week, hand, idea)}
    kept = {(item.date, item.key): item for item in plan.items.select_related("log")}
    changed, gone = [], []
    for key, item in kept.items():
        new = wanted.pop(key, None)
        if new is not None:
            new.pk = item.pk
            changed.append(new)
        elif hasattr(item, "log"):
            item.minutes = 0
            plan.details.setdefault(item.key, before.get(item.key, ""))
            changed.append(item)
        else:
            gone.append(item.pk)
    Item.objects.filter(pk__in=gone).delete()
    Item.objects.bulk_update(changed, ITEM_FIELDS)
    Item.objects.bulk_create(wanted.values())
    plan.save(update_fields=["details"])
    return plan


def built(plan: Plan) -> WeekPlan:
    """The stored plan built again from its own inputs by its own builder."""
    return build(WeekInputs.from_json(plan.inputs))


ITEM_FIELDS = (
    "session",
    "position",
    "part",
    "minutes",
    "title",
    "piece",
    "spot",
    "scale",
)


def item_rows(plan: Plan, week: WeekPlan, hand: Hand, idea: Idea | None) -> list[Item]:
    """The week as rows that are not saved yet, with their details in the plan, not saved either."""
    rows = []
    piece_at = {piece.place: piece.id for piece in hand.pieces}
    for day in week.days:
        for session in day.sessions:
            for position, item in enumerate(session.items):
                title, plan.details[item.key] = item_words(item, hand, idea)
                rows.append(
                    Item(
                        plan=plan,
                        date=day.date,
                        session=session.number,
                        position=position,
                        key=item.key,
                        part=item.part.value,
                        minutes=item.minutes,
                        title=title[:200],
                        piece_id=piece_at.get(item.piece) if item.piece else None,
                        spot_id=_id(item.key, "spot"),
                        scale_id=_id(item.key, "scale"),
                    )
                )
    return rows


def _id(key: str, kind: str) -> int | None:
    name, _, number = key.partition(":")
    return int(number) if name == kind else None


def _days(student: Student, week: Week, minutes: Sequence[int]) -> tuple[DayIn, ...]:
    usual = usual_minutes(student, week)
    lessons = {lesson.date: lesson for lesson in week.lessons}
    return tuple(
        DayIn(
            date=day,
            minutes=budget,
            lesson=day in lessons,
            off=not budget,
            sessions=_sessions_left(student, lessons.get(day)),
            by_hand=budget != habit,
        )
        for day, budget, habit in zip(week.days, minutes, usual, strict=True)
    )


def _sessions_left(student: Student, lesson: Lesson | None) -> tuple[int, ...] | None:
    """The lesson takes the place of the session it is nearest to; None: all can be held."""
    sessions = student.sessions
    if lesson is None or len(sessions) < 2:
        return None
    starts = [start for _, start in sessions]
    taken = len(sessions) - 1
    if all(starts):
        at = _minute(lesson.starts)
        taken = min(range(len(starts)), key=lambda n: abs(_minute(starts[n] or dt.time()) - at))
    return tuple(n + 1 for n in range(len(sessions)) if n != taken)


def _minute(time: dt.time) -> int:
    return 60 * time.hour + time.minute


def _routine(student: Student) -> Routine:
    studio = student.family.studio
    return Routine(
        sessions=tuple(SessionIn(name, start) for name, start in student.sessions),
        rest_after=studio.rest_after,
        rest_minutes=studio.rest_minutes,
        growth_limit_percent=studio.growth_limit_percent,
    )


def _scale(hand: Hand) -> ScaleIn | None:
    scale = hand.scale
    if scale is None:
        return None
    return ScaleIn(scale.id, scale.key, scale.tempo_now, scale.tempo_goal)


def _spots(hand: Hand, past: Past) -> list[SpotIn]:
    return [
        SpotIn(
            id=spot.id,
            piece=piece.place,
            bars=spot.bars,
            state=SpotState(spot.state),
            tempo_now=spot.tempo_now,
            tempo_goal=spot.tempo_goal,
            hardness=spot.hardness,
            last_practised=past.played.get(f"spot:{spot.id}"),
        )
        for piece in hand.pieces
        for spot in piece.spots
    ]
