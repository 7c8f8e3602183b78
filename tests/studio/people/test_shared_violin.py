"""The family's own setting: children who share one violin or one hour."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from studio.models import Family

pytestmark = pytest.mark.usefixtures("frozen")


def typed(family: Family, **changed: str) -> dict[str, str]:
    return {"name": family.name, "notes": ""} | changed


def test_it_is_kept_and_told_on_the_family_page(
    signed_in: Client, family: Family, student: object
) -> None:
    url = f"/families/{family.pk}/edit/"
    data = typed(family, shares_violin="on", shared_from="16:00", shared_until="17:30")
    assert signed_in.post(url, data).status_code == 302
    family.refresh_from_db()
    assert family.shares_violin
    assert f"{family.shared_from:%H:%M} {family.shared_until:%H:%M}" == "16:00 17:30"
    page = signed_in.get(f"/families/{family.pk}/").content.decode()
    assert "share one violin or one hour from 16:00 until 17:30" in page
    again = signed_in.get(url).content.decode()
    assert 'value="16:00"' in again
    signed_in.post(url, typed(family))
    family.refresh_from_db()
    assert not family.shares_violin


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        (
            {"shares_violin": "on", "shared_from": "17:00", "shared_until": "16:00"},
            "16:00 is not after 17:00, when they begin.",
        ),
        ({"shared_from": "17:00"}, "A shared time is given: tick this, or empty both times."),
        ({"shares_violin": "on", "shared_from": "noon"}, "“noon” is not a time of day."),
    ],
)
def test_times_that_cannot_be_are_named(
    signed_in: Client, family: Family, changed: dict[str, str], sentence: str
) -> None:
    answer = signed_in.post(f"/families/{family.pk}/edit/", typed(family, **changed))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    family.refresh_from_db()
    assert (family.shares_violin, family.shared_from) == (False, None)


def test_the_database_refuses_a_time_that_ends_before_it_begins(family: Family) -> None:
    family.shared_from, family.shared_until = "17:00", "16:00"
    with pytest.raises(IntegrityError), transaction.atomic():
        family.save()
