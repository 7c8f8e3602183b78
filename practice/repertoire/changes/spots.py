"""Spots: the hard bars of a piece in hand."""

from __future__ import annotations

import datetime as dt

from django.db import models, transaction
from django.utils.translation import gettext as _

from practice.music.errors import MusicError
from practice.music.keys import key_told, parse_key
from practice.repertoire.changes.pieces import refuse_unless_in_hand
from practice.repertoire.changes.refused import Refused, check_tempo, saved, tempo_order
from practice.repertoire.excerpts import bars_in
from practice.repertoire.models import PieceInHand, Spot


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
    easier_key: str = "",
) -> Spot:
    """A new troubled spot, practised after the piece's other open spots."""
    refuse_unless_in_hand(piece)
    harder = piece.spots.exclude(state=Spot.State.SOLVED).aggregate(models.Max("hardness"))
    spot = Spot(
        piece=piece,
        what=what,
        hardness=(harder["hardness__max"] or 0) + 1,
        excerpt=excerpt,
        easier_key=_checked_easier(excerpt, easier_key),
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
    excerpt: str | None = None,
    easier_key: str | None = None,
) -> Spot:
    """Without an excerpt or a key for the second exercise the old one stays."""
    spot.what = what
    if excerpt is not None:
        spot.excerpt = excerpt
    if easier_key is not None:
        spot.easier_key = _checked_easier(spot.excerpt, easier_key)
    return _set_bars_and_tempos(spot, first_bar, last_bar, tempo_now, tempo_goal)


@transaction.atomic
def step_tempo(spot: Spot, tempo_now: int) -> None:
    """Sets the tempo now, in beats a minute."""
    if spot.state == Spot.State.SOLVED:
        sentence = _("The spot in {bars} is solved; open it again first.")
        raise Refused(sentence.format(bars=spot.label), "tempo_now")
    _set_bars_and_tempos(spot, spot.first_bar, spot.last_bar, tempo_now, spot.tempo_goal)


@transaction.atomic
def set_spot_state(spot: Spot, state: str, day: dt.date) -> None:
    """Solving keeps the day; any other state opens a solved spot again."""
    if state not in Spot.State.values:
        raise Refused(_("“{state}” is no state of a spot.").format(state=state), "state")
    if state == Spot.State.SOLVED:
        spot.solved = spot.solved or max(day, spot.opened)
    else:
        spot.solved = None
    spot.state = state
    saved(spot)


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


def _checked_easier(excerpt: str, key: str) -> str:
    """The key's stored name."""
    if not key:
        return ""
    if not excerpt:
        sentence = _("Type the bars first; then they can be moved to {key}.")
        raise Refused(sentence.format(key=key_told(key)), "easier_key")
    try:
        bars_in(excerpt, key)
        return parse_key(key).name
    except MusicError as error:
        raise Refused(str(error), "easier_key") from error


def _set_bars_and_tempos(
    spot: Spot, first_bar: int, last_bar: int, tempo_now: int, tempo_goal: int
) -> Spot:
    if first_bar < 1:
        sentence = _("Bar {number}: bars are counted from 1.")
        raise Refused(sentence.format(number=first_bar), "first_bar")
    if last_bar < first_bar:
        sentence = _("The last bar, {last}, lies before the first, {first}.")
        raise Refused(sentence.format(last=last_bar, first=first_bar), "last_bar")
    check_tempo(tempo_now, "tempo_now", _("Tempo now"))
    check_tempo(tempo_goal, "tempo_goal", _("Tempo wanted"))
    if tempo_goal < tempo_now:
        raise tempo_order(tempo_now, tempo_goal)
    spot.first_bar, spot.last_bar = first_bar, last_bar
    spot.tempo_now, spot.tempo_goal = tempo_now, tempo_goal
    return saved(spot)
