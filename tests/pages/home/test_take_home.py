"""The take-home file works from a folder without a network, and its log comes back once."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import re
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect

from practice.home.take_home import take_home_file
from practice.models import Assignment, Item, LogEntry, Spot, Word
from studio.models import Student
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY, NOW
from tests.pages.axe import assert_accessible
from tests.pages.home.weeks import file_in, phone_at_now

pytestmark = pytest.mark.usefixtures("frozen")
MOST_BYTES = 400_000
BARS = "X:1\nM:3/4\nL:1/4\nK:G\nG A B|]"


def log_of(week: Assignment, **changed: Any) -> dict[str, Any]:
    """What take_home.js writes for one tick, made here by hand from its documentation."""
    sheet = take_home_file(week, DAY).partition('data-sheet="')[2].partition('"')[0]
    item = Item.objects.get(date=DAY, key="scale:1")
    tick = {"item": item.pk, "done": True, "minutes": 8, "tempo": None}
    message = {
        "key": uuid.uuid4().hex,
        "at": NOW.timestamp() * 1000,
        "day": DAY.isoformat(),
        "word": "In tune!",
        "ticks": [tick],
    }
    return {"format": "practice-log", "version": 1, "sheet": sheet, "messages": [message]} | changed


def sealed(log: dict[str, Any]) -> bytes:
    text = json.dumps(log)
    return json.dumps({"log": text, "sha256": hashlib.sha256(text.encode()).hexdigest()}).encode()


def dropped(client: Client, content: bytes) -> tuple[int, str]:
    file = SimpleUploadedFile("imani-log.json", content, "application/json")
    answer = client.post(reverse("desk:drop"), {"file": file}, follow=True)
    return answer.status_code, answer.content.decode()


def test_a_log_is_taken_in_once(signed_in: Client, student: Student, week: Assignment) -> None:
    content = sealed(log_of(week))
    assert "Imani’s log is taken in: 1 new entry." in dropped(signed_in, content)[1]
    entry = LogEntry.objects.get()
    assert (entry.minutes, entry.source, Word.objects.get().text) == (8, "file", "In tune!")
    assert "Nothing was changed." in dropped(signed_in, content)[1]
    assert (LogEntry.objects.count(), Word.objects.count()) == (1, 1)


def test_bad_foreign_and_old_files_are_told_and_change_nothing(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    good = log_of(week)
    torn = sealed(good).replace(b"In tune!", b"In tune?")
    message = good["messages"][0]
    gone = message | {"ticks": [message["ticks"][0] | {"item": 987654}]}
    huge = message | {"key": uuid.uuid4().hex, "ticks": [message["ticks"][0] | {"minutes": 900}]}
    cases = [
        (b"\x89PNG", "is no practice log"),
        (b"[]", "is no practice log"),
        (b"[" * 100_000, "is no practice log"),
        (b'{"log": 3, "sha256": ""}', "is no practice log"),
        (b" " * 1_000_001, "too large"),
        (b"", "is empty"),
        (torn, "is damaged or was changed"),
        (sealed(good | {"format": "other"}), "is no practice log"),
        (sealed(good | {"version": 2}), "is of version 2"),
        (sealed(good | {"sheet": "made:up"}), "not in your studio"),
        (sealed(good | {"messages": [{}]}), "cannot be read"),
        (sealed(good | {"messages": [message | {"at": 1e300}]}), "cannot be read"),
        (sealed(good | {"messages": [message, gone | {"key": "0" * 32}]}), "not on this week"),
        (sealed(good | {"messages": [message, huge]}), "cannot be 900"),
    ]
    for content, sentence in cases:
        status, page = dropped(signed_in, content)
        assert (status, sentence in page) == (422, True), (sentence, content[:60])
        assert not LogEntry.objects.exists()
        assert not Word.objects.exists()


def test_a_log_of_another_studio_or_of_a_student_who_left_changes_nothing(
    signed_in: Client, student: Student, other_student: Student, week: Assignment
) -> None:
    theirs = factories.PlanFactory.create(assignment__student=other_student).assignment
    sheet = take_home_file(theirs, DAY).partition('data-sheet="')[2].partition('"')[0]
    content = sealed(log_of(week, sheet=sheet))
    assert "not in your studio" in dropped(signed_in, content)[1]
    own = sealed(log_of(week))
    student.status, student.left = Student.Status.LEFT, DAY
    student.save()
    assert "Imani has left" in dropped(signed_in, own)[1]
    assert not LogEntry.objects.exists()


def test_another_studios_week_is_no_file(signed_in: Client, other_student: Student) -> None:
    theirs = factories.PlanFactory.create(assignment__student=other_student).assignment
    assert signed_in.get(reverse("home:take-home", args=[theirs.pk])).status_code == 404


def test_the_file_is_small_and_asks_nobody(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    answer = signed_in.get(reverse("home:take-home", args=[week.pk]))
    assert answer.headers["Content-Disposition"] == 'attachment; filename="imani-2026-11-23.html"'
    assert len(answer.content) < MOST_BYTES
    assert b"Okonkwo" not in answer.content
    assert not re.search(rb'(src|href)="(http|/static)', answer.content)
    assert b"url(../" not in answer.content


class Folder:
    """The file opened from a folder on a phone, whose clock stands at NOW."""

    def __init__(self, browser: Browser, week: Assignment, folder: Path) -> None:
        self.address = file_in(folder, week)
        self.context = phone_at_now(browser)
        self.asked: list[str] = []
        self.troubles: list[str] = []
        self.context.on("request", lambda request: self.asked.append(request.url))

    def open(self) -> Page:
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        page.goto(self.address)
        return page

    def close(self) -> None:
        self.context.close()
        assert not self.troubles
        assert all(url.startswith(("file:", "data:", "blob:")) for url in self.asked)


@pytest.fixture
def folder(browser: Browser, week: Assignment, tmp_path: Path) -> Iterator[Folder]:
    made = Folder(browser, week, tmp_path)
    yield made
    made.close()


def tick_two_days(home: Page) -> None:
    home.locator(".row .peg").first.click()
    home.locator(".tempi label", has_text="66").first.click()
    home.get_by_role("link", name="Tuesday 24 November").click()
    expect(home.get_by_role("heading", level=1)).to_have_text("Imani’s Tuesday")
    home.locator(".row .peg").first.click()


@pytest.mark.django_db(transaction=True)
def test_a_day_to_come_is_shown_and_not_ticked(folder: Folder) -> None:
    home = folder.open()
    home.get_by_role("link", name="Thursday 26 November").click()
    expect(home.get_by_role("heading", level=1)).to_have_text("Imani’s Thursday")
    expect(home.get_by_role("checkbox").first).to_be_disabled()


@pytest.mark.django_db(transaction=True)
def test_what_was_ticked_is_there_when_the_file_is_opened_again(folder: Folder) -> None:
    home = folder.open()
    tick_two_days(home)
    home.close()
    again = folder.open()
    expect(again.get_by_role("checkbox").first).to_be_checked()
    expect(again.locator("#done-minutes")).to_have_text("6")
    drawn = "() => document.querySelector('.music img').naturalWidth > 100"
    again.wait_for_function(drawn)
    assert_accessible(again)


@pytest.mark.django_db(transaction=True)
def test_from_the_folder_to_the_desk(
    folder: Folder, teacher_page: Page, tmp_path: Path, student: Student
) -> None:
    home = folder.open()
    tick_two_days(home)
    home.locator("summary", has_text="Add a word").click()
    home.locator("textarea").fill("Ça sonne: “C is low” 🎻")
    with home.expect_download() as download:
        home.get_by_role("button", name="Write the log").click()
    log = tmp_path / "log.json"
    download.value.save_as(log)
    assert download.value.suggested_filename == "imani-2026-11-23-log.json"

    teacher_page.goto(reverse("desk:drop"))
    assert_accessible(teacher_page)
    teacher_page.get_by_label("Log file").set_input_files(log)
    teacher_page.get_by_role("button", name="Take it in").click()
    expect(teacher_page.get_by_text("Imani’s log is taken in: 4 new entries.")).to_be_visible()
    done = LogEntry.objects.filter(done=True).values_list("item__date", "item__key")
    assert set(done) == {(DAY, "scale:1"), (DAY - dt.timedelta(days=1), "scale:1")}
    assert LogEntry.objects.get(tempo=66).item.spot == Spot.objects.get(first_bar=3)
    assert Word.objects.get().text == "Ça sonne: “C is low” 🎻"


def test_bowings_and_simpler_keys_are_in_the_file_with_their_notes(week: Assignment) -> None:
    spot = Spot.objects.get(first_bar=3)
    spot.excerpt, spot.easier_key = BARS, "C major"
    spot.save()
    week.student.scales.update(bowing_1=f"spot:{spot.pk}", bowing_2="slur2+long-short")
    file = take_home_file(week, DAY)
    data = re.search(r'<script id="pictures"[^>]*>(.*?)</script>', file, re.S)
    assert data is not None
    pictures = json.loads(data[1])
    kinds = [address.split("/")[2] for address in pictures]
    assert sorted(kinds) == ["bowed-arpeggio", "bowing", "bowing", "excerpt", "excerpt", "scale"]
    assert all(
        each["svg"].startswith("<svg") and each["notes"]["notes"] for each in pictures.values()
    )
    assert "First in C major." in file
    assert len(file.encode()) < MOST_BYTES


def test_an_old_log_is_told_with_its_day_and_changes_nothing(
    signed_in: Client, student: Student, week: Assignment, frozen: FrozenClock
) -> None:
    content = sealed(log_of(week))
    frozen.move(days=7 * 8 + 1)
    status, page = dropped(signed_in, content)
    assert status == 422
    assert "Wednesday 25 November 2026 is more than 8 weeks ago: too old to take in." in page
    assert not LogEntry.objects.exists()
    frozen.move(days=-1)
    assert "1 new entry" in dropped(signed_in, content)[1]


def test_a_log_with_more_than_finds_room_is_not_cut_short(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    """Nothing of it is dropped in silence: all or nothing."""
    good = log_of(week)
    message = good["messages"][0]
    many = sealed(good | {"messages": [message | {"word": ""}] * 2001})
    assert "This log has 2001 messages; 2000 find room." in dropped(signed_in, many)[1]
    long = message | {"ticks": message["ticks"] * 61}
    assert "61 ticks is too long" in dropped(signed_in, sealed(good | {"messages": [long]}))[1]
    assert not LogEntry.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_impossible_minutes_never_reach_the_log(folder: Folder) -> None:
    """One such message would keep the whole log out, and home could not take it back."""
    home = folder.open()
    field = home.get_by_label("Minutes, if not 6").first
    field.fill("900")
    field.press("Tab")
    expect(home.locator("#net")).to_have_text(re.compile("cannot be 900: 0 to 240"))
    kept = "Object.values(localStorage).join('')"
    assert "900" not in home.evaluate(kept)
    field.fill("9")
    home.locator(".row .peg").first.click()
    home.wait_for_function(f"() => {kept}.includes('\"minutes\":9')")
