"""The pages that say no."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import include, path

if TYPE_CHECKING:
    from studio.models import Studio


def broken(request: HttpRequest) -> HttpResponse:
    raise ValueError("Imani Okonkwo-Reyes")


def refused(request: HttpRequest) -> HttpResponse:
    raise PermissionDenied


urlpatterns = [
    path("broken/", broken),
    path("refused/", refused),
    path("", include("studio.urls")),
]
handler403 = "studio.web.errors.forbidden"
handler500 = "studio.web.errors.server_error"


def test_an_unknown_address_is_told_in_words(client: Client, studio: Studio) -> None:
    answer = client.get("/nothing-here/")
    assert answer.status_code == 404
    assert "Nothing here." in answer.content.decode()


@pytest.mark.urls("tests.studio.web.test_errors")
def test_a_stumble_is_told_in_words_and_logged_without_names(
    signed_in: Client, caplog: pytest.LogCaptureFixture
) -> None:
    signed_in.raise_request_exception = False
    answer = signed_in.get("/broken/")
    assert answer.status_code == 500
    page = answer.content.decode()
    assert "That went wrong." in page
    assert "Imani" not in page
    assert any(record.exc_info for record in caplog.records)


@pytest.mark.urls("tests.studio.web.test_errors")
def test_a_refusal_is_told_in_words(signed_in: Client) -> None:
    answer = signed_in.get("/refused/")
    assert answer.status_code == 403
    assert "Not open to you." in answer.content.decode()


@pytest.mark.django_db
def test_a_foreign_host_name_is_told_in_words() -> None:
    answer = Client(HTTP_HOST="elsewhere.example").get("/sign-in/")
    assert answer.status_code == 400
    assert "The address does not fit." in answer.content.decode()
