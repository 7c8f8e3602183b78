"""From one week to what its sheet says. Nothing is looked up here: all of it is handed in."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.music.describe import octaves_text
from practice.music.keys import key_told
from practice.music.scales import form_told
from practice.planning.pegs import pegs
from practice.planning.types import DayPlan, Part, WeekPlan
from practice.plans.hand import Hand, HandEtude, HandPiece, HandSpot
from practice.plans.weeks import Week
from practice.repertoire.models import Idea, ScaleInHand
from practice.sheets import data as sheet
from practice.sheets.bowed import Bowed
from practice.sheets.grid import grid_rows
from practice.sheets.pictures import easier_of, scale_staves, spot_picture
from studio.access.models import Studio
from studio.lessons.models import Lesson
from studio.people.models import Student
from studio.web.days import in_words, named_day
from studio.web.wall_clock import wall_time


def week_in_key(number: int) -> str:
    """ "third week in this key", to the ninth; nothing after it."""
    weeks = (
        _("first week in this key"),
        _("second week in this key"),
        _("third week in this key"),
        _("fourth week in this key"),
        _("fifth week in this key"),
        _("sixth week in this key"),
        _("seventh week in this key"),
        _("eighth week in this key"),
        _("ninth week in this key"),
    )
    return weeks[number - 1] if number <= len(weeks) else ""


@dataclass(frozen=True)
class Occasion:
    """Who the sheet is for, and when they meet next."""

    student: Student
    studio: Studio
    week: Week
    next_lesson: Lesson | None = None
    listen_for: str = ""
    idea: Idea | None = None
    bowings: tuple[Bowed, ...] = ()


def sheet_data(occasion: Occasion, hand: Hand, plan: WeekPlan) -> sheet.SheetData:
    """Everything on the sheet of this week. Given names only: the sheet travels."""
    student, studio, week = occasion.student, occasion.studio, occasion.week
    style = sheet.Style(student.sheet_style)
    reads = style is sheet.Style.READER
    return sheet.SheetData(
        student=student.given_name,
        teacher=studio.teacher,
        span=_days(named_day(week.starts), named_day(week.ends)),
        short_span=_days(in_words(week.starts, "j M"), in_words(week.ends, "j M")),
        days=tuple(_day(day) for day in plan.days),
        sessions=sessions(plan, hand, occasion.idea, _timed(student)),
        paper=sheet.Paper(studio.paper),
        style=style,
        next_lesson=next_lesson_words(occasion.next_lesson, studio),
        listen_for=occasion.listen_for,
        favourite=_favourite(plan),
        explore=_explore(plan, occasion.idea),
        scale=_scale(hand, occasion) if reads else None,
        etude=_etude(hand) if reads else None,
        pieces=tuple(_piece(piece, plan) for piece in hand.pieces) if reads else (),
        exercises=() if reads else _exercises(hand),
        also=_also(plan),
        language=studio.locale,
    )


def sessions(
    plan: WeekPlan, hand: Hand, idea: Idea | None, timed: Studio | None = None
) -> tuple[sheet.Session, ...]:
    """The rows of the grid, session by session, in playing order; `timed` shows their starts."""
    numbers = {session.number: session.name for day in plan.days for session in day.sessions}
    found = []
    for number, name in sorted(numbers.items()):
        rows = tuple(each.row for each in grid_rows(plan, number, hand, idea))
        rests, hint = _rests(plan, number)
        found.append(sheet.Session(name, rows, rests, hint, _starts(plan, number, timed)))
    return tuple(found)


def _timed(student: Student) -> Studio | None:
    """Only children who share a violin are told when to begin."""
    return student.family.studio if student.family.shares_violin else None


def _starts(plan: WeekPlan, number: int, studio: Studio | None) -> tuple[str, ...]:
    if studio is None:
        return ()
    at = [
        next((s.start for s in day.sessions if s.number == number and s.start), None)
        for day in plan.days
    ]
    return tuple(wall_time(start, studio) if start else "" for start in at)


def next_lesson_words(lesson: Lesson | None, studio: Studio) -> tuple[str, ...]:
    """ "Wednesday 2 Dec" and "4:15 pm"; nothing where no lesson is planned."""
    if lesson is None:
        return ()
    return in_words(lesson.date, "l j M"), wall_time(lesson.starts, studio)


def _days(first: str, last: str) -> str:
    return pgettext("days", "{first} to {last}").format(first=first, last=last)


def _day(day: DayPlan) -> sheet.Day:
    kind = sheet.DayKind.PRACTICE
    if day.lesson:
        kind = sheet.DayKind.LESSON
    elif not day.minutes:
        kind = sheet.DayKind.OFF
    return sheet.Day(date_format(day.date, "D"), date_format(day.date, "j"), kind)


def _rests(plan: WeekPlan, number: int) -> tuple[tuple[int | None, ...], str]:
    """Minutes of rest each day of this session, and when the first one comes."""
    found: list[int | None] = []
    at = 0
    for day in plan.days:
        rests = [rest for s in day.sessions if s.number == number for rest in s.rests]
        found.append(sum(rest.minutes for rest in rests) or None)
        at = at or (rests[0].at if rests else 0)
    if not any(found):
        return (), ""
    return tuple(found), _("rest after {minutes} min").format(minutes=at)


def _favourite(plan: WeekPlan) -> sheet.Card | None:
    """One favourite with a kind word; several with their days."""
    days: dict[str, list[str]] = defaultdict(list)
    for day in plan.days:
        for item in day.items:
            if item.part is Part.FAVOURITE:
                days[item.title].append(date_format(day.date, "D"))
    if not days:
        return None
    if len(days) == 1:
        said = _("You finished this one. Play it for somebody, or for nobody.")
        return sheet.Card(ended(next(iter(days))), said)
    turns = [f"{title} ({', '.join(names)})" for title, names in days.items()]
    return sheet.Card(_("In turn:"), f"{'; '.join(turns)}.")


def _explore(plan: WeekPlan, idea: Idea | None) -> sheet.Card | None:
    planned = any(item.part is Part.EXPLORE for day in plan.days for item in day.items)
    return sheet.Card(ended(idea.told_title), idea.told_text) if idea and planned else None


def _scale(hand: Hand, occasion: Occasion) -> sheet.Scale | None:
    scale = hand.scale
    if scale is None:
        return None
    weeks = max(0, (occasion.week.starts - scale.since).days) // 7
    form = ScaleInHand.Form(scale.form)
    said = [octaves_text(scale.octaves)]
    if form != ScaleInHand.Form.MAJOR:
        said.insert(0, form_told(form))
    said += scale.how.words
    said += filter(None, [week_in_key(weeks + 1)])
    staves = scale_staves(scale, occasion.bowings)
    return sheet.Scale(key_told(scale.key), f"{', '.join(said)}.", staves)


def _etude(hand: Hand) -> sheet.Card | None:
    etude = hand.etude
    if etude is None:
        return None
    said = [f"{etude.lines}." if etude.lines else "", etude.cue]
    return sheet.Card(f"{etude.title}{',' if etude.lines else '.'}", " ".join(filter(None, said)))


def _piece(piece: HandPiece, plan: WeekPlan) -> sheet.Piece:
    planned = {item.key for day in plan.days for item in day.items}
    hint = "" if piece.spots or f"run:{piece.id}" not in planned else _("from the beginning")
    spots = [spot for spot in piece.spots if f"spot:{spot.id}" in planned]
    shown = tuple(_spot(spot, piece.title) for spot in spots)
    return sheet.Piece(piece.title, piece.composer, hint, shown)


def _spot(spot: HandSpot, piece: str) -> sheet.Spot:
    cue, instruction = cue_and_rest(spot.what)
    return sheet.Spot(
        bars=spot.bars,
        label=spot.word,
        cue=cue,
        instruction=instruction,
        pegs=pegs(spot.tempo_now, spot.tempo_goal),
        picture=spot_picture(spot),
        easier=easier_of(spot, piece),
    )


def cue_and_rest(what: str) -> tuple[str, str]:
    """What to do, parted after its first stop: the first words are printed bold.

    A comma parts only where there is no stronger stop.
    """
    what = what[:1].upper() + what[1:]
    found = re.match(r"(.{3,}?[.;:])\s+(.+)", what) or re.match(r"(.{3,}?,)\s+(.+)", what)
    if found is None:
        return ended(what), ""
    return found[1], ended(found[2])


def ended(words: str) -> str:
    """With a stop at the end, where there is none."""
    return words if words.endswith((".", "!", "?", "…")) else f"{words}."


def _exercises(hand: Hand) -> tuple[sheet.Exercise, ...]:
    """The back of a pre-reader's sheet: no staff, numbers in large."""
    found = []
    if hand.scale:
        how = ", ".join([octaves_text(hand.scale.octaves), *hand.scale.how.words])
        found.append(sheet.Exercise("scale", key_told(hand.scale.key), text=how))
    if hand.etude:
        found.append(_etude_by_number(hand.etude))
    for piece in hand.pieces:
        for spot in piece.spots:
            said = (piece.title, spot.bars, spot.what)
            found.append(sheet.Exercise("spots", *said, label=spot.word))
        if not piece.spots:
            found.append(sheet.Exercise("piece", piece.title, text=_("from the beginning")))
    return tuple(found)


def _etude_by_number(etude: HandEtude) -> sheet.Exercise:
    """A method book's number or page may stand where an etude has its lines: "page 14"."""
    name = etude.collection
    # Translators: how somebody writes "number 14" or "page 14" of a book, separated by |
    typed = _("number|page")
    words = "|".join(re.escape(word) for word in f"{typed}|number|page".split("|"))
    in_book = re.fullmatch(rf"({words}) ?(\d+)", etude.lines)
    if in_book and not etude.number:
        label = {"number": _("number"), "page": _("page")}.get(in_book[1], in_book[1])
        return sheet.Exercise("etude", name, in_book[2], etude.cue, label=label)
    said = ", ".join(filter(None, [etude.lines, etude.cue]))
    label = _("number") if etude.number else ""
    return sheet.Exercise("etude", name, etude.number, said, label=label)


def _also(plan: WeekPlan) -> tuple[sheet.Card, ...]:
    texts = {
        item.key: item.title for day in plan.days for item in day.items if item.part is Part.FREE
    }
    return tuple(sheet.Card(_("Also:"), text) for text in texts.values())
