"""The Bench as pages: shown, formed again, kept, printed, refused."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

import pypdf
import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from practice.models import Assignment, Item, Plan, Sheet
from studio.models import Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY
from tests.pages.filled import filled
from tests.pages.lesson import MINUET, after_a_lesson

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]
HTMX = {"HX-Request": "true"}


@pytest.fixture
def full(student: Student) -> Student:
    return after_a_lesson(student)


def page_of(client: Client, student: Student) -> HttpResponse:
    return client.get(reverse("bench", args=[student.pk]))  # type: ignore[return-value]


def form_of(client: Client, student: Student, **changes: object) -> dict[str, Any]:
    """The page as shown, with some controls changed; None takes a control away."""
    values: dict[str, Any] = dict(filled(page_of(client, student).content, "bench"))
    for name, value in changes.items():
        name = name.replace("__", "-")
        if value is None:
            values.pop(name, None)
        else:
            values[name] = value
    return values


def post(client: Client, name: str, student: Student, data: dict[str, Any], **more: Any) -> Any:
    return client.post(reverse(name, args=[student.pk]), data, **more)


def pdf_text(content: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages)


def test_it_begins_with_the_state_of_last_week(signed_in: Client, full: Student) -> None:
    page = page_of(signed_in, full).content.decode()
    for words in ("Imani", "G major", "long, two, two", "Minuet in G", "Tram No. Nine"):
        assert words in page
    assert "Move on: C major" in page
    assert "Move on: no. 3" in page
    assert "The *ring*." in page
    assert "<b>120</b> minutes, Sunday off." in page


def test_a_student_without_anything_has_a_page_too(signed_in: Client, student: Student) -> None:
    page = page_of(signed_in, student)
    assert page.status_code == 200
    assert "Nothing is in hand yet" in page.content.decode()


def test_another_studios_student_is_not_there(signed_in: Client, other_student: Student) -> None:
    assert page_of(signed_in, other_student).status_code == 404
    for name in ("bench-preview", "bench-save", "bench-print"):
        assert post(signed_in, name, other_student, {}).status_code == 404


def test_nobody_without_a_password_sees_it(client: Client, full: Student) -> None:
    assert page_of(client, full).status_code == 302


def test_each_address_has_its_method(signed_in: Client, full: Student) -> None:
    assert signed_in.post(reverse("bench", args=[full.pk])).status_code == 405
    assert signed_in.get(reverse("bench-preview", args=[full.pk])).status_code == 405


def test_keeping_everything_prints_the_week(signed_in: Client, full: Student) -> None:
    answer = post(signed_in, "bench-print", full, form_of(signed_in, full))
    assignment = Assignment.objects.get(student=full, starts=DAY + dt.timedelta(days=1))
    assert answer.status_code == 302
    assert answer.url == reverse("sheet-pdf", args=[assignment.pk])
    assert assignment.printed is not None
    assert assignment.listen_for.startswith("The *ring*.")
    pdf = signed_in.get(answer.url)
    assert pdf["Content-Type"] == "application/pdf"
    text = pdf_text(pdf.content)
    assert "Imani" in text
    assert "Okonkwo" not in text


def test_the_printed_minutes_are_the_budgets(signed_in: Client, full: Student) -> None:
    """An independent reader of PDF finds the row of sums at the foot of the grid."""
    data = form_of(signed_in, full, minutes_0="31", minutes_1="27", minutes_2="44")
    answer = post(signed_in, "bench-print", full, data)
    text = pdf_text(signed_in.get(answer.url).content)
    foot = text.split("Minutes, all together")[1].split("Favourite")[0]
    assert foot.split()[:6] == ["31", "27", "44", "20", "20", "20"]


def test_the_preview_writes_nothing(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full, scale__move="C major")
    before = [Assignment.objects.count(), Plan.objects.count(), full.scales.count()]
    answer = post(signed_in, "bench-preview", full, data, headers=HTMX)
    assert answer.status_code == 200
    assert "C major: long, two, two" in answer.content.decode()
    assert [Assignment.objects.count(), Plan.objects.count(), full.scales.count()] == before


def test_the_week_says_how_the_scale_is_played_when_that_changes(
    signed_in: Client, full: Student
) -> None:
    change = {"scale__move": "other", "scale__string": "D", "scale__octaves": 1, "scale__over": 1}
    data = form_of(signed_in, full, **change)
    answer = post(signed_in, "bench-preview", full, data, headers=HTMX)
    assert "one octave, on the D string, one note over the top: " in answer.content.decode()


def test_without_script_the_preview_is_the_whole_page(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full, minutes_0="40")
    answer = post(signed_in, "bench-preview", full, data)
    page = answer.content.decode()
    assert "<html" in page
    assert "<b>140</b> minutes, Sunday off." in page
    assert filled(page, "bench")["minutes_0"] == ["40"]


def test_without_script_the_tempo_steps_by_button(signed_in: Client, full: Student) -> None:
    spot = full.pieces.get(place=1).spots.get(first_bar=3)
    data = form_of(signed_in, full, step=f"spot-{spot.pk}:up")
    page = post(signed_in, "bench-preview", full, data).content
    assert filled(page, "bench")[f"spot-{spot.pk}-now"] == ["63"]
    down = filled(page, "bench") | {"step": [f"spot-{spot.pk}:down"]}
    page = post(signed_in, "bench-preview", full, down).content
    assert filled(page, "bench")[f"spot-{spot.pk}-now"] == ["60"]


def test_the_slider_scales_the_budgets(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full, week="180")
    page = post(signed_in, "bench-preview", full, data).content
    values = filled(page, "bench")
    assert [values[f"minutes_{n}"][0] for n in range(7)] == ["30", "30", "30", "", "30", "30", "30"]
    assert values["by_hand"] == ["20,20,20,0,20,20,20"]


def test_reasons_are_in_the_page_and_not_on_the_sheet(signed_in: Client, full: Student) -> None:
    reason = "Spot in bar 3: troubled, so every day"
    assert reason in page_of(signed_in, full).content.decode()
    answer = post(signed_in, "bench-print", full, form_of(signed_in, full))
    assert reason not in pdf_text(signed_in.get(answer.url).content)


def test_saving_keeps_every_decision(signed_in: Client, full: Student) -> None:
    piece = full.pieces.get(place=1)
    spot = piece.spots.get(first_bar=3)
    solved = piece.spots.get(first_bar=7)
    data = form_of(
        signed_in,
        full,
        scale__move="C major",
        scale__bowings=[f"spot:{spot.pk}", "slur2"],
        etude__move=str(full.etudes.get().work_id + 1),
        to_check="thumb on the E string",
    )
    data |= {
        f"spot-{spot.pk}-now": "66",
        f"spot-{solved.pk}-solved": "on",
        f"piece-{piece.pk}-stage": "polishing",
        f"new-{piece.pk}-1-bars": "11 to 12",
        f"new-{piece.pk}-1-what": "shift lands late",
    }
    answer = post(signed_in, "bench-save", full, data)
    assert (answer.status_code, answer.url) == (302, reverse("bench", args=[full.pk]))
    scale = full.scales.get(until=None)
    assert (scale.key, scale.bowing_1, scale.bowing_2) == ("C major", f"spot:{spot.pk}", "slur2")
    assert full.etudes.get(until=None).work.number == "3"
    piece.refresh_from_db()
    assert piece.stage == "polishing"
    assert list(piece.spots.order_by("first_bar").values_list("first_bar", "state")) == [
        (3, "troubled"),
        (7, "solved"),
        (11, "troubled"),
    ]
    assignment = Assignment.objects.get(student=full, starts=DAY + dt.timedelta(days=1))
    assert assignment.to_check == "thumb on the E string"
    titles = set(Item.objects.filter(plan=assignment.plan).values_list("title", flat=True))
    assert "Spot, bars 11–12" in titles
    assert "Spot, bar 7" not in titles


def test_coming_back_after_saving_shows_what_was_saved(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full, minutes_1="40", listen_for="The bow arm.")
    post(signed_in, "bench-save", full, data)
    again = form_of(signed_in, full)
    assert (again["minutes_1"], again["listen_for"]) == (["40"], ["The bow arm."])


def test_a_new_piece_takes_the_place_of_a_finished_one(signed_in: Client, full: Student) -> None:
    gavotte = factories.WorkFactory.create(title="Gavotte")
    piece = full.pieces.get(place=2)
    data = form_of(signed_in, full, **{"new-piece-work": str(gavotte.pk)})
    data |= {f"piece-{piece.pk}-stage": "finished", f"piece-{piece.pk}-favourite": "on"}
    assert post(signed_in, "bench-save", full, data).status_code == 302
    held = full.pieces.filter(finished=None).values_list("work__title", flat=True)
    assert list(held) == ["Minuet in G", "Gavotte"]
    assert full.favourites.filter(work=piece.work).exists()


def test_wishes_shape_the_week(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full) | {
        "forbid-0-part": "stretch",
        "fix-0-part": "scale",
        "fix-0-minutes": "9",
        "free-0-text": "tune by ear",
        "free-0-minutes": "2",
    }
    post(signed_in, "bench-save", full, data)
    assignment = Assignment.objects.get(student=full, starts=DAY + dt.timedelta(days=1))
    items = Item.objects.filter(plan=assignment.plan)
    assert not items.filter(part="stretch").exists()
    assert set(items.filter(part="scale").values_list("minutes", flat=True)) == {9}
    assert items.filter(part="free", minutes=2).count() == 6
    page = page_of(signed_in, full).content
    assert filled(page, "bench")["free-0-text"] == ["tune by ear"]


def test_a_wish_that_cannot_be_held_is_named(signed_in: Client, full: Student) -> None:
    data = form_of(signed_in, full) | {"free-0-text": "opera", "free-0-minutes": "60"}
    page = post(signed_in, "bench-preview", full, data, headers=HTMX).content.decode()
    assert "opera" in page
    assert "sum need" in page


def test_an_old_edition_prints_again(signed_in: Client, full: Student) -> None:
    first = post(signed_in, "bench-print", full, form_of(signed_in, full, listen_for="Old words."))
    post(signed_in, "bench-print", full, form_of(signed_in, full, listen_for="New words."))
    assignment = Assignment.objects.get(student=full, starts=DAY + dt.timedelta(days=1))
    assert [sheet.edition for sheet in Sheet.objects.order_by("edition")] == [1, 2]
    old = signed_in.get(reverse("sheet-edition", args=[assignment.pk, 1]))
    assert "Old words." in pdf_text(old.content)
    assert "New words." in pdf_text(signed_in.get(first.url).content)


def test_sheets_of_another_studio_are_not_there(
    signed_in: Client, full: Student, other_studio: Any, client: Client
) -> None:
    answer = post(signed_in, "bench-print", full, form_of(signed_in, full))
    stranger = Client()
    stranger.force_login(other_studio.owner)
    assert stranger.get(answer.url).status_code == 404
    assignment = Assignment.objects.get(student=full, starts=DAY + dt.timedelta(days=1))
    assert stranger.post(reverse("sheet-print", args=[assignment.pk])).status_code == 404


def test_the_day_after_it_is_the_same_week(
    signed_in: Client, full: Student, frozen: FrozenClock
) -> None:
    post(signed_in, "bench-save", full, form_of(signed_in, full, minutes_2="50"))
    frozen.move(days=2)
    assert form_of(signed_in, full)["minutes_2"] == ["50"]


def test_queries_do_not_grow_with_what_is_in_hand(
    signed_in: Client, full: Student, django_assert_max_num_queries: Any
) -> None:
    for piece in full.pieces.all():
        for bar in range(20, 26):
            factories.SpotFactory.create(piece=piece, first_bar=bar, excerpt=MINUET)
    for number in range(6):
        work = factories.WorkFactory.create(title=f"Old friend {number}")
        factories.FavouriteFactory.create(student=full, work=work)
    data = form_of(signed_in, full)
    with django_assert_max_num_queries(26):
        page_of(signed_in, full)
    with django_assert_max_num_queries(18):
        post(signed_in, "bench-preview", full, data, headers=HTMX)


@pytest.mark.parametrize("name", ["bench-save", "bench-print"])
def test_the_address_a_refused_page_leaves_behind_opens_the_bench(
    signed_in: Client, student: Student, name: str
) -> None:
    answer = signed_in.get(reverse(name, args=[student.pk]))
    assert answer.headers["Location"] == reverse("bench", args=[student.pk])
