"""The order of a programme in rows: drafted, moved by hand, told where it bends."""

from __future__ import annotations

import pytest

from practice.models import Performance, Programme
from practice.recitals import order
from studio.models import Student
from tests import factories


def titles(programme: Programme) -> list[str]:
    return [each.work.title for each in order.performances_of(programme)]


def pk_of(title: str) -> int:
    return Performance.objects.get(work__title=title).pk


def test_the_draft_parts_siblings_and_lets_the_youngest_begin(three: Programme) -> None:
    found = order.draft_anew(three)
    assert titles(three) == ["Ode to Joy", "Gavotte", "Minuet in G"]
    assert found.is_best
    assert order.bent(three, order.performances_of(three)) == ()


def test_a_move_tells_only_what_bends_now(three: Programme) -> None:
    order.draft_anew(three)
    told = order.move(three, pk_of("Minuet in G"), -1)
    assert titles(three) == ["Ode to Joy", "Minuet in G", "Gavotte"]
    assert told == (
        "Zola (Ode to Joy) and Imani (Minuet in G) are of one family and follow one another.",
    )
    assert order.move(three, pk_of("Gavotte"), 0) == ()
    three.refresh_from_db()
    assert three.moved_by_hand


@pytest.mark.parametrize(("title", "by"), [("Minuet in G", -1), ("Gavotte", 1)])
def test_beyond_the_ends_nothing_moves(three: Programme, title: str, by: int) -> None:
    assert order.move(three, pk_of(title), by) == ()
    assert titles(three) == ["Minuet in G", "Ode to Joy", "Gavotte"]
    three.refresh_from_db()
    assert not three.moved_by_hand


def test_the_interval_stays_between_two_pieces(three: Programme) -> None:
    order.put_interval(three, 9)
    assert three.interval_after == 2
    order.put_interval(three, -3)
    assert three.interval_after == 0
    order.put_interval(three, 1)
    Performance.objects.filter(programme=three).exclude(work__title="Gavotte").delete()
    assert order.timed(three, order.performances_of(three)).interval is None


def test_the_pianist_has_pauses_only_where_there_is_a_pianist(three: Programme) -> None:
    three.performances.update(with_piano=True)
    three.most_with_piano, three.siblings = 2, "free"
    rows = order.performances_of(three)
    assert order.bent(three, rows) == ()
    three.accompanist = "Oisín"
    words = [each.words for each in order.bent(three, rows) if each.rule == "piano"]
    assert words == [
        "3 pieces with piano follow one another, from Imani (Minuet in G) to Aroha (Gavotte);"
        " the pianist is to have a pause after 2."
    ]


def test_two_who_share_a_first_name_get_their_initial(three: Programme, student: Student) -> None:
    namesake = factories.StudentFactory.create(
        family__studio=three.recital.studio, given_name="Imani", family_name="Brandão"
    )
    each = factories.PerformanceFactory.create(programme=three, student=namesake)
    rows = order.performances_of(three)
    names = order.names_of(rows)
    assert (names[student.pk], names[namesake.pk]) == ("Imani O.", "Imani B.")
    assert order.who(each, names) == "Imani B."


def test_a_length_is_a_guess_by_the_kind_of_work_until_it_is_taken(three: Programme) -> None:
    first, second, third = order.performances_of(three)
    first.work.kind, second.work.kind = "concerto movement", "folk song"
    third.seconds = 95
    assert [order.length(each) for each in (first, second, third)] == [360, 60, 95]


def test_a_duo_counts_for_both_families_and_by_its_younger_player(
    three: Programme, zola: Student
) -> None:
    each = Performance.objects.get(work__title="Gavotte")
    each.partner = zola
    each.save()
    rows = order.performances_of(three)
    (duo,) = [found for found in order.played(rows) if found.key == each.pk]
    assert duo.families == {zola.family_id, each.student.family_id}
    assert duo.born == zola.birth_date
    assert duo.label == "Aroha and Zola (Gavotte)"
