"""L6: when a day cannot hold everything, the parts take turns by need."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

from hypothesis import given

from practice.planning.types import (
    ForbiddenPart,
    History,
    Part,
    Pins,
    WeekInputs,
)
from practice.planning.versions import build
from tests.pure.planning.strategies import weeks
from tests.pure.planning.weeks import (
    TWO_SESSIONS,
    day,
    days_with_turns,
    practice_days,
    reasons,
    same_table,
    week,
)


def fewest_etude_days(days: list[tuple[int, bool]], first_day_too: bool) -> int:
    """The smallest set of days with a turn that leaves no two days running without an etude.

    Days are (turns, whether the lesson holds the etude).
    """
    could = {n for n, (turns, _) in enumerate(days) if turns}
    heard = {n for n, (_, lesson) in enumerate(days) if lesson}
    needed = [{n, n + 1} for n in range(len(days) - 1)] + [{0}] * first_day_too
    for size in range(len(days) + 1):
        for chosen in combinations(sorted(could), size):
            if all(pair & {*chosen, *heard} or not pair & could for pair in needed):
                return size
    raise AssertionError("every day with a turn covers all that can be covered")


@given(weeks())
def test_warm_up_and_scale_stand_in_every_day(inputs: WeekInputs) -> None:
    for planned in practice_days(build(inputs)):
        parts = {item.part for item in planned.items}
        assert Part.WARM_UP in parts
        assert Part.SCALE in parts or not inputs.scale or planned.minutes == 1


@given(weeks())
def test_the_etude_is_never_away_two_days_running_where_a_day_has_a_turn(
    inputs: WeekInputs,
) -> None:
    if not inputs.etude:
        return
    days = list(days_with_turns(inputs, build(inputs)))
    heard = [
        lesson or any(item.part == Part.ETUDE for item in planned.items)
        for planned, _, lesson in days
    ]
    for one, two in pairwise(range(len(days))):
        assert heard[one] or heard[two] or days[one][1] == days[two][1] == 0


@given(weeks())
def test_no_part_is_missing_from_a_week_with_turns_for_all(inputs: WeekInputs) -> None:
    plan = build(inputs)
    days = list(days_with_turns(inputs, plan))
    others = {Part.SPOT: inputs.spots, Part.FAVOURITE: inputs.favourites}
    others |= {Part.RUN_THROUGH: tuple(p for p in inputs.pieces if p.run_every != 0)}
    in_hand = {part for part, found in others.items() if found}
    in_hand |= {Part.EXPLORE} if inputs.explore else set()
    etude = 0
    if inputs.etude:
        left_out = f"etude:{inputs.etude.id}" in inputs.history.left_out
        etude = max(1, fewest_etude_days([(turns, lesson) for _, turns, lesson in days], left_out))
    if sum(turns for _, turns, _ in days) - etude < len(in_hand):
        return
    played = {item.part for each, _, _ in days for item in each.items}
    first = next((each for each, _, lesson in days if not lesson), None)
    waiting = [w.reason for w in first.waiting if w.part == Part.SPOT] if first else []
    if all("not today" in reason for reason in waiting):
        played.add(Part.SPOT)  # by their gaps none was due when the week began
    assert in_hand <= played
    assert not inputs.etude or Part.ETUDE in played or not sum(turns for _, turns, _ in days)


@given(weeks())
def test_whatever_waits_is_told_why_and_a_missing_part_is_named(inputs: WeekInputs) -> None:
    plan = build(inputs)
    played = {item.part for each in plan.days for item in each.items}
    for each in practice_days(plan):
        assert all(waiting.reason for waiting in each.waiting)
        assert all(waiting.part != Part.EXPLORE for waiting in each.waiting)
        assert {item.key for item in each.items}.isdisjoint(w.key for w in each.waiting)
    heard = any(lesson for _, _, lesson in days_with_turns(inputs, plan))
    if inputs.etude and practice_days(plan) and Part.ETUDE not in played and not heard:
        assert any("no room for" in said and "etude" in said for said in plan.unmet)


def test_eight_minutes_a_day_hold_two_turns() -> None:
    plan = build(week([8] * 7))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat  Sun  Mon  Tue  Wed
        After school
          stretch           1    1    1    1    1    1    1
          warm_up           1    1    1    1    1    1    1
          scale:1           2    2    2    2    2    2    2
          etude:1           .    2    .    2    .    2    .
          spot:3            2    .    .    .    2    .    .
          spot:7            .    .    2    .    .    .    2
          run:1             2    .    .    2    .    2    .
          favourite:1       .    2    .    .    2    .    .
          explore           .    .    2    .    .    .    2
        minutes             8    8    8    8    8    8    8
        """,
    )
    assert reasons(plan, "etude:1") == [
        "Others go first today; the etude leads next time.",
        "No etude on Thursday, so it comes first.",
        "Etude had its turn on Friday.",
        "No etude on Saturday, so it comes first.",
        "Etude had its turn on Sunday.",
        "No etude on Monday, so it comes first.",
        "Etude had its turn on Tuesday.",
    ]


def test_the_etude_moves_ahead_of_a_day_without_room() -> None:
    plan = build(week([6, 4, 6, 4, 4, 6]))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat  Sun  Mon  Tue
        After school
          stretch           1    1    1    1    1    1
          warm_up           1    1    1    1    1    1
          scale:1           2    2    2    2    2    2
          etude:1           2    .    2    .    .    2
        minutes             6    4    6    4    4    6
        """,
    )
    assert reasons(plan, "etude:1")[0] == "No room for it on Friday, so it comes first today."
    assert "No etude on Sunday and Monday: no room for it." in plan.unmet


def test_what_was_left_out_last_week_comes_first() -> None:
    history = History(left_out=("run:1", "favourite:1"))
    plan = build(week([8] * 4, history=history))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat  Sun
        After school
          stretch           1    1    1    1
          warm_up           1    1    1    1
          scale:1           2    2    2    2
          etude:1           .    2    .    2
          spot:3            .    2    .    .
          spot:7            .    .    .    2
          run:1             2    .    2    .
          favourite:1       2    .    .    .
          explore           .    .    2    .
        minutes             8    8    8    8
        """,
    )
    assert reasons(plan, "run:1")[0] == "Left out last week, so it comes first."


def test_a_left_out_etude_takes_the_first_day() -> None:
    plan = build(week([6] * 3, history=History(left_out=("etude:1",))))
    assert reasons(plan, "etude:1")[0] == "Left out last week, so it comes first."


def test_parts_without_any_turn_are_named() -> None:
    plan = build(week([8]))
    assert plan.unmet == ("This week has no room for run-through and favourite.",)


def test_on_a_short_lesson_day_the_lesson_holds_what_its_session_would() -> None:
    inputs = week([25, 25, 10], routine=TWO_SESSIONS)
    lesson = replace(inputs.days[2], lesson=True, sessions=(1,))
    plan = build(replace(inputs, days=(*inputs.days[:2], lesson)))
    assert same_table(
        plan,
        """
                          Thu  Fri  Sat
        Before school
          stretch           1    1    1
          warm_up           3    3    3
          scale:1           5    7    6
        After school
          re_warm_up:2      2    2    .
          etude:1           3    5    .
          spot:3            3    3    .
          spot:7            2    .    .
          run:1             2    .    .
          favourite:1       2    2    .
          explore           2    2    .
        minutes            25   25   10
        """,
    )
    assert reasons(plan, "etude:1")[2] == "Today's lesson holds it."


def test_a_longer_lesson_day_is_a_day_like_any_other() -> None:
    inputs = week([25, 21], routine=TWO_SESSIONS)
    lesson = replace(inputs.days[1], lesson=True, sessions=(1,))
    planned = build(replace(inputs, days=(inputs.days[0], lesson))).days[1]
    assert "etude:1" in {item.key for item in planned.items}
    assert len(planned.sessions) == 1


def test_a_week_of_nothing_but_its_lesson_day_uses_that_day() -> None:
    inputs = week([12], routine=TWO_SESSIONS)
    lesson = replace(inputs.days[0], lesson=True, sessions=(1,))
    planned = build(replace(inputs, days=(lesson,))).days[0]
    assert "etude:1" in {item.key for item in planned.items}


def test_an_etude_left_out_by_the_teacher_two_days_running_is_told() -> None:
    barred = tuple(ForbiddenPart(Part.ETUDE, day(n)) for n in (1, 2))
    plan = build(week([20] * 4, pins=Pins(forbidden=barred)))
    assert "No etude on Friday and Saturday: you left it out." in plan.unmet
