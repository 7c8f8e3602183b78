"""Who could play what, and what comes of choosing it."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from practice.models import Performance, PieceInHand, Programme
from practice.recitals import pieces
from studio.models import Recital, Student, Studio
from tests import factories
from tests.factories import DAY

Stage = PieceInHand.Stage


def offered(studio: Studio, programme: Programme) -> dict[str, list[tuple[str, str]]]:
    return {
        student.given_name: [(offer.work.title, offer.words) for offer in offers]
        for student, offers in pieces.offers(studio, programme)
    }


def test_polished_finished_and_liked_pieces_of_those_who_come_to_lessons(
    studio: Studio, programme: Programme, student: Student, aroha: Student, other_student: Student
) -> None:
    liked = factories.WorkFactory.create(title="Gavotte")
    for title, stage, place in [("Air", Stage.POLISHING, 1), ("Bourrée", Stage.WORKING_UP, 2)]:
        factories.PieceInHandFactory.create(
            student=student, work__title=title, stage=stage, place=place
        )
    factories.PieceInHandFactory.create(
        student=student, work=liked, stage=Stage.FINISHED, finished=dt.date(2026, 11, 2)
    )
    factories.PieceInHandFactory.create(
        student=student, work__title="Jig", stage=Stage.SET_ASIDE, finished=DAY
    )
    factories.FavouriteFactory.create(student=student, work=liked)
    factories.PieceInHandFactory.create(student=other_student, stage=Stage.POLISHING)
    factories.PieceInHandFactory.create(student=aroha, stage=Stage.POLISHING)
    aroha.leave(DAY)
    assert offered(studio, programme) == {
        "Imani": [("Air", "polishing"), ("Gavotte", "finished 2 Nov 2026, favourite")]
    }


def test_what_was_finished_long_before_is_offered_when_asked_for(
    signed_in: Client, studio: Studio, programme: Programme, student: Student
) -> None:
    recital = programme.recital.date
    for title, day in (("Gavotte", recital - dt.timedelta(weeks=14)), ("Jig", recital)):
        factories.PieceInHandFactory.create(
            student=student,
            work__title=title,
            stage=Stage.FINISHED,
            started=day - dt.timedelta(days=9),
            finished=day - dt.timedelta(days=1),
        )
    where = reverse("recitals:choose", args=[programme.recital.pk])
    page = signed_in.get(where).content.decode()
    assert ("Jig" in page, "Gavotte" in page) == (True, False)
    for title in ("Air", "Bourrée", "Chaconne"):
        factories.FavouriteFactory.create(student=student, work__title=title)
    page = signed_in.get(where).content.decode()
    assert sum(title in page for title in ("Jig", "Air", "Bourrée", "Chaconne")) == 3
    page = signed_in.get(f"{where}?earlier").content.decode()
    assert all(title in page for title in ("Gavotte", "Jig", "Air", "Bourrée", "Chaconne"))
    assert "?earlier" not in page
    gavotte = PieceInHand.objects.get(work__title="Gavotte")
    signed_in.post(f"{where}?earlier", {"offer": [f"{student.pk}-{gavotte.work_id}"]})
    assert programme.performances.get().work == gavotte.work
    # In the programme it stays to be seen.
    assert "Gavotte" in signed_in.get(where).content.decode()


def test_a_piece_is_taken_for_both_who_play_it_together(
    studio: Studio, three: Programme, student: Student, zola: Student
) -> None:
    duo = Performance.objects.get(student=student)
    duo.partner = zola
    duo.save()
    for player in (student, zola):
        factories.FavouriteFactory.create(student=player, work=duo.work)
        factories.FavouriteFactory.create(student=player, work__title=f"Air {player.given_name}")
    found = [offer for _, offers in pieces.offers(studio, three) for offer in offers]
    assert {(offer.student.given_name, offer.work.title): offer.taken for offer in found} == {
        ("Imani", "Minuet in G"): duo.pk,
        ("Imani", "Air Imani"): None,
        ("Zola", "Minuet in G"): duo.pk,
        ("Zola", "Air Zola"): None,
    }
    assert pieces.take(three, found).count == 2


def test_whoever_plays_is_a_player_and_whoever_does_not_is_none(
    three: Programme, student: Student
) -> None:
    assert {each.given_name for each in three.recital.players.all()} == {"Imani", "Zola", "Aroha"}
    before = three.recital.changed
    pieces.give_back(Performance.objects.get(student=student))
    assert {each.given_name for each in three.recital.players.all()} == {"Zola", "Aroha"}
    assert Recital.objects.get().changed > before


def test_chosen_pieces_are_ordered_unless_she_has_moved_some(
    studio: Studio, three: Programme, zola: Student
) -> None:
    factories.FavouriteFactory.create(student=zola, work__title="Lullaby")
    chosen = [offer for _, offers in pieces.offers(studio, three) for offer in offers]
    three.moved_by_hand = True
    taken = pieces.take(three, chosen)
    assert (taken.count, taken.drafted) == (1, False)
    assert Performance.objects.order_by("place").last().work.title == "Lullaby"  # type: ignore[union-attr]


def test_length_and_character_are_those_of_the_last_time_it_was_timed(
    studio: Studio, three: Programme, student: Student, zola: Student
) -> None:
    earlier = Performance.objects.get(student=student)
    earlier.seconds, earlier.character = 95, "slow"
    earlier.save()
    untimed = factories.ProgrammeFactory.create(
        recital__studio=studio, recital__date=DAY + dt.timedelta(days=90)
    )
    factories.PerformanceFactory.create(programme=untimed, student=student, work=earlier.work)
    later = factories.ProgrammeFactory.create(recital__studio=studio, recital__name="Next")
    for player in (student, zola):
        factories.FavouriteFactory.create(student=player, work=earlier.work)
    pieces.take(later, [offer for _, found in pieces.offers(studio, later) for offer in found])
    known = later.performances.values_list("student__given_name", "seconds", "character")
    assert set(known) == {("Imani", 95, "slow"), ("Zola", None, "other")}


def test_a_piece_chosen_for_both_who_play_it_together_becomes_one(
    three: Programme, student: Student, aroha: Student
) -> None:
    duo = Performance.objects.get(student=student)
    Performance.objects.create(programme=three, student=aroha, work=duo.work, place=4)
    duo.partner = aroha
    pieces.keep(duo)
    rows = three.performances.values_list("student__given_name", "partner__given_name")
    assert list(rows) == [("Imani", "Aroha"), ("Zola", None), ("Aroha", None)]


@pytest.mark.parametrize("partner", ["Aroha", "Zola"])
def test_an_erased_family_takes_no_piece_from_whoever_played_along(
    three: Programme, student: Student, partner: str
) -> None:
    """Aroha is of another family than Imani, Zola of the same."""
    together = Student.objects.get(given_name=partner)
    duo = Performance.objects.get(student=student)
    duo.partner, duo.seconds = together, 95
    duo.save()
    student.family.delete()
    rows = three.performances.values_list("student__given_name", "work__title", "seconds")
    kept = [("Aroha", "Minuet in G", 95)] if partner == "Aroha" else []
    assert list(rows) == [*kept, ("Aroha", "Gavotte", None)]


def test_a_duo_taken_out_is_out_for_both(
    three: Programme, student: Student, aroha: Student
) -> None:
    duo = Performance.objects.get(student=student)
    duo.partner = aroha
    duo.save()
    pieces.give_back(duo)
    assert list(three.performances.values_list("work__title", flat=True)) == [
        "Ode to Joy",
        "Gavotte",
    ]


def test_no_piece_comes_twice(studio: Studio, programme: Programme, student: Student) -> None:
    factories.FavouriteFactory.create(student=student)
    for count in (1, 0):
        chosen = [offer for _, offers in pieces.offers(studio, programme) for offer in offers]
        assert pieces.take(programme, chosen).count == count
    row = Performance.objects.get()
    with pytest.raises(IntegrityError), transaction.atomic():
        Performance.objects.create(programme=programme, student=student, work=row.work)


def test_sixty_players_and_no_more_than_fit(studio: Studio, programme: Programme) -> None:
    work = factories.WorkFactory.create()
    many = [
        pieces.Offer(
            factories.StudentFactory.create(family__studio=studio, given_name=f"N{n}"), work, ""
        )
        for n in range(pieces.MOST_PIECES + 2)
    ]
    taken = pieces.take(programme, many[:60])
    assert (taken.count, taken.too_many, taken.drafted) == (60, 0, True)
    taken = pieces.take(programme, many[60:])
    assert (taken.count, taken.too_many) == (60, 2)


def test_a_partner_is_somebody_else(programme: Programme, student: Student) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        factories.PerformanceFactory.create(programme=programme, student=student, partner=student)
