"""What may change in a student's repertoire, and what is refused.

Every function takes the day from its caller, works in one transaction, and raises `Refused`
with a sentence for the teacher when the trade's rules forbid the change.
"""

from __future__ import annotations

import datetime as dt
from typing import TypeVar

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import models, transaction

from practice.music.errors import UnknownKey
from practice.music.keys import MINOR, parse_key
from practice.repertoire.models import (
    FASTEST,
    SLOWEST,
    EtudeInHand,
    Favourite,
    PieceInHand,
    ScaleInHand,
    Spot,
    Work,
)
from studio.people.models import Student

PLACES = (1, 2)
Row = TypeVar("Row", bound=models.Model)


class Refused(Exception):
    """A change the rules forbid. `sentence` is for the teacher, `field` what it is about."""

    def __init__(self, sentence: str, field: str | None = None) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


@transaction.atomic
def give_piece(student: Student, work: Work, day: dt.date) -> PieceInHand:
    """Puts the work into the free place. Refuses a third piece and the same piece twice."""
    place = _free_place(student, adding=work)
    return _saved(PieceInHand(student=student, work=work, place=place, started=day))


@transaction.atomic
def set_stage(piece: PieceInHand, stage: str, day: dt.date) -> None:
    """Moves a piece in hand between reading, working up and polishing, or finishes it."""
    if stage == PieceInHand.Stage.FINISHED:
        finish_piece(piece, day)
        return
    if stage == PieceInHand.Stage.SET_ASIDE:
        set_aside(piece, day)
        return
    if stage not in PieceInHand.IN_HAND:
        raise Refused(f"“{stage}” is no stage of a piece.", "stage")
    _refuse_unless_in_hand(piece)
    piece.stage = stage
    _saved(piece)


@transaction.atomic
def finish_piece(piece: PieceInHand, day: dt.date, favourite: bool = False) -> None:
    """Frees the place; with `favourite` the work joins the student's favourites."""
    _close_piece(piece, PieceInHand.Stage.FINISHED, day)
    if favourite:
        add_favourite(piece.student, piece.work, day)


@transaction.atomic
def set_aside(piece: PieceInHand, day: dt.date) -> None:
    """Frees the place without calling the piece finished; its spots wait as they are."""
    _close_piece(piece, PieceInHand.Stage.SET_ASIDE, day)


@transaction.atomic
def put_back(piece: PieceInHand) -> None:
    """Takes a finished or set-aside piece into hand again, to polish or work up.

    A favourite made by finishing this piece goes away again, an older one stays.
    """
    if piece.finished is None:
        return
    piece.place = _free_place(piece.student, adding=piece.work)
    if piece.stage == PieceInHand.Stage.FINISHED:
        made = Favourite.objects.filter(
            student=piece.student, work=piece.work, since=piece.finished, retired=None
        )
        made.delete()
        piece.stage = PieceInHand.Stage.POLISHING
    else:
        piece.stage = PieceInHand.Stage.WORKING_UP
    piece.finished = None
    _saved(piece)


@transaction.atomic
def add_favourite(student: Student, work: Work, day: dt.date) -> Favourite:
    """One open favourite per work; asking twice changes nothing."""
    found, _ = Favourite.objects.get_or_create(
        student=student, work=work, retired=None, defaults={"since": day}
    )
    return found


@transaction.atomic
def retire_favourite(favourite: Favourite, day: dt.date) -> None:
    if favourite.retired is None:
        favourite.retired = max(day, favourite.since)
        _saved(favourite)


@transaction.atomic
def add_spot(
    piece: PieceInHand,
    first_bar: int,
    last_bar: int,
    what: str,
    tempo_now: int,
    tempo_goal: int,
    day: dt.date,
    excerpt: str = "",
) -> Spot:
    """A new troubled spot, practised after the piece's other open spots."""
    _refuse_unless_in_hand(piece)
    harder = piece.spots.exclude(state=Spot.State.SOLVED).aggregate(
        models.Max("hardness")
    )
    spot = Spot(
        piece=piece,
        what=what,
        hardness=(harder["hardness__max"] or 0) + 1,
        excerpt=excerpt,
        opened=day,
    )
    return _set_bars_and_tempos(spot, first_bar, last_bar, tempo_now, tempo_goal)


@transaction.atomic
def change_spot(
    spot: Spot,
    first_bar: int,
    last_bar: int,
    what: str,
    tempo_now: int,
    tempo_goal: int,
) -> Spot:
    spot.what = what
    return _set_bars_and_tempos(spot, first_bar, last_bar, tempo_now, tempo_goal)


@transaction.atomic
def step_tempo(spot: Spot, tempo_now: int) -> None:
    """Sets the tempo now, in beats a minute."""
    if spot.state == Spot.State.SOLVED:
        raise Refused(
            f"The spot in {spot.label} is solved; open it again first.", "tempo_now"
        )
    _set_bars_and_tempos(
        spot, spot.first_bar, spot.last_bar, tempo_now, spot.tempo_goal
    )


@transaction.atomic
def set_spot_state(spot: Spot, state: str, day: dt.date) -> None:
    """Solving keeps the day; any other state opens a solved spot again."""
    if state not in Spot.State.values:
        raise Refused(f"“{state}” is no state of a spot.", "state")
    if state == Spot.State.SOLVED:
        spot.solved = spot.solved or max(day, spot.opened)
    else:
        spot.solved = None
    spot.state = state
    _saved(spot)


def solve_spot(spot: Spot, day: dt.date) -> None:
    set_spot_state(spot, Spot.State.SOLVED, day)


@transaction.atomic
def put_spot_first(spot: Spot) -> None:
    """The hardest spot is practised first; the piece's other open spots follow in their order."""
    others = spot.piece.spots.exclude(state=Spot.State.SOLVED).exclude(pk=spot.pk)
    for hardness, other in enumerate([spot, *others], start=1):
        if other.hardness != hardness:
            other.hardness = hardness
            other.save(update_fields=["hardness"])


@transaction.atomic
def move_scale(
    student: Student,
    key: str,
    form: str,
    octaves: int,
    day: dt.date,
    bowings: tuple[str, str] = ("", ""),
) -> ScaleInHand:
    """Closes the open scale and opens this one; the same scale again changes its bowings only.

    A scale that was opened on this very day was never practised, so it is replaced in place.
    """
    key = _checked_scale(key, form, octaves)
    _lock(student)
    now = student.scales.filter(until=None).first()
    if now and (now.key, now.form, now.octaves) != (key, form, octaves):
        if day < now.since:
            raise Refused(
                f"{now.key} is in hand since {now.since:%-d %B %Y}; "
                f"the next scale cannot start before that.",
                "since",
            )
        if day > now.since:
            now.until = day
            _saved(now)
            now = None
        else:
            now.tempo_now = now.tempo_goal = None
    scale = now or ScaleInHand(student=student, since=day)
    scale.key, scale.form, scale.octaves = key, form, octaves
    scale.bowing_1, scale.bowing_2 = bowings
    return _saved(scale)


@transaction.atomic
def set_bowings(scale: ScaleInHand, bowings: tuple[str, str]) -> None:
    scale.bowing_1, scale.bowing_2 = bowings
    _saved(scale)


@transaction.atomic
def set_scale_tempo(
    scale: ScaleInHand, tempo_now: int | None, tempo_goal: int | None
) -> None:
    """Beats a minute; None where the teacher gives no tempo."""
    for value, field, name in (
        (tempo_now, "tempo_now", "Tempo now"),
        (tempo_goal, "tempo_goal", "Tempo wanted"),
    ):
        if value is not None:
            _check_tempo(value, field, name)
    if tempo_now and tempo_goal and tempo_goal < tempo_now:
        raise _tempo_order(tempo_now, tempo_goal)
    scale.tempo_now, scale.tempo_goal = tempo_now, tempo_goal
    _saved(scale)


@transaction.atomic
def move_etude(
    student: Student, work: Work, day: dt.date, lines: str = "", cue: str = ""
) -> EtudeInHand:
    """Closes the open etude and opens this one; the same work again changes lines and cue only.

    As with a scale, an etude that was opened on this very day is replaced in place.
    """
    _lock(student)
    now = student.etudes.filter(until=None).first()
    if now and now.work_id != work.pk:
        if day < now.since:
            raise Refused(
                f"{now.work} is in hand since {now.since:%-d %B %Y}; "
                f"the next etude cannot start before that.",
                "since",
            )
        if day > now.since:
            now.until = day
            _saved(now)
            now = None
    etude = now or EtudeInHand(student=student, since=day)
    etude.work, etude.lines, etude.cue = work, lines, cue
    return _saved(etude)


def _lock(student: Student) -> None:
    """Two windows that change one student's repertoire come one after the other."""
    Student.objects.select_for_update().get(pk=student.pk)


def _free_place(student: Student, adding: Work) -> int:
    _lock(student)
    in_hand = list(student.pieces.in_hand().select_related("work"))
    if any(piece.work_id == adding.pk for piece in in_hand):
        raise Refused(f"{adding} is already in hand.", "work")
    taken = {piece.place for piece in in_hand}
    free = [place for place in PLACES if place not in taken]
    if not free:
        both = " and ".join(str(piece.work) for piece in in_hand)
        raise Refused(
            f"{student.given_name} already has two pieces in hand, {both}. "
            f"Finish one or set it aside before giving {adding}.",
            "work",
        )
    return free[0]


def _refuse_unless_in_hand(piece: PieceInHand) -> None:
    if piece.finished is not None:
        raise Refused(
            f"{piece.work} is no longer in hand; take it back into hand first."
        )


def _close_piece(piece: PieceInHand, stage: str, day: dt.date) -> None:
    _refuse_unless_in_hand(piece)
    if day < piece.started:
        raise Refused(
            f"{piece.work} was started on {piece.started:%-d %B %Y}; "
            f"{day:%-d %B %Y} lies before that.",
            "day",
        )
    piece.stage, piece.finished = stage, day
    _saved(piece)


def _set_bars_and_tempos(
    spot: Spot, first_bar: int, last_bar: int, tempo_now: int, tempo_goal: int
) -> Spot:
    if first_bar < 1:
        raise Refused(f"Bar {first_bar}: bars are counted from 1.", "first_bar")
    if last_bar < first_bar:
        raise Refused(
            f"The last bar, {last_bar}, lies before the first, {first_bar}.", "last_bar"
        )
    _check_tempo(tempo_now, "tempo_now", "Tempo now")
    _check_tempo(tempo_goal, "tempo_goal", "Tempo wanted")
    if tempo_goal < tempo_now:
        raise _tempo_order(tempo_now, tempo_goal)
    spot.first_bar, spot.last_bar = first_bar, last_bar
    spot.tempo_now, spot.tempo_goal = tempo_now, tempo_goal
    return _saved(spot)


def _check_tempo(value: int, field: str, name: str) -> None:
    if not SLOWEST <= value <= FASTEST:
        raise Refused(
            f"{name}: {value} is outside {SLOWEST} to {FASTEST} beats a minute.", field
        )


def _tempo_order(now: int, goal: int) -> Refused:
    return Refused(
        f"The tempo wanted, {goal}, lies below the tempo now, {now}.", "tempo_goal"
    )


def _checked_scale(key: str, form: str, octaves: int) -> str:
    """The key's stored name."""
    try:
        found = parse_key(key)
    except UnknownKey as error:
        raise Refused(str(error), "key") from error
    if form not in ScaleInHand.Form.values:
        raise Refused(f"“{form}” is no form of a scale.", "form")
    if (found.mode == MINOR) != (form != ScaleInHand.Form.MAJOR):
        label = ScaleInHand.Form(form).label
        raise Refused(f"{found.name} cannot be played as {label}.", "form")
    if octaves not in (1, 2, 3):
        raise Refused(f"Octaves: {octaves} is not 1, 2 or 3.", "octaves")
    return found.name


def _saved(row: Row) -> Row:
    """Saves a valid row; what the model itself forbids is refused with its own sentence."""
    try:
        row.full_clean()
    except ValidationError as error:
        field, problems = next(iter(error.message_dict.items()))
        raise Refused(
            problems[0], None if field == NON_FIELD_ERRORS else field
        ) from error
    row.save()
    return row
