"""Where a student stands today: what the next teacher asks first."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.music.keys import key_told
from practice.repertoire.models import EtudeInHand, PieceInHand, ScaleInHand, Spot
from studio.people.models import Student


@dataclass(frozen=True)
class InHand:
    """One thing in hand; `points` are its open spots in words."""

    title: str
    by: str
    since: dt.date
    how: str
    points: tuple[str, ...] = ()


@dataclass(frozen=True)
class Standing:
    scale: InHand | None
    etude: InHand | None
    pieces: tuple[InHand, ...]


def standing_of(student: Student) -> Standing:
    """Four queries."""
    scale = student.scales.filter(until=None).first()
    etude = student.etudes.filter(until=None).select_related("work").first()
    pieces = student.pieces.in_hand().select_related("work").prefetch_related("spots")
    return Standing(
        scale=_scale(scale) if scale else None,
        etude=_etude(etude) if etude else None,
        pieces=tuple(_piece(each) for each in pieces.order_by("place", "pk")),
    )


def _scale(row: ScaleInHand) -> InHand:
    said = [ngettext("{n} octave", "{n} octaves", row.octaves).format(n=row.octaves)]
    if row.form != ScaleInHand.Form.MAJOR:
        said.insert(0, str(ScaleInHand.Form(row.form).label))
    if row.tempo_now and row.tempo_goal:
        said.append(_tempos(row.tempo_now, row.tempo_goal))
    return InHand(key_told(row.key), "", row.since, ", ".join(said))


def _etude(row: EtudeInHand) -> InHand:
    return InHand(row.work.short_title, row.work.told_composer, row.since, row.lines)


def _piece(row: PieceInHand) -> InHand:
    points = [
        _point(spot)
        for spot in sorted(row.spots.all(), key=lambda spot: (spot.hardness, spot.pk))
        if spot.solved is None
    ]
    stage = str(PieceInHand.Stage(row.stage).label)
    return InHand(row.work.short_title, row.work.told_composer, row.started, stage, tuple(points))


def _point(spot: Spot) -> str:
    what = spot.what.rstrip(".")
    return f"{spot.label}: {what}. {_tempos(spot.tempo_now, spot.tempo_goal)}."


def _tempos(now: int, goal: int) -> str:
    return _("{now} beats a minute, goal {goal}").format(now=now, goal=goal)
