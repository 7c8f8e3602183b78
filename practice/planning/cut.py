"""A day cut into sessions, and its minutes settled."""

from __future__ import annotations

from collections.abc import Sequence

from practice.planning import explain, load, parts
from practice.planning.frames import Draft, Frame
from practice.planning.shares import shares
from practice.planning.types import Item, Part, Routine, Session
from studio.language import gettext as _


def cut(frame: Frame, routine: Routine, two_pieces: bool) -> tuple[Session, ...]:
    """The day's items, each in its part's session, with minutes that sum to the day's budget."""
    frame.fit_fixed()
    held = _held(frame, two_pieces)
    minutes = _settle(frame, [draft for _, drafts in held for draft in drafts])
    sessions = []
    for number, drafts in held:
        usual = routine.sessions[number - 1]
        items = tuple(_item(draft, minutes[draft.key]) for draft in drafts)
        rests = load.rests(sum(item.minutes for item in items), routine)
        sessions.append(Session(number, usual.name, usual.start, items, rests))
    return tuple(sessions)


def _held(frame: Frame, two_pieces: bool) -> list[tuple[int, list[Draft]]]:
    """Number and drafts of each session that has any; later ones open with a re-warm-up."""
    held: list[tuple[int, list[Draft]]] = []
    count = len(frame.sessions)
    for index, number in enumerate(frame.sessions):
        drafts = sorted(
            (d for d in frame.drafts if parts.home(d.part, d.piece, count, two_pieces) == index),
            key=_playing_order,
        )
        if drafts:
            held.append((number, drafts))
    if Part.RE_WARM_UP not in frame.forbidden:
        later = [(_re_warm_up(number), drafts) for number, drafts in held[1:]]
        for draft, drafts in later:
            drafts.insert(0, draft)
        _lengthen(frame, [draft for draft, _ in later], [d for _, ds in held for d in ds])
    return held


def _lengthen(frame: Frame, re_warm_ups: Sequence[Draft], drafts: Sequence[Draft]) -> None:
    """Brings the re-warm-ups to their fixed length as far as nothing else is pushed out."""
    fixed = frame.fixed.get(Part.RE_WARM_UP)
    if fixed is None:
        return
    spare = frame.minutes - sum(draft.least for draft in drafts)
    for draft in re_warm_ups:
        draft.least = draft.most = min(fixed, draft.least + spare)
        spare -= draft.least - parts.LEAST[Part.RE_WARM_UP]
        if draft.least < fixed:
            said = explain.fixed_does_not_fit(draft.part, fixed, draft.least, frame.date)
            frame.said.append(said)


def _settle(frame: Frame, drafts: Sequence[Draft]) -> dict[str, int]:
    """Whole minutes for every item of the day, summing to its budget."""
    if not drafts:
        return {}
    least = [draft.least for draft in drafts]
    most = [min(draft.most, frame.minutes) for draft in drafts]
    if sum(most) < frame.minutes:
        others = [i for i, draft in enumerate(drafts) if draft.part != Part.RE_WARM_UP]
        heaviest = max(others, key=lambda i: drafts[i].weight)
        least = list(most)
        most[heaviest] = frame.minutes
        frame.said.append(explain.rest_goes_to(drafts[heaviest].title, frame.date))
    weights = [draft.weight for draft in drafts]
    given = shares(frame.minutes, weights, least, most)
    return {draft.key: minutes for draft, minutes in zip(drafts, given, strict=True)}


def _item(draft: Draft, minutes: int) -> Item:
    return Item(draft.key, draft.part, minutes, draft.title, draft.reason, draft.piece, draft.pegs)


def _re_warm_up(session: int) -> Draft:
    part = Part.RE_WARM_UP
    return Draft(
        key=f"re_warm_up:{session}",
        part=part,
        title=_("Warm up again"),
        reason=explain.re_warm_up(),
        weight=parts.WEIGHTS[part],
        least=parts.LEAST[part],
        most=parts.MOST[part],
    )


def _playing_order(draft: Draft) -> tuple[int, int, int, int]:
    """Opening, etude, then piece by piece spots and run-through, then the end of the day."""
    order = parts.PLAYING_ORDER[draft.part]
    if draft.piece:
        return (parts.PLAYING_ORDER[Part.SPOT], draft.piece, order, draft.rank)
    return (order, 0, 0, draft.rank)
