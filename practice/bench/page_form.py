"""All forms of the Bench as one: filled, checked, and read as a decision."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.http import QueryDict
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.bench.decision import (
    Decision,
    EtudeChoice,
    NewSpot,
    PieceChoice,
    ScaleChoice,
    SpotChoice,
    foresee,
)
from practice.bench.fields import KEEP
from practice.bench.forms import EtudeForm, ScaleForm, WeekForm
from practice.bench.piece_forms import NewPieceForm, NewSpotForm, PieceForm, SpotForm, staying
from practice.bench.state import Bench
from practice.bench.wishes import Wishes, WishForm
from practice.music import metronome
from practice.planning.shares import shares
from practice.plans.generate import Wanted
from practice.plans.hand import Hand, HandPiece
from practice.repertoire.models import PieceInHand, Work
from studio.people.models import MOST_MINUTES_A_DAY
from studio.web.numbers import number_of

NEW_SPOTS = 2  # blank rows a piece


@dataclass(frozen=True)
class Problem:
    """A sentence, what it is about, and the control to go to."""

    about: str
    sentence: str
    control: str


@dataclass
class PieceRow:
    piece: HandPiece
    form: PieceForm
    spots: list[SpotForm]
    new: list[NewSpotForm]

    @property
    def forms(self) -> list[forms.Form]:
        return [self.form, *self.spots, *self.new]

    @property
    def stage_label(self) -> str:
        return str(PieceInHand.Stage(self.piece.stage).label)

    @property
    def has_easier(self) -> bool:
        return any(form.has_easier for form in self.spots)

    @property
    def is_open(self) -> bool:
        """Whether something stands in what is folded away."""
        filled = any(form["bars"].value() or form["what"].value() for form in self.new)
        return filled or self.form["stage"].value() == PieceInHand.Stage.SET_ASIDE


class PageForm:
    """The whole page. Without data it shows the state of last week: everything is kept."""

    def __init__(
        self,
        bench: Bench,
        data: Mapping[str, Any] | None = None,
        files: MultiValueDict[str, UploadedFile] | None = None,
    ) -> None:
        self.bench, self.hand = bench, bench.hand
        data = stepped(data) if data is not None else None
        self.data: Mapping[str, Any] = data if data is not None else {}
        self.week = WeekForm(
            data,
            files,
            days=bench.week.days,
            favourites=bench.favourites,
            ideas=bench.ideas,
            in_turn=_in_turn(bench),
            initial=_week_initial(bench),
        )
        self.scale = ScaleForm(
            data,
            now=self.hand.scale,
            bowings=[(card.id, card.name) for card in bench.cards.all],
            initial=_scale_initial(self.hand),
        )
        self.etude = EtudeForm(
            data,
            now=self.hand.etude,
            works=bench.works.etudes(),
            initial=_etude_initial(self.hand),
        )
        self.pieces = [_piece_row(piece, data) for piece in self.hand.pieces]
        self.new_piece = NewPieceForm(data, works=bench.works.pieces())
        self.wishes = Wishes(bench.pins, bench.week.days, self.hand, data)

    @property
    def forms(self) -> list[forms.Form]:
        rows = [form for row in self.pieces for form in row.forms]
        return [self.week, self.scale, self.etude, *rows, self.new_piece, *self.wishes.forms]

    def is_valid(self) -> bool:
        said = [form.is_valid() for form in self.forms]
        if all(row.form.is_valid() for row in self.pieces) and self.new_piece.is_valid():
            self.new_piece.refuse_third(staying(self.hand, [row.form for row in self.pieces]))
        return all(said) and self.new_piece.is_valid()

    @property
    def problems(self) -> list[Problem]:
        found = []
        for form in self.forms:
            for name, sentences in form.errors.items():
                field = form.fields.get(name)
                about = str(field.label or name.capitalize()) if field else ""
                about = form.title if isinstance(form, WishForm) else about
                control = form[name].id_for_label or form[name].auto_id if field else "main"
                found += [Problem(about, str(each), control) for each in sentences]
        return found

    @property
    def minutes(self) -> tuple[int, ...]:
        """The budgets as they now stand: as typed, or scaled by the slider if that was moved."""
        week, shown = self.week.cleaned_data.get("week"), self.week.cleaned_data.get("shown")
        if week is None or shown is None or week == shown:
            return self.week.minutes
        return scaled(self.week.base, week)

    @property
    def slider_moved(self) -> bool:
        return self.minutes != self.week.minutes

    def decision(self) -> Decision:
        """Only of a valid page."""
        return Decision(
            scale=self._scale(),
            etude=self._etude(),
            pieces={
                row.piece.id: PieceChoice(row.form.chosen(), row.form.cleaned_data["favourite"])
                for row in self.pieces
            },
            spots={form.spot.id: _spot(form) for row in self.pieces for form in row.spots},
            new_spots=tuple(
                _new_spot(form) for row in self.pieces for form in row.new if not form.is_blank
            ),
            new_piece=self.new_piece.cleaned_data["work"],
        )

    def foreseen(self) -> Hand:
        return foresee(self.hand, self.decision(), self.bench.today)

    def wanted(self) -> Wanted:
        said = self.week.cleaned_data
        favourite = said["favourite"]
        return Wanted(
            minutes=self.minutes,
            favourite_id=favourite.pk if favourite else None,
            idea=said["idea"],
            pins=self.wishes.pins,
        )

    def _scale(self) -> ScaleChoice | None:
        chosen = self.scale.chosen()
        if chosen is None:
            return None
        return ScaleChoice(
            *chosen, bowings=tuple(self.scale.cleaned_data["bowings"]), how=self.scale.how
        )

    def _etude(self) -> EtudeChoice | None:
        work: Work | None = self.etude.cleaned_data["chosen"]
        lines, cue = self.etude.said()
        now = self.hand.etude
        if work is None and now is not None:
            if (lines, cue) == (now.lines, now.cue):
                return None
            work = self.bench.works.get(pk=now.work_id)
        return EtudeChoice(work, lines, cue) if work else None


def stepped(data: Mapping[str, Any]) -> Mapping[str, Any]:
    """One tempo a mark slower or faster, where the browser has no script to do it."""
    form, _, way = str(data.get("step", "")).partition(":")
    now, wanted = (number_of(str(data.get(f"{form}-{name}", ""))) for name in ("now", "wanted"))
    if not isinstance(data, QueryDict) or now is None or way not in ("up", "down"):
        return data
    faster = metronome.step_up(now)
    tempo = max(now, min(faster, wanted or faster)) if way == "up" else metronome.step_down(now)
    changed = data.copy()
    changed[f"{form}-now"] = str(tempo)
    return changed


def scaled(minutes: tuple[int, ...], total: int) -> tuple[int, ...]:
    """The same week with another sum: days off stay off, every other day keeps its share.

    Each day keeps at least one minute and gets no more than a day may have.
    """
    days = [number for number, each in enumerate(minutes) if each]
    if not days:
        return minutes
    total = min(max(total, len(days)), len(days) * MOST_MINUTES_A_DAY)
    given = shares(
        total,
        [minutes[number] for number in days],
        [1] * len(days),
        [MOST_MINUTES_A_DAY] * len(days),
    )
    result = [0] * len(minutes)
    for number, share in zip(days, given, strict=True):
        result[number] = share
    return tuple(result)


def _piece_row(piece: HandPiece, data: Mapping[str, Any] | None) -> PieceRow:
    spots = [
        SpotForm(
            data,
            spot=spot,
            initial={
                "what": spot.what,
                "now": spot.tempo_now,
                "wanted": spot.tempo_goal,
                "state": spot.state,
                "easier": spot.easier_key,
            },
        )
        for spot in piece.spots
    ]
    new = [NewSpotForm(data, piece=piece, number=n + 1) for n in range(NEW_SPOTS)]
    return PieceRow(piece, PieceForm(data, piece=piece, initial={"stage": KEEP}), spots, new)


def _spot(form: SpotForm) -> SpotChoice:
    said = form.cleaned_data
    easier = form.chosen_easier()
    return SpotChoice(said["what"], said["now"], said["wanted"], form.chosen_state(), easier)


def _new_spot(form: NewSpotForm) -> NewSpot:
    said = form.cleaned_data
    return NewSpot(
        form.piece.id, said["first"], said["last"], said["what"], said["now"], said["wanted"]
    )


def _week_initial(bench: Bench) -> dict[str, Any]:
    default = bench.default
    minutes = bench.minutes
    return {
        "listen_for": default.listen_for if default else "",
        "to_check": bench.assignment.to_check if bench.assignment else "",
        "favourite": default.favourite_id if default else None,
        "idea": default.idea_id if default else None,
        "week": sum(minutes),
        "shown": sum(minutes),
        "by_hand": ",".join(map(str, minutes)),
    } | {f"minutes_{number}": each or "" for number, each in enumerate(minutes)}


def _in_turn(bench: Bench) -> str:
    """What the choice means that leaves the favourite to the builder: longest unplayed first."""
    favourites = bench.hand.favourites
    if not favourites:
        return pgettext("favourite", "none yet")
    played, never = bench.past.played, dt.date.min
    first = min(favourites, key=lambda each: played.get(f"favourite:{each.id}", never))
    said = _("in turn, {title} first") if len(favourites) > 1 else _("in turn: {title}")
    return said.format(title=first.title)


def _scale_initial(hand: Hand) -> dict[str, Any]:
    scale = hand.scale
    if scale is None:
        return {"move": KEEP, "octaves": 1, "over": 0, "bowings": []}
    played = {"octaves": scale.octaves, "string": scale.how.string, "over": scale.how.over}
    return {"move": KEEP, **played, "bowings": list(scale.bowings)}


def _etude_initial(hand: Hand) -> dict[str, Any]:
    etude = hand.etude
    if etude is None:
        return {"move": KEEP}
    return {"move": KEEP, "lines": etude.lines, "cue": etude.cue}
