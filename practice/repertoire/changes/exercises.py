"""The scale and the etude in hand, one of each at a time."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from django.db import transaction
from django.utils.translation import gettext as _

from practice.music.errors import MusicError, UnknownKey
from practice.music.how import PLAIN, How, Named, carried_over, fingered, is_same
from practice.music.keys import MINOR, key_told, parse_key
from practice.repertoire.changes.refused import (
    Refused,
    check_tempo,
    lock,
    saved,
    tempo_order,
)
from practice.repertoire.models import EtudeInHand, ScaleInHand, Work
from studio.people.models import Student
from studio.web.days import long_day


@transaction.atomic
def move_scale(
    student: Student,
    key: str,
    form: str,
    octaves: int,
    day: dt.date,
    bowings: tuple[str, str] = ("", ""),
    how: How = PLAIN,
) -> ScaleInHand:
    """Closes the open scale and opens this one; the same scale again changes its bowings and the
    notes over its top. Of `how` string and top are taken, the rest is as before: see
    `carried_over`.

    A scale that was opened on this very day was never practised, so it is replaced in place.
    """
    key = _checked_scale(key, form, octaves)
    lock(student)
    now = student.scales.filter(until=None).first()
    wanted = (key, form, octaves)
    how = _played(now, wanted, how)
    if now and not is_same((now.named, now.how), wanted, how):
        if day < now.since:
            sentence = _("{key} is in hand since {day}; the next scale cannot start before that.")
            about = {"key": key_told(now.key), "day": long_day(now.since)}
            raise Refused(sentence.format(**about), "since")
        if day > now.since:
            now.until = day
            saved(now)
            now = None
        else:
            now.tempo_now = now.tempo_goal = None
    scale = now or ScaleInHand(student=student, since=day)
    scale.key, scale.form, scale.octaves = key, form, octaves
    scale.bowing_1, scale.bowing_2 = bowings
    scale.play(how)
    return saved(scale)


def _played(now: ScaleInHand | None, wanted: Named, how: How) -> How:
    try:
        return carried_over((now.named, now.how) if now else None, wanted, how)
    except MusicError as error:
        about = "string" if how.string else "over" if how.over else "octaves"
        raise Refused(str(error), about) from error


@transaction.atomic
def set_fingering(scale: ScaleInHand, how: How) -> None:
    """The teacher's fingers, and what the hand may do; the scale itself stays."""
    how = replace(how, string=scale.string, over=scale.over_top)
    try:
        fingered(parse_key(scale.key), scale.form, scale.octaves, how)
    except MusicError as error:
        raise Refused(str(error), "fingers") from error
    scale.play(how)
    saved(scale)


@transaction.atomic
def set_bowings(scale: ScaleInHand, bowings: tuple[str, str]) -> None:
    scale.bowing_1, scale.bowing_2 = bowings
    saved(scale)


@transaction.atomic
def set_scale_tempo(scale: ScaleInHand, tempo_now: int | None, tempo_goal: int | None) -> None:
    """Beats a minute; None where the teacher gives no tempo."""
    for value, field, name in (
        (tempo_now, "tempo_now", _("Tempo now")),
        (tempo_goal, "tempo_goal", _("Tempo wanted")),
    ):
        if value is not None:
            check_tempo(value, field, name)
    if tempo_now and tempo_goal and tempo_goal < tempo_now:
        raise tempo_order(tempo_now, tempo_goal)
    scale.tempo_now, scale.tempo_goal = tempo_now, tempo_goal
    saved(scale)


@transaction.atomic
def move_etude(
    student: Student, work: Work, day: dt.date, lines: str = "", cue: str = ""
) -> EtudeInHand:
    """Closes the open etude and opens this one; the same work again changes lines and cue only.

    As with a scale, an etude that was opened on this very day is replaced in place.
    """
    lock(student)
    now = student.etudes.filter(until=None).first()
    if now and now.work_id != work.pk:
        if day < now.since:
            sentence = _("{work} is in hand since {day}; the next etude cannot start before that.")
            about = {"work": now.work, "day": long_day(now.since)}
            raise Refused(sentence.format(**about), "since")
        if day > now.since:
            now.until = day
            saved(now)
            now = None
    etude = now or EtudeInHand(student=student, since=day)
    etude.work, etude.lines, etude.cue = work, lines, cue
    return saved(etude)


def _checked_scale(key: str, form: str, octaves: int) -> str:
    """The key's stored name."""
    try:
        found = parse_key(key)
    except UnknownKey as error:
        raise Refused(str(error), "key") from error
    if form not in ScaleInHand.Form.values:
        raise Refused(_("“{form}” is no form of a scale.").format(form=form), "form")
    if (found.mode == MINOR) != (form != ScaleInHand.Form.MAJOR):
        label = ScaleInHand.Form(form).label
        sentence = _("{key} cannot be played as {form}.")
        raise Refused(sentence.format(key=key_told(found.name), form=label), "form")
    if octaves not in (1, 2, 3):
        sentence = _("Octaves: {number} is not 1, 2 or 3.")
        raise Refused(sentence.format(number=octaves), "octaves")
    return found.name
