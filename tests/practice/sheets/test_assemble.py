import datetime as dt
from dataclasses import replace

import pytest

from practice.models import Idea, PieceInHand, Spot
from practice.planning.types import FreeItem, Pins, SpotState, Stage, WeekInputs, WeekPlan
from practice.planning.versions import build
from practice.plans.generate import Wanted, past_of, week_inputs
from practice.plans.hand import hand_of
from practice.plans.weeks import week_from
from practice.sheets.assemble import Occasion, cue_and_rest, sheet_data
from practice.sheets.bowed import chosen_bowings
from practice.sheets.data import DayKind, SheetData
from practice.sheets.grid import shortened
from studio.models import Student
from tests import factories
from tests.factories import DAY

pytestmark = pytest.mark.django_db
STARTS = DAY + dt.timedelta(days=1)
MINUTES = (25, 25, 35, 0, 25, 25, 10)
MINUET = "[K:G][M:3/4][L:1/8]e2 (cd) (ef)"


@pytest.fixture
def full(student: Student) -> Student:
    student.session_1, student.session_2 = "Before school", "After school"
    student.save()
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, excerpt=MINUET)
    factories.SpotFactory.create(piece=piece, first_bar=7, last_bar=8, hardness=2)
    factories.ScaleInHandFactory.create(student=student, bowing_1=f"spot:{spot.pk}")
    work = factories.EtudeWorkFactory.create(number="2")
    factories.EtudeInHandFactory.create(student=student, work=work, cue="Quiet wrist.")
    factories.FavouriteFactory.create(student=student)
    for days in (0, 7):
        date = DAY + dt.timedelta(days=days)
        factories.LessonFactory.create(student=student, date=date)
    return student


def inputs_of(student: Student, idea: Idea | None = None) -> WeekInputs:
    week = week_from(student, STARTS)
    wanted = Wanted(MINUTES, idea=idea)
    return week_inputs(student, week, hand_of(student), wanted, past_of(student, STARTS))


def assembled(student: Student, plan: WeekPlan | None = None) -> SheetData:
    idea = Idea(title="Two voices", text="G asks, E answers.")
    hand = hand_of(student)
    week = week_from(student, STARTS)
    occasion = Occasion(
        student=student,
        studio=student.family.studio,
        week=week,
        next_lesson=week.lessons[0] if week.lessons else None,
        listen_for="The *ring*.",
        idea=idea,
        bowings=chosen_bowings(student, hand),
    )
    return sheet_data(occasion, hand, plan or build(inputs_of(student, idea)))


def test_columns_sum_to_the_budgets(full: Student) -> None:
    assert assembled(full).totals == MINUTES


def test_the_head_names_the_week_and_the_next_lesson(full: Student) -> None:
    data = assembled(full)
    assert data.student == "Imani"
    assert data.span == "Thursday 26 November to Wednesday 2 December"
    assert data.short_span == "26 Nov to 2 Dec"
    assert data.next_lesson == ("Wednesday 2 Dec", "16:15")
    assert [(day.name, day.number) for day in data.days][:2] == [("Thu", "26"), ("Fri", "27")]
    assert [day.kind for day in data.days][3:7:3] == [DayKind.OFF, DayKind.LESSON]


def test_no_family_name_travels(full: Student) -> None:
    assert "Okonkwo" not in str(assembled(full).to_json())


def test_rows_stand_in_playing_order(full: Student) -> None:
    first, second = assembled(full).sessions
    assert [row.name for row in first.rows] == ["Stretch", "Warm-up", "Scale + arpeggio"]
    assert [row.name for row in second.rows] == [
        "Warm up again",
        "Etude",
        "Spots",
        "Run-through",
        "Favourite",
        "Explore",
    ]
    details = {row.name: row.detail for row in second.rows}
    assert details["Spots"] == "bars 3 and 7–8"
    assert details["Etude"] == "Wohlfahrt no. 2"
    assert details["Favourite"] == "Ode to Joy"


def test_spots_of_two_pieces_are_told_apart(full: Student) -> None:
    tram = factories.WorkFactory.create(title="Tram No. Nine")
    piece = factories.PieceInHandFactory.create(student=full, place=2, work=tram)
    factories.SpotFactory.create(piece=piece, first_bar=5)
    rows = [row for session in assembled(full).sessions for row in session.rows]
    spots = [row.detail for row in rows if row.name == "Spots"]
    assert spots == ["Minuet, bars 3 and 7–8", "Tram, bar 5"]


def test_many_spots_are_counted_instead_of_listed(full: Student) -> None:
    piece = full.pieces.get()
    for bar in (101, 203, 305, 407):
        factories.SpotFactory.create(piece=piece, first_bar=bar)
    rows = [row for session in assembled(full).sessions for row in session.rows]
    assert [row.detail for row in rows if row.name == "Spots"] == ["6 spots, see page 2"]


def test_details_always_fit_under_their_name(full: Student) -> None:
    work = full.pieces.get().work
    work.title = "Concerto for violin and strings in the Italian manner"
    work.save()
    data = assembled(full)
    assert all(len(row.detail) <= 22 for s in data.sessions for row in s.rows)


def test_the_back_has_scale_borrowed_bowing_and_arpeggio(full: Student) -> None:
    scale = assembled(full).scale
    assert scale is not None
    assert scale.title == "G major"
    assert scale.detail == "two octaves, third week in this key."
    assert [stave.heading for stave in scale.staves] == [
        "",
        "The bowing: long, two, two",
        "Arpeggio, three in a bow",
    ]
    assert scale.staves[1].source == "It is bar 3 of your Minuet in G."
    assert all(stave.picture.alt and stave.picture.spec for stave in scale.staves)


def test_a_bowing_of_a_solved_spot_keeps_its_source(full: Student) -> None:
    full.pieces.get().spots.filter(first_bar=3).update(state="solved", solved=DAY)
    scale = assembled(full).scale
    assert scale is not None
    assert scale.staves[1].source == "It is bar 3 of your Minuet in G."


def test_spots_carry_pegs_cue_and_picture(full: Student) -> None:
    (piece,) = assembled(full).pieces
    first, second = piece.spots
    assert (first.label, first.bars, second.label, second.bars) == ("bar", "3", "bars", "7–8")
    assert (first.cue, first.instruction) == ("C is a low 2,", "down before the bow turns.")
    assert first.pegs[0] == 60
    assert first.pegs[-1] == 80
    assert first.picture is not None
    assert second.picture is None


def test_favourites_in_turn_name_their_days(full: Student) -> None:
    work = factories.WorkFactory.create(title="Sakura")
    factories.FavouriteFactory.create(student=full, work=work)
    card = assembled(full).favourite
    assert card is not None
    assert card.title == "In turn:"
    assert "Ode to Joy (" in card.text
    assert "Sakura (" in card.text


def test_a_free_item_has_a_row_and_its_words(full: Student) -> None:
    inputs = inputs_of(full)
    pins = Pins(free=(FreeItem(1, "tune the strings by ear, slowly", 3),))
    data = assembled(full, build(replace(inputs, pins=pins)))
    assert [card.text for card in data.also] == ["tune the strings by ear, slowly"]
    rows = [row for session in data.sessions for row in session.rows if row.name == "Also"]
    by_day = [sum(row.minutes[day] or 0 for row in rows) for day in range(7)]
    assert by_day == [3, 3, 3, 0, 3, 3, 3]


def test_long_sessions_show_their_rests(full: Student) -> None:
    full.session_2 = ""
    full.save()
    (session,) = assembled(full).sessions
    assert session.rests == (None, None, 5, None, None, None, None)
    assert session.rest_hint == "rest after 25 min"


def test_a_pre_reader_gets_numbers_and_no_staff(full: Student) -> None:
    full.sheet_style = Student.SheetStyle.PRE_READER
    data = assembled(full)
    assert (data.scale, data.etude, data.pieces) == (None, None, ())
    assert [(each.name, each.number) for each in data.exercises] == [
        ("G major", ""),
        ("Wohlfahrt op. 45", "2"),
        ("Minuet in G", "3"),
        ("Minuet in G", "7–8"),
    ]


def test_a_sheet_survives_json(full: Student) -> None:
    data = assembled(full)
    assert SheetData.from_json(data.to_json()) == data


def test_names_of_stages_and_states_agree_with_the_builder() -> None:
    assert {stage.value for stage in Stage} <= set(PieceInHand.Stage.values)
    assert {state.value for state in SpotState} == set(Spot.State.values) - {"solved"}


@pytest.mark.parametrize(
    ("what", "parts"),
    [
        ("elbow leads", ("Elbow leads.", "")),
        ("long, tiny; stop the bow", ("Long, tiny;", "stop the bow.")),
        ("C is a low 2, down early", ("C is a low 2,", "down early.")),
        ("Elbow leads. Let it drop!", ("Elbow leads.", "Let it drop!")),
        ("", (".", "")),
    ],
)
def test_what_to_do_is_parted_after_its_first_stop(what: str, parts: tuple[str, str]) -> None:
    assert cue_and_rest(what) == parts


def test_shortened_text_ends_between_words() -> None:
    assert shortened("Concerto in A minor, first movement") == "Concerto in A minor…"
    assert shortened("Minuet in G") == "Minuet in G"
    assert len(shortened("x" * 80)) == 22


def test_a_method_books_number_stands_large_for_a_pre_reader(full: Student) -> None:
    full.sheet_style = Student.SheetStyle.PRE_READER
    etude = full.etudes.get()
    etude.work = factories.WorkFactory.create(title="Method-book exercise", composer="")
    etude.lines, etude.cue = "page 14", "Fingers fall from high up."
    etude.save()
    exercise = assembled(full).exercises[1]
    assert (exercise.number, exercise.label) == ("14", "page")
    assert exercise.text == "Fingers fall from high up."


def test_a_spot_with_a_simpler_key_has_a_second_exercise(full: Student) -> None:
    spot = Spot.objects.get(first_bar=3)
    spot.easier_key = "C major"
    spot.save()
    easier = assembled(full).pieces[0].spots[0].easier
    assert easier is not None
    assert easier.text.startswith("It is bar 3 of your Minuet in G, moved")
    assert easier.picture.alt.startswith("C major, 3/4.")
    assert easier.picture.spec.startswith("excerpt/")
    assert assembled(full).pieces[0].spots[1].easier is None


def test_a_key_that_no_longer_suits_the_bars_gives_no_second_exercise(full: Student) -> None:
    Spot.objects.filter(first_bar=3).update(easier_key="C major", excerpt="[K:Em][M:3/4]E2 G2 B2")
    assert assembled(full).pieces[0].spots[0].easier is None


def test_the_scale_stands_as_the_teacher_has_it(full: Student) -> None:
    scale = full.scales.get()
    scale.over_top, scale.open_strings, scale.fingers = 1, "avoid", "4.4G-26.4G"
    scale.bowing_2 = "slur2+doubled"
    scale.save()
    found = assembled(full).scale
    assert found is not None
    assert "one note over the top" in found.detail
    plain, borrowed, doubled, arpeggio = found.staves
    assert "over=1" in plain.picture.spec
    assert "f=4.4G-26.4G" in plain.picture.spec
    assert "open=avoid" in plain.picture.spec
    assert borrowed.source == "It is bar 3 of your Minuet in G."
    assert "f=4.4G-26.4G" in borrowed.picture.spec
    assert doubled.heading == "The bowing: two in a bow, twice as fast"
    assert "open=avoid" in arpeggio.picture.spec
    assert "f=" not in arpeggio.picture.spec


def test_the_bow_at_the_top_is_told_where_it_turns_round(full: Student) -> None:
    full.scales.update(bowing_1="detache")
    found = assembled(full).scale
    assert found is not None
    assert "At the top the bow turns round: the way down begins up-bow, in bar 4." in (
        found.staves[1].after
    )
