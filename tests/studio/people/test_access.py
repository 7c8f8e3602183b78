"""Another teacher's people are not there; nobody comes in without signing in."""

from __future__ import annotations

import pytest
from django.test import Client

from studio.models import Student
from tests.factories import GuardianFactory

STUDENT_PAGES = ["", "edit/"]
STUDENT_POSTS = ["edit/", "pause/", "come-back/", "leave/"]
FAMILY_PAGES = ["", "edit/", "students/add/", "guardians/add/"]


def others_addresses(student: Student) -> list[str]:
    guardian = GuardianFactory.create(family=student.family)
    return [
        *[f"/students/{student.pk}/{page}" for page in {*STUDENT_PAGES, *STUDENT_POSTS}],
        *[f"/families/{student.family_id}/{page}" for page in FAMILY_PAGES],
        f"/guardians/{guardian.pk}/edit/",
        f"/guardians/{guardian.pk}/remove/",
    ]


@pytest.mark.parametrize("method", ["get", "post"])
def test_another_teachers_people_are_not_found(
    signed_in: Client, other_student: Student, method: str
) -> None:
    for url in others_addresses(other_student):
        status = getattr(signed_in, method)(url).status_code
        assert status == 404 or (status == 405 and wrong_method(url, method)), url
    other_student.refresh_from_db()
    assert other_student.status == "learning"
    assert other_student.family.guardians.count() == 1


def wrong_method(url: str, method: str) -> bool:
    acts = url.endswith(("/pause/", "/come-back/", "/leave/", "/remove/"))
    return acts if method == "get" else not url.endswith(("/edit/", "/add/"))


def test_the_roster_and_its_search_show_nothing_of_another_studio(
    signed_in: Client, student: Student, other_student: Student
) -> None:
    assert "Sora" not in signed_in.get("/students/?show=all").content.decode()
    response = signed_in.get("/students/?show=all&q=sora")
    assert response.context["rows"] == []


@pytest.mark.parametrize("url", ["/students/", "/students/add/", "/students/sizes/"])
def test_without_signing_in_there_is_only_the_door(
    client: Client, student: Student, url: str
) -> None:
    response = client.get(url)
    assert response.status_code == 302
    assert response.headers["Location"].startswith("/sign-in/")


def test_a_number_no_database_holds_is_not_found(signed_in: Client) -> None:
    assert signed_in.get(f"/students/{10**30}/").status_code == 404
