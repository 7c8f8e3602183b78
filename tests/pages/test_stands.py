"""How it stands, as a page and inside the Bench; and noting what was heard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import expect
from pytest_django import DjangoAssertNumQueries

from practice.logs.models import ScaleHeard
from practice.models import Mark
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.axe import assert_accessible
from tests.pages.lesson import after_a_lesson

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]
HTMX = {"HX-Request": "true"}
HEARD = {"heard-notes": "3", "heard-bow": "2", "heard-tempo": "72", "heard-with_bowings": "on"}


@pytest.fixture
def imani(student: Student) -> Student:
    return after_a_lesson(student)


def stands(client: Client, student: Student, **more: Any) -> Any:
    return client.get(reverse("bench-stands", args=[student.pk]), **more)


def hear(client: Client, student: Student, data: dict[str, str], **more: Any) -> Any:
    return client.post(reverse("bench-heard", args=[student.pk]), data, **more)


def test_the_page_has_scale_and_spots(signed_in: Client, imani: Student) -> None:
    page = stands(signed_in, imani).content.decode()
    for words in ("Scale: G major", "In G major since 11 November 2026: 2 weeks", "Minuet in G"):
        assert words in page
    assert "Tempos on 0 days: too few for a trend" in page
    assert "Heard on 25 November" in page


def test_the_bench_asks_for_one_part_at_a_time(signed_in: Client, imani: Student) -> None:
    part = stands(signed_in, imani, data={"of": "scale"}, headers=HTMX).content.decode()
    assert "In G major" in part
    assert "<html" not in part
    piece = imani.pieces.get(place=1)
    part = stands(signed_in, imani, data={"of": str(piece.pk)}, headers=HTMX).content.decode()
    assert "Bar 3" in part
    assert "In G major" not in part


def test_a_piece_that_is_not_in_hand_is_not_there(
    signed_in: Client, imani: Student, other_student: Student
) -> None:
    other = factories.PieceInHandFactory.create(student=other_student)
    for of in (str(other.pk), "77777", "²", "one"):
        assert stands(signed_in, imani, data={"of": of}, headers=HTMX).status_code == 404
    assert stands(signed_in, other_student).status_code == 404
    assert hear(signed_in, other_student, HEARD).status_code == 404


def test_a_student_without_anything_has_a_page(signed_in: Client, student: Student) -> None:
    page = stands(signed_in, student)
    assert "No scale in hand yet." in page.content.decode()
    assert hear(signed_in, student, HEARD).status_code == 404


def test_what_was_heard_is_noted_and_can_be_changed(signed_in: Client, imani: Student) -> None:
    answer = hear(signed_in, imani, HEARD)
    assert (answer.status_code, answer.url) == (302, reverse("bench-stands", args=[imani.pk]))
    marks = Mark.objects.filter(lesson__student=imani, lesson__date=DAY)
    assert dict(marks.values_list("aspect", "heard")) == {"notes": 3, "bow": 2}
    heard = ScaleHeard.objects.get()
    assert (heard.tempo, heard.with_bowings) == (72, True)
    assert (
        "on 25 November 2026: notes steady, bow coming."
        in stands(signed_in, imani).content.decode()
    )
    hear(signed_in, imani, {"heard-notes": "1"})
    assert dict(marks.values_list("aspect", "heard")) == {"notes": 1}
    assert not ScaleHeard.objects.exists()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"heard-tempo": "fast"}, "“fast” is not a whole number."),
        ({"heard-tempo": "999"}, "999 is too much; at most 300."),
        ({"heard-notes": "9"}, "9 is not one of the available choices"),
    ],
)
def test_what_cannot_be_is_said_and_kept_on_the_page(
    signed_in: Client, imani: Student, typed: dict[str, str], sentence: str
) -> None:
    for more in ({}, {"headers": HTMX}):
        answer = hear(signed_in, imani, HEARD | typed, **more)
        assert answer.status_code == 422
        assert sentence in answer.content.decode()
    assert not Mark.objects.exists()


def test_the_bench_itself_asks_nothing_of_it(signed_in: Client, imani: Student) -> None:
    page = signed_in.get(reverse("bench", args=[imani.pk])).content.decode()
    assert "How it stands" in page
    assert "too few for a trend" not in page


def test_more_spots_and_logs_need_no_more_queries(
    signed_in: Client, imani: Student, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    stands(signed_in, imani)
    with django_assert_num_queries(18):
        stands(signed_in, imani)
    piece = imani.pieces.get(place=1)
    for bar in range(20, 30):
        spot = factories.SpotFactory.create(piece=piece, first_bar=bar)
        item = factories.ItemFactory.create(spot=spot, part="spot", date=DAY)
        factories.LogEntryFactory.create(item=item, tempo=66)
    with django_assert_num_queries(18):
        stands(signed_in, imani)


@pytest.mark.django_db(transaction=True)
def test_it_opens_in_the_row_and_notes_what_was_heard(teacher_page: Page, imani: Student) -> None:
    page = teacher_page
    page.goto(f"/students/{imani.pk}/bench/")
    page.get_by_text("How it stands", exact=True).first.click()
    scale = page.locator("#stands-scale")
    expect(scale).to_contain_text("In G major since 11 November 2026")
    scale.get_by_label("Notes").select_option("steady")
    scale.get_by_label("Scale at").fill("72")
    scale.get_by_role("button", name="Note it").click()
    expect(scale.get_by_text("Noted.")).to_be_visible()
    expect(scale).to_contain_text("notes steady")
    assert ScaleHeard.objects.get().tempo == 72
    page.locator(".piece .stands summary").first.click()
    expect(page.locator(".stands-spots").first).to_contain_text("Bar 3")
    assert_accessible(page)
    # Nothing of it is a decision on the week: the page may be left without a question.
    page.goto(f"/students/{imani.pk}/stands/")
    assert_accessible(page)


@pytest.mark.django_db(transaction=True)
def test_without_script_a_link_leads_to_the_page(
    open_page: Callable[..., Page], signed_in: Client, imani: Student, live_server: Any
) -> None:
    page = open_page(java_script_enabled=False)
    secret = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": secret, "url": live_server.url}])
    page.goto(f"/students/{imani.pk}/bench/")
    page.get_by_text("How it stands", exact=True).first.click()
    page.get_by_role("link", name="How it stands, as a page").first.click()
    page.get_by_label("Ease").select_option("coming")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_text("What you heard is noted.")).to_be_visible()
    expect(page.get_by_text("ease coming")).to_be_visible()
