"""A recital on its pages: planned, filled, moved, told."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from practice.models import Performance, PieceInHand, Programme
from studio.models import Recital, Student, Studio
from tests import factories
from tests.factories import DAY
from tests.pages.recitals.steps import DETAILS, HTMX, address, order, piece_of

pytestmark = pytest.mark.usefixtures("frozen")


def test_a_recital_is_planned_and_filled(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    factories.TermFactory.create(studio=studio)
    answer = signed_in.post(address("add"), DETAILS, follow=True)
    assert "Nobody plays yet" in answer.content.decode()
    recital = Recital.objects.get(studio=studio)
    piece = factories.PieceInHandFactory.create(student=student, stage="polishing")
    answer = signed_in.post(
        address("choose", recital.pk), {"offer": f"{student.pk}-{piece.work_id}"}, follow=True
    )
    assert "1 piece is in the programme, and the order is drafted anew." in answer.content.decode()
    each = Performance.objects.get()
    typed = {f"{each.pk}-seconds": "2:05", f"{each.pk}-character": "fast"}
    page = signed_in.post(address("lengths", recital.pk), typed, follow=True).content.decode()
    assert "2:05" in page
    assert "3 minutes in all, 57 fewer than the 60 you wish for." in page
    terms = signed_in.get(reverse("lessons:terms")).content.decode()
    assert address("recital", recital.pk) in terms


def test_a_move_says_what_it_bends_and_the_page_says_what_holds(
    signed_in: Client, programme: Programme
) -> None:
    pk = programme.recital_id
    signed_in.post(address("draft", pk))
    assert order(programme) == ["Zola", "Aroha", "Imani"]
    page = signed_in.get(address("recital", pk)).content.decode()
    assert page.count("Holds.") == 4
    moved = signed_in.post(address("earlier", pk, piece_of("Imani").pk), follow=True)
    page = moved.content.decode()
    assert order(programme) == ["Zola", "Imani", "Aroha"]
    assert "Now it bends a rule: Zola (Song) and Imani (Minuet in G) are of one family" in page
    assert page.count("Bent:") == 1
    assert "Moved by hand since it was drafted." in page


def test_draft_again_asks_before_hand_work_goes(signed_in: Client, programme: Programme) -> None:
    pk = programme.recital_id
    signed_in.post(address("later", pk, piece_of("Imani").pk))
    assert order(programme) == ["Zola", "Imani", "Aroha"]
    asked = signed_in.post(address("draft", pk))
    assert asked.status_code == 422
    assert "yours is gone" in asked.content.decode()
    assert order(programme) == ["Zola", "Imani", "Aroha"]
    signed_in.post(address("draft", pk), {"sure": "yes"})
    assert order(programme) == ["Zola", "Aroha", "Imani"]


@pytest.mark.parametrize("by_hand", [True, False])
def test_what_the_order_looks_at_drafts_it_anew_unless_she_has_moved_it(
    signed_in: Client, programme: Programme, by_hand: bool
) -> None:
    pk = programme.recital_id
    signed_in.post(address("draft", pk))
    Programme.objects.update(moved_by_hand=by_hand, siblings="free")
    values: dict[str, str] = {}
    for each in programme.performances.all():
        values |= {f"{each.pk}-seconds": "", f"{each.pk}-character": "fast"}
    values[f"{piece_of('Zola').pk}-character"] = "slow"
    page = signed_in.post(address("lengths", pk), values, follow=True).content.decode()
    assert ("your order stays as you moved it" in page) == by_hand
    # Zola is the youngest, but slow, so she cannot begin.
    first = ["Zola", "Aroha", "Imani"]
    assert order(programme) == (first if by_hand else ["Imani", "Zola", "Aroha"])


def test_htmx_gets_the_part_with_the_focus_where_it_was(
    signed_in: Client, programme: Programme
) -> None:
    each = piece_of("Imani")
    part = signed_in.post(address("later", programme.recital_id, each.pk), headers=HTMX)
    text = part.content.decode()
    assert "<html" not in text
    assert text.count("data-focus") == 1
    before = text[: text.index("data-focus")]
    assert before.rindex("Later: Imani") > before.rindex("Earlier: ")


def test_an_interval_is_put_in_moved_and_taken_out(signed_in: Client, programme: Programme) -> None:
    pk = programme.recital_id
    page = signed_in.post(address("interval-add", pk), follow=True).content.decode()
    assert "Interval" in page
    assert "15 min" in page
    for name, after in [("later", 2), ("later", 2), ("earlier", 1), ("earlier", 1), ("remove", 0)]:
        signed_in.post(address(f"interval-{name}", pk))
        programme.refresh_from_db()
        assert programme.interval_after == after


def test_lengths_that_are_guesses_are_called_guesses(
    signed_in: Client, programme: Programme
) -> None:
    page = signed_in.get(address("recital", programme.recital_id)).content.decode()
    assert "3 lengths are guesses by the kind of piece." in page
    assert page.count("a guess</span>") == 3


def test_who_has_left_is_told(signed_in: Client, programme: Programme) -> None:
    piece_of("Aroha").student.leave(DAY)
    page = signed_in.get(address("recital", programme.recital_id)).content.decode()
    assert "<bdi>Aroha</bdi> has left" in page
    assert signed_in.get(address("programme-pdf", programme.recital_id)).status_code == 200


def test_a_duo_is_two_players_and_nobody_plays_a_piece_twice(
    signed_in: Client, programme: Programme
) -> None:
    imani, zola, aroha = (piece_of(name) for name in ("Imani", "Zola", "Aroha"))
    values = {"seconds": "", "character": "slow", "partner": str(aroha.student_id)}
    signed_in.post(address("piece", programme.recital_id, imani.pk), values)
    page = signed_in.get(address("recital", programme.recital_id)).content.decode()
    assert "Imani and Aroha" in page
    Performance.objects.filter(pk=zola.pk).update(work=imani.work)
    answer = signed_in.post(address("piece", programme.recital_id, zola.pk), values)
    assert answer.status_code == 422
    assert "Aroha already plays Minuet in G in this programme." in answer.content.decode()


def test_two_who_were_both_ticked_are_put_together_on_one_piece(
    signed_in: Client, programme: Programme
) -> None:
    imani, aroha = piece_of("Imani"), piece_of("Aroha")
    Performance.objects.filter(pk=aroha.pk).update(work=imani.work)
    values = {"seconds": "", "character": "slow", "partner": str(aroha.student_id)}
    pk = programme.recital_id
    page = signed_in.post(address("piece", pk, imani.pk), values, follow=True).content.decode()
    assert "Imani and Aroha" in page
    assert sorted(order(programme)) == ["Imani", "Zola"]


def test_a_recital_with_pieces_is_called_off_one_without_is_taken_out(
    signed_in: Client, programme: Programme
) -> None:
    pk = programme.recital_id
    assert "Take it out" not in signed_in.get(address("change", pk)).content.decode()
    page = signed_in.post(address("remove", pk), follow=True).content.decode()
    assert "has 3 pieces; call it off." in page
    for each in programme.performances.all():
        signed_in.post(address("piece-remove", pk, each.pk))
    assert "Take it out" in signed_in.get(address("change", pk)).content.decode()
    signed_in.post(address("remove", pk))
    assert not Recital.objects.exists()


def test_thanks_are_kept_for_all_and_for_one(signed_in: Client, programme: Programme) -> None:
    zola = piece_of("Zola").student
    pk = programme.recital_id
    values = {"thanks": "Dear [name]!", f"words_{zola.pk}": "You smiled."}
    page = signed_in.post(address("thanks", pk), values, follow=True).content.decode()
    assert "Dear Imani!" in page
    assert "You smiled." in page
    answer = signed_in.post(address("thanks", pk), {"thanks": "x" * 2001})
    assert answer.status_code == 422
    assert "2001 characters are too many" in answer.content.decode()
    assert signed_in.get(address("thanks-one-pdf", pk, zola.pk)).status_code == 200
    assert signed_in.get(address("thanks-one-pdf", pk, 987654)).status_code == 404


def test_the_terms_tell_of_a_recital_to_come_that_lies_in_none(
    signed_in: Client, programme: Programme
) -> None:
    recital, terms = programme.recital, reverse("lessons:terms")
    assert "outside the terms" not in signed_in.get(terms).content.decode()
    for date, told in [(dt.date(2027, 8, 7), True), (dt.date(2026, 7, 4), False)]:
        recital.date = date
        recital.save()
        page = signed_in.get(terms).content.decode()
        assert (recital.name in page, "outside the terms" in page) == (told, told)


def test_thanks_are_kept_before_they_are_printed(signed_in: Client, programme: Programme) -> None:
    pk = programme.recital_id
    typed = {"thanks": "Thank you, [name].", "then": "print"}
    answer = signed_in.post(address("thanks", pk), typed)
    assert answer.headers["Location"] == address("thanks-pdf", pk)
    programme.refresh_from_db()
    assert programme.thanks == "Thank you, [name]."


def test_after_the_recital_its_pieces_stand_in_the_students_years(
    signed_in: Client, programme: Programme, student: Student, frozen: Any
) -> None:
    years = reverse("reports:history", args=[student.pk])
    assert "Winter recital" not in signed_in.get(years).content.decode()
    frozen.move(days=10)  # the day itself
    page = signed_in.get(years).content.decode()
    assert "Winter recital" in page
    assert "5 Dec 2026" in page
    assert signed_in.get(reverse("reports:history-pdf", args=[student.pk])).status_code == 200
    signed_in.post(address("call-off", programme.recital_id))
    assert "5 Dec 2026" not in signed_in.get(years).content.decode()


def test_the_desk_tells_of_a_recital_within_four_weeks(
    signed_in: Client, programme: Programme
) -> None:
    assert "on Saturday 5 December: 3 pieces" in signed_in.get("/").content.decode()
    Recital.objects.update(date=DAY + dt.timedelta(days=29))
    assert "Winter recital" not in signed_in.get("/").content.decode()


def test_what_is_in_the_programme_leads_to_its_own_page(
    signed_in: Client, programme: Programme
) -> None:
    imani, zola = piece_of("Imani"), piece_of("Zola")
    zola.delete()
    page = signed_in.get(address("choose", programme.recital_id)).content.decode()
    assert f'href="{address("piece", programme.recital_id, imani.pk)}"' in page
    assert f'value="{imani.student_id}-{imani.work_id}"' not in page
    assert f'value="{zola.student_id}-{zola.work_id}"' in page


def test_a_student_without_anything_ready_is_listed_so(
    signed_in: Client, programme: Programme
) -> None:
    factories.StudentFactory.create(family__studio=programme.recital.studio, given_name="Nia")
    PieceInHand.objects.filter(student__given_name="Aroha").update(stage="reading")
    page = signed_in.get(address("choose", programme.recital_id)).content.decode()
    assert page.count("Nothing polished, finished or liked yet.") == 2


def test_recitals_long_past_wait_behind_a_link(signed_in: Client, studio: Studio) -> None:
    for n in range(7):
        day = DAY - dt.timedelta(days=100 * (n + 1))
        recital = factories.RecitalFactory.create(studio=studio, date=day, name=f"Recital {n}.")
        factories.ProgrammeFactory.create(recital=recital)
    page = signed_in.get(address("recitals")).content.decode()
    assert "Recital 5." in page
    assert "Recital 6." not in page
    assert '<a href="?earlier">Earlier recitals</a>' in page
    assert "Recital 6." in signed_in.get(address("recitals") + "?earlier").content.decode()
