"""What cannot be: each way home may send it is told field and value, and changes nothing."""

from __future__ import annotations

import datetime as dt
import json
import re
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page, expect

from practice.models import Assignment, LogEntry, Receipt, Word
from studio.models import Student
from tests import factories
from tests.factories import DAY
from tests.pages.axe import assert_accessible
from tests.pages.home.weeks import day_url, items_of, logged

pytestmark = pytest.mark.usefixtures("frozen")
LONG_AGO = DAY - dt.timedelta(weeks=8, days=1)


def nothing_changed() -> bool:
    return not any(kind.objects.exists() for kind in (LogEntry, Word, Receipt))


def posted(client: Client, address: str, **data: Any) -> tuple[int, str]:
    answer = client.post(address, {"key": uuid.uuid4().hex, "word": "Long evening."} | data)
    return answer.status_code, answer.content.decode()


def sent(client: Client, token: str, student: Student, **data: Any) -> tuple[int, str]:
    body = json.dumps({"key": uuid.uuid4().hex} | data)
    address = reverse("home:send", args=[token, student.pk])
    answer = client.post(address, body, content_type="application/json")
    return answer.status_code, answer.json().get("sentence", "")


@pytest.mark.parametrize(
    ("minutes", "sentence"),
    [
        ("900", "Minutes of Spots cannot be 900: 0 to 240."),
        ("-1", "Minutes of Spots cannot be -1: 0 to 240."),
        ("soon", "Minutes of Spots must be a whole number, not “soon”."),
        ("2.5", "Minutes of Spots must be a whole number, not “2.5”."),
        ("9" * 5000, "Minutes of Spots must be a whole number, not “99999999999999999999”."),
    ],
)
def test_minutes_on_the_plain_page(
    client: Client, token: str, student: Student, week: Assignment, minutes: str, sentence: str
) -> None:
    scale, bar3, bar7, _ = items_of(week)
    row = f"{bar3.pk} {bar7.pk}"
    data = {f"minutes-{row}": minutes, f"tempo-{bar3.pk}": "66", f"minutes-{scale.pk}": "8"}
    status, page = posted(client, day_url(token, student), done=[f"{scale.pk}", row], **data)
    assert (status, nothing_changed()) == (422, True)
    assert sentence in page
    # All that was filled in stands there again, and the field it speaks of is in sight.
    assert len(re.findall(r'name="(?:done|tempo-\d+)"[^>]* checked', page)) == 3
    assert f'value="{minutes}"' in page
    assert 'value="8"' in page
    assert "Long evening." in page
    assert page.count('aria-invalid="true"') == 1


@pytest.mark.parametrize("tempo", ["0", "19", "1000"])
def test_a_tempo_on_the_plain_page(
    client: Client, token: str, student: Student, week: Assignment, tempo: str
) -> None:
    bar3 = items_of(week)[1]
    status, page = posted(client, day_url(token, student), **{f"tempo-{bar3.pk}": tempo})
    assert (status, nothing_changed()) == (422, True)
    assert f"Tempo of {bar3.title} cannot be {tempo}" in page
    assert "Long evening." in page


@pytest.mark.parametrize(
    ("day", "sentence"),
    [
        (DAY + dt.timedelta(days=1), "Thursday 26 November is still to come."),
        (DAY + dt.timedelta(days=30), "Friday 25 December 2026 is in no week of Imani."),
        (dt.date(1990, 1, 1), "Monday 1 January 1990 is in no week of Imani."),
    ],
)
def test_a_day_outside_the_week_on_the_plain_page(
    client: Client,
    token: str,
    student: Student,
    week: Assignment,
    day: dt.date,
    sentence: str,
) -> None:
    done = [str(item.pk) for item in items_of(week, min(day, DAY + dt.timedelta(days=1)))[:1]]
    status, page = posted(client, day_url(token, student, day), done=done)
    assert (status, nothing_changed()) == (422, True)
    assert sentence in page
    assert "Long evening." in page or "still to come" in page


def test_a_day_of_the_week_before_is_found_and_can_still_be_filled_in(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    starts = week.starts - dt.timedelta(days=7)
    before = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    item = factories.ItemFactory.create(plan=before, date=starts, minutes=5, key="etude")
    address = day_url(token, student, starts)
    assert f'value="{item.pk}"' in client.get(address).content.decode()
    assert posted(client, address, done=[f"{item.pk}"])[0] == 302
    assert logged()["etude"][0]


TICK: dict[str, Any] = {"item": "the scale", "done": True}


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"ticks": [TICK | {"minutes": 900}]}, "Minutes of Scale cannot be 900: 0 to 240."),
        ({"ticks": [TICK | {"minutes": "soon"}]}, "Minutes must be a whole number, not “soon”."),
        ({"ticks": [TICK | {"minutes": 2.5}]}, "Minutes must be a whole number, not “2.5”."),
        ({"ticks": [TICK | {"minutes": 10**30}]}, f"Minutes of Scale cannot be {10**30}"),
        ({"ticks": [TICK | {"tempo": 0}]}, "Tempo of Scale cannot be 0: 20 to 300"),
        ({"ticks": [{"item": 987654, "done": True}]}, "not on this week’s sheet"),
        ({"ticks": [{"item": 10**30, "done": True}]}, "not on this week’s sheet"),
        ({"ticks": [{"item": -1, "done": True}]}, "not on this week’s sheet"),
        ({"ticks": [TICK] * 61}, "A message of 61 ticks is too long; 60 find room."),
        ({"word": "Hm.", "day": "1990-01-01"}, "Monday 1 January 1990 is more than 8 weeks ago"),
        ({"word": "Hm.", "day": "2026-02-30"}, "could not be read"),
        ({"word": "m" * 501}, "has 501 letters; 500 find room."),
    ],
)
def test_a_message_of_the_script(
    client: Client,
    token: str,
    student: Student,
    week: Assignment,
    data: dict[str, Any],
    sentence: str,
) -> None:
    scale = items_of(week)[0].pk
    ticks = [
        each | {"item": scale} if each["item"] == "the scale" else each
        for each in data.get("ticks", [])
    ]
    status, said = sent(client, token, student, **data | {"ticks": ticks})
    assert (status, nothing_changed()) == (422, True)
    assert sentence in said


def test_a_day_to_come_is_told_and_the_phone_keeps_the_message(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    status, said = sent(client, token, student, word="Hm.", day="2026-11-26")
    assert (status, nothing_changed()) == (503, True)
    assert said == "Thursday 26 November is still to come."


def test_one_bad_tick_keeps_the_whole_message_out(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    scale, bar3, *_ = items_of(week)
    good, bad = {"item": scale.pk, "done": True}, {"item": bar3.pk, "done": True, "tempo": 0}
    assert sent(client, token, student, ticks=[good, bad], word="And this.")[0] == 422
    assert nothing_changed()


def test_a_day_long_over_is_told_with_its_date(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    old = factories.ItemFactory.create(plan__assignment__student=student, date=LONG_AGO)
    _, said = sent(client, token, student, ticks=[{"item": old.pk, "done": True}])
    assert said == "Tuesday 29 September 2026 is more than 8 weeks ago: too old to take in."
    assert nothing_changed()


def test_a_replayed_message_changes_nothing_even_when_it_says_something_else(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    scale = items_of(week)[0]
    key = uuid.uuid4().hex
    assert sent(client, token, student, key=key, ticks=[{"item": scale.pk, "done": True}])[0] == 200
    again = {"key": key, "ticks": [{"item": scale.pk, "done": True, "minutes": 99}], "word": "Ha."}
    assert sent(client, token, student, **again)[0] == 200
    assert logged() == {"scale": (True, 6, None)}
    assert not Word.objects.exists()


def test_a_student_who_left_is_told_nothing_by_the_link_and_nothing_is_kept(
    client: Client, token: str, student: Student, week: Assignment
) -> None:
    """Two children: the address still opens the other's page, and not this one's."""
    factories.StudentFactory.create(family=student.family, given_name="Ngozi")
    student.leave(DAY)
    tick = {"item": items_of(week)[0].pk, "done": True}
    address = reverse("home:send", args=[token, student.pk])
    body = json.dumps({"key": uuid.uuid4().hex, "ticks": [tick]})
    assert client.post(address, body, content_type="application/json").status_code == 404
    assert posted(client, day_url(token, student), done=[f"{tick['item']}"])[0] == 404
    assert nothing_changed()


def test_a_child_cannot_tick_for_another(
    client: Client, token: str, student: Student, week: Assignment, other_student: Student
) -> None:
    """Neither a sister's item, nor one of another family or studio."""
    sister = factories.StudentFactory.create(family=student.family)
    neighbour = factories.StudentFactory.create(family__studio=student.family.studio)
    for whose in (sister, neighbour, other_student):
        item = factories.ItemFactory.create(plan__assignment__student=whose, date=DAY)
        status, said = sent(client, token, student, ticks=[{"item": item.pk, "done": True}])
        assert (status, "not on this week’s sheet" in said) == (422, True)
    assert nothing_changed()


@pytest.mark.django_db(transaction=True)
def test_the_script_tells_before_it_sends_and_keeps_what_was_typed(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone.goto(day_url(token, student))
    field = phone.get_by_label("Minutes, if not 6").first
    field.fill("900")
    phone.locator(".row .peg").first.click()
    expect(phone.locator("#net")).to_have_text(
        "Minutes of Scale + arpeggio cannot be 900: 0 to 240."
    )
    expect(field).to_be_visible()
    expect(field).to_have_value("900")
    assert_accessible(phone)
    assert nothing_changed()
    field.fill("9")
    field.press("Tab")
    expect(phone.locator("#net")).to_be_hidden()
    expect(phone.get_by_text("Marisol has it.")).to_be_visible()
    phone.wait_for_timeout(300)
    assert logged() == {"scale": (True, 9, None)}


@pytest.mark.django_db(transaction=True)
def test_a_word_the_studio_would_not_take_stands_in_its_field_again(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    """The page was opened on a day that the sheet no longer knows."""
    phone.goto(day_url(token, student))
    phone.evaluate("document.getElementById('home').dataset.day = '1990-01-01'")
    phone.locator("summary", has_text="Add a word").click()
    phone.locator("textarea").fill("Do not lose me.")
    phone.get_by_role("button", name="Send").click()
    expect(phone.locator("#net")).to_contain_text("more than 8 weeks ago")
    expect(phone.locator("textarea")).to_have_value("Do not lose me.")
    assert nothing_changed()


@pytest.mark.django_db(transaction=True)
def test_without_script_the_row_it_speaks_of_is_open(
    open_page: Callable[..., Page], token: str, student: Student, week: Assignment
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page.goto(day_url(token, student))
    field = page.get_by_label("Minutes, if not 6").first
    field.fill("900")
    page.locator(".row .peg").first.click()
    page.get_by_role("button", name="Send").click()
    expect(page.locator("#net")).to_contain_text("cannot be 900")
    expect(field).to_be_visible()
    expect(field).to_have_value("900")
