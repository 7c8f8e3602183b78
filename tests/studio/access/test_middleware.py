"""Who is let in, and what a request then knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse
from django.utils import timezone

from studio.access.middleware import StudioMiddleware

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from studio.models import Studio

FRAGMENT = {"HX-Request": "true", "HX-Current-URL": "http://testserver/students/7/?tab=week"}


@pytest.mark.django_db
def test_a_fragment_sends_the_whole_page_to_the_door_and_back_to_the_page(
    client: Client,
) -> None:
    answer = client.get(reverse("access:settings"), headers=FRAGMENT)
    assert answer.status_code == 200
    expected = f"{reverse('access:sign_in')}?next=%2Fstudents%2F7%2F%3Ftab%3Dweek"
    assert answer.headers["HX-Redirect"] == expected
    assert "Location" not in answer.headers


@pytest.mark.django_db
def test_a_fragment_naming_another_site_comes_back_to_the_first_page(client: Client) -> None:
    foreign = FRAGMENT | {"HX-Current-URL": "https://elsewhere.example/page"}
    answer = client.get(reverse("access:settings"), headers=foreign)
    assert answer.headers["HX-Redirect"] == f"{reverse('access:sign_in')}?next=%2F"


@pytest.mark.django_db
def test_after_a_post_without_session_nobody_is_sent_to_a_post_address(client: Client) -> None:
    answer = client.post(reverse("access:password"))
    assert answer.headers["Location"] == f"{reverse('access:sign_in')}?next=%2F"


def test_the_studio_and_its_zone_belong_to_the_request(studio: Studio, rf: RequestFactory) -> None:
    seen: list[tuple[Studio, str]] = []

    def view(request: HttpRequest) -> HttpResponse:
        seen.append((request.studio, timezone.get_current_timezone_name()))  # type: ignore[attr-defined]
        return None  # type: ignore[return-value]

    request = rf.get("/")
    request.user = studio.owner
    before = timezone.get_current_timezone_name()
    StudioMiddleware(view)(request)
    assert seen == [(studio, "Europe/Lisbon")]
    assert timezone.get_current_timezone_name() == before


@pytest.mark.parametrize("number", [2**63, 10**40])
def test_a_number_no_database_takes_is_not_found(signed_in: Client, number: int) -> None:
    assert signed_in.get(f"/students/{number}/history/").status_code == 404
    assert signed_in.get(f"/reports/1/{number}/edition-1.pdf").status_code == 404
