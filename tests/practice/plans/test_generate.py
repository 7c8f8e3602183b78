import datetime as dt
from collections.abc import Iterator

import pytest

from practice.models import Assignment, Item, LogEntry, Plan
from practice.planning.types import Part, WeekInputs
from practice.planning.versions import build
from practice.plans.generate import Wanted, built, past_of, store, week_inputs
from practice.plans.hand import hand_of
from practice.plans.weeks import week_from
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
STARTS = DAY + dt.timedelta(days=1)  # a Thursday
MINUTES = (25, 25, 35, 0, 25, 25, 10)


@pytest.fixture
def full(student: Student) -> Student:
    """Imani with scale, etude, one piece with two spots, a favourite, and two sessions a day."""
    student.session_1, student.session_2 = "Before school", "After school"
    student.session_1_starts, student.session_2_starts = dt.time(7, 15), dt.time(16, 30)
    student.save()
    factories.ScaleInHandFactory.create(student=student)
    factories.EtudeInHandFactory.create(student=student)
    piece = factories.PieceInHandFactory.create(student=student)
    factories.SpotFactory.create(piece=piece)
    factories.SpotFactory.create(piece=piece, first_bar=7, hardness=2, state="firming")
    factories.FavouriteFactory.create(student=student)
    return student


def inputs_of(student: Student, minutes: tuple[int, ...] = MINUTES) -> WeekInputs:
    week = week_from(student, STARTS)
    wanted = Wanted(minutes)
    return week_inputs(student, week, hand_of(student), wanted, past_of(student, STARTS))


def stored(student: Student, minutes: tuple[int, ...] = MINUTES) -> Plan:
    assignment = Assignment.objects.filter(student=student, starts=STARTS).first()
    assignment = assignment or factories.AssignmentFactory.create(student=student, starts=STARTS)
    return store(assignment, inputs_of(student, minutes), hand_of(student), None)


def minutes_by_day(plan: Plan) -> Iterator[int]:
    for number in range(7):
        day = STARTS + dt.timedelta(days=number)
        yield sum(item.minutes for item in plan.items.filter(date=day))


def test_every_day_of_the_stored_week_sums_to_its_budget(full: Student) -> None:
    assert list(minutes_by_day(stored(full))) == list(MINUTES)


def test_a_stored_plan_builds_the_same_week_again(full: Student) -> None:
    plan = stored(full)
    before = built(plan)
    full.pieces.update(stage="polishing")
    full.scales.update(key="C major")
    again = Plan.objects.get(pk=plan.pk)
    assert built(again) == before
    assert again.inputs["version"] == again.builder_version


def test_building_twice_changes_no_row(full: Student) -> None:
    plan = stored(full)
    before = list(plan.items.order_by("pk").values())
    stored(full)
    assert list(plan.items.order_by("pk").values()) == before


def test_what_was_logged_stays_when_its_part_leaves_the_week(full: Student) -> None:
    plan = stored(full)
    etude = plan.items.filter(part="etude").first()
    assert etude is not None
    factories.LogEntryFactory.create(item=etude, minutes=4)
    full.etudes.all().delete()
    stored(full)
    etude.refresh_from_db()
    assert etude.minutes == 0
    assert LogEntry.objects.get().item_id == etude.pk
    assert plan.items.filter(part="etude").count() == 1
    assert list(minutes_by_day(plan)) == list(MINUTES)


def test_what_was_logged_keeps_its_row_when_its_minutes_change(full: Student) -> None:
    plan = stored(full)
    item = plan.items.filter(part="scale").first()
    assert item is not None
    factories.LogEntryFactory.create(item=item)
    stored(full, (60, 25, 35, 0, 25, 25, 10))
    item.refresh_from_db()
    assert item.minutes > 0
    assert LogEntry.objects.get().item_id == item.pk


def test_the_lesson_takes_the_place_of_the_nearest_session(full: Student) -> None:
    factories.LessonFactory.create(student=full, date=STARTS, starts=dt.time(16, 15))
    day = inputs_of(full).days[0]
    assert (day.lesson, day.sessions) == (True, (1,))
    full.lessons.update(starts=dt.time(7, 45))
    assert inputs_of(full).days[0].sessions == (2,)


def test_without_times_the_lesson_takes_the_last_session(full: Student) -> None:
    Student.objects.filter(pk=full.pk).update(session_1_starts=None)
    full.refresh_from_db()
    factories.LessonFactory.create(student=full, date=STARTS, starts=dt.time(8))
    assert inputs_of(full).days[0].sessions == (1,)


def test_a_day_without_minutes_is_a_day_off(full: Student) -> None:
    assert [day.off for day in inputs_of(full).days] == [False] * 3 + [True] + [False] * 3


def test_a_budget_that_differs_from_the_routine_was_written_by_hand(full: Student) -> None:
    usual = [20, 20, 20, 0, 20, 20, 20]
    assert not any(day.by_hand for day in inputs_of(full, tuple(usual)).days)
    usual[1] = 40
    assert [day.by_hand for day in inputs_of(full, tuple(usual)).days][:3] == [False, True, False]


def test_a_chosen_favourite_stands_alone(full: Student) -> None:
    other = factories.FavouriteFactory.create(
        student=full, work=factories.WorkFactory.create(title="Sakura")
    )
    week = week_from(full, STARTS)
    wanted = Wanted(MINUTES, favourite_id=other.pk)
    inputs = week_inputs(full, week, hand_of(full), wanted, past_of(full, STARTS))
    assert [each.id for each in inputs.favourites] == [other.pk]


def test_when_a_spot_was_last_practised_is_known(full: Student) -> None:
    plan = stored(full)
    item = Item.objects.filter(plan=plan, part="spot").order_by("-date").first()
    assert item is not None
    factories.LogEntryFactory.create(item=item)
    past = past_of(full, STARTS + dt.timedelta(days=7))
    assert past.played == {item.key: item.date}


def test_items_know_their_piece_spot_and_scale(full: Student) -> None:
    plan = stored(full)
    spot = plan.items.filter(part="spot").first()
    scale = plan.items.filter(part="scale").first()
    assert spot is not None
    assert scale is not None
    assert spot.key == f"spot:{spot.spot_id}"
    assert spot.piece_id == full.pieces.get().pk
    assert scale.scale_id == full.scales.get().pk
    assert (spot.title, spot.detail) == (
        "Spot, bar 3",
        "Minuet in G: C is a low 2, down before the bow turns",
    )


def test_stored_inputs_survive_json(full: Student) -> None:
    inputs = inputs_of(full)
    assert WeekInputs.from_json(inputs.to_json()) == inputs
    assert build(WeekInputs.from_json(inputs.to_json())) == build(inputs)
    assert Part.SPOT in {item.part for day in build(inputs).days for item in day.items}
