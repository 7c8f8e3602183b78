import datetime as dt

from practice.figures.tempo_chart import tempo_chart
from practice.figures.tempo_lines import TempoLine, WeekTempo, longest_first, tempo_line
from practice.figures.term_weeks import weeks_of

MON = dt.date(2026, 9, 14)
WEEKS = weeks_of(MON, dt.date(2026, 10, 11))


def line(title: str, *weeks: int, goal: int = 80) -> TempoLine:
    return TempoLine(title, "bar 3", goal, tuple(WeekTempo(week, 50 + week) for week in weeks))


def test_the_fastest_of_each_week_is_taken() -> None:
    told = [(MON, 44), (MON + dt.timedelta(days=3), 52), (MON + dt.timedelta(days=4), 48)]
    told += [(MON + dt.timedelta(days=14), 60), (MON - dt.timedelta(days=1), 200)]
    found = tempo_line("Minuet in G", "bar 3", 60, told, WEEKS)
    assert found is not None
    assert found.tempos == (WeekTempo(1, 52), WeekTempo(3, 60))
    assert found.reached == WeekTempo(3, 60)
    assert found.words == "from 52 in week 1 to 60 in week 3, goal 60 reached in week 3"


def test_without_a_tempo_in_the_term_there_is_no_line() -> None:
    assert tempo_line("Minuet in G", "", 60, [(MON - dt.timedelta(days=1), 60)], WEEKS) is None


def test_each_piece_comes_once_before_any_comes_twice() -> None:
    lines = [line("A", 1, 2, 3), line("A", 1, 2), line("B", 4), line("C", 2)]
    names = [(each.title, len(each.tempos)) for each in longest_first(lines)]
    assert names == [("A", 3), ("B", 1), ("C", 1), ("A", 2)]


def test_the_line_rises_towards_the_goal_and_rings_where_it_is_reached() -> None:
    told = TempoLine("A", "", 80, (WeekTempo(1, 44), WeekTempo(2, 60), WeekTempo(4, 80)))
    (row,) = tempo_chart([told], 4).rows
    heights = [y for _, y in row.points]
    assert heights == sorted(heights, reverse=True)
    assert row.ring == row.points[-1]
    assert row.points[-1][1] == row.goal_y
    assert row.end == "reached"


def test_a_single_tempo_at_its_goal_can_be_drawn() -> None:
    (row,) = tempo_chart([TempoLine("A", "", 60, (WeekTempo(1, 60),))], 1).rows
    assert row.ring == row.points[0]


def test_a_long_title_keeps_its_bars() -> None:
    told = TempoLine(
        "Double Concerto, 1st movement, second violin", "bars 22 to 25", 80, line("", 1).tempos
    )
    (row,) = tempo_chart([told], 13).rows
    assert row.title.endswith("…, bars 22 to 25")
    assert len(row.title) <= 42
