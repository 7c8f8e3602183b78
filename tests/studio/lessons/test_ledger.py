import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from studio.lessons.ledger import Entry, Fate, settle

TODAY = dt.date(2026, 11, 25)
LATER = TODAY + dt.timedelta(days=7)
EARLIER = TODAY - dt.timedelta(days=7)


def fates(*entries: Entry) -> list[Fate]:
    return [line.fate for line in settle(entries, TODAY).lines]


def test_a_plain_term() -> None:
    ledger = settle(
        [
            Entry(1, EARLIER, "kept"),
            Entry(2, EARLIER, "planned"),
            Entry(3, TODAY, "planned"),
            Entry(4, EARLIER, "missed"),
        ],
        TODAY,
    )
    counts = (ledger.given, ledger.unmarked, ledger.to_come, ledger.forfeited)
    assert (ledger.owed, counts) == (4, (1, 1, 1, 1))
    assert ledger.sums


def test_a_lost_lesson_is_owed_until_the_day_its_right_ends() -> None:
    lost = Entry(1, EARLIER, "cancelled-family", owed=True, owed_until=TODAY)
    assert fates(lost) == [Fate.OWED]
    assert settle([lost], TODAY + dt.timedelta(days=1)).forfeited == 1


def test_a_make_up_is_owed_while_placed_and_made_up_when_kept() -> None:
    lost = Entry(1, EARLIER, "cancelled-teacher", owed=True)
    placed = settle([lost, Entry(2, LATER, "planned", makes_up=1)], TODAY)
    assert (placed.make_ups, placed.placed, placed.owed) == (1, 1, 1)
    assert fates(lost, Entry(2, TODAY, "kept", makes_up=1)) == [Fate.MADE_UP]


def test_a_make_up_that_falls_out_is_followed_further() -> None:
    lost = Entry(1, EARLIER, "cancelled-family", owed=True, owed_until=LATER)
    again = Entry(2, TODAY, "cancelled-teacher", makes_up=1, owed=True)
    assert fates(lost, again) == [Fate.OWED]
    assert fates(lost, again, Entry(3, LATER, "kept", makes_up=2)) == [Fate.MADE_UP]
    assert fates(lost, Entry(2, TODAY, "missed", makes_up=1)) == [Fate.FORFEITED]


STATUSES = ["planned", "kept", "cancelled-family", "cancelled-teacher", "missed"]


@st.composite
def terms(draw: st.DrawFn) -> list[Entry]:
    """Any number of lessons, each of which may stand for an earlier one that none stands for."""
    entries: list[Entry] = []
    for number in range(draw(st.integers(0, 25))):
        taken = {entry.makes_up for entry in entries}
        free = [entry.id for entry in entries if entry.id not in taken]
        stands_for = draw(st.sampled_from([None, *free]))
        entries.append(
            Entry(
                number,
                TODAY + dt.timedelta(days=draw(st.integers(-60, 60))),
                draw(st.sampled_from(STATUSES)),
                stands_for,
                draw(st.booleans()),
                draw(st.sampled_from([None, EARLIER, TODAY, LATER])),
            )
        )
    return draw(st.permutations(entries))


@given(terms())
def test_every_lesson_owed_has_one_fate_and_the_sum_holds(entries: list[Entry]) -> None:
    ledger = settle(entries, TODAY)
    roots = [entry for entry in entries if entry.makes_up is None]
    assert ledger.owed == len(roots)
    assert ledger.sums
    named = [line.entry.id for line in ledger.lines]
    named += [entry.id for line in ledger.lines for entry in line.stands_in]
    assert sorted(named) == sorted(entry.id for entry in entries)


@given(terms(), st.integers(0, 200))
def test_time_alone_gives_no_lesson_and_takes_none_given(entries: list[Entry], days: int) -> None:
    now, later = settle(entries, TODAY), settle(entries, TODAY + dt.timedelta(days=days))
    assert (now.owed, now.given, now.made_up) == (later.owed, later.given, later.made_up)
    assert later.forfeited >= now.forfeited
