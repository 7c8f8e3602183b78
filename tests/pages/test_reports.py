"""Reports as the teacher meets them: the list, writing, giving, correcting, paper."""

from __future__ import annotations

import datetime as dt
import io
from typing import Any

import pypdf
import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page, expect

from practice.models import LessonNote, Report
from studio.models import Student, Studio, Term
from tests import factories
from tests.conftest import FrozenClock
from tests.pages.axe import assert_accessible
from tests.pages.filled import filled
from tests.practice.reports.material import STARTS, played

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def term(studio: Studio) -> Term:
    return factories.TermFactory.create(studio=studio)


def address(name: str, term: Term, student: Student | None = None, *more: int) -> str:
    one = [student.pk] if student else []
    return reverse(f"reports:{name}", args=[term.pk, *one, *more])


def full_term(student: Student) -> None:
    spot = factories.SpotFactory.create(piece__student=student)
    factories.ScaleInHandFactory.create(student=student, since=STARTS)
    for week in range(6):
        date = STARTS + dt.timedelta(weeks=week)
        played(student, date, "scale", 10, 12)
        played(student, date, "spot", 8, 8, tempo=50 + 4 * week, spot=spot)
        lesson = factories.LessonFactory.create(student=student, date=date, status="kept")
        LessonNote.objects.create(lesson=lesson, text=f"Thumb soft, week {week}.")


def post(client: Client, where: str, **data: str) -> Any:
    return client.post(where, data)


def give(client: Client, term: Term, student: Student, words: str = "She listens.") -> Any:
    return post(client, address("give", term, student), words=words)


def test_the_head_leads_to_the_reports(signed_in: Client, term: Term) -> None:
    page = signed_in.get(reverse("reports:term")).content.decode()
    assert '<a href="/reports/" aria-current="page">Reports</a>' in page


def test_a_studio_without_terms_is_told_what_to_do(signed_in: Client) -> None:
    page = signed_in.get(reverse("reports:term")).content.decode()
    assert "No term yet" in page


def test_the_list_says_who_has_no_words_yet(
    signed_in: Client, studio: Studio, term: Term, student: Student
) -> None:
    other = factories.StudentFactory.create(family__studio=studio, given_name="Bảo")
    post(signed_in, address("draft", term, student), words="She listens.")
    page = signed_in.get(reverse("reports:term")).content.decode()
    assert "has words, not given" in page
    nobody = page[page.index("No words yet <small>") :]
    assert "Bảo" in nobody
    assert "Imani" not in nobody
    give(signed_in, term, other)
    assert "given 25 Nov 2026" in signed_in.get(reverse("reports:term")).content.decode()


def test_the_page_holds_figures_notes_and_starters(
    signed_in: Client, term: Term, student: Student
) -> None:
    full_term(student)
    page = signed_in.get(address("report", term, student)).content.decode()
    for words in (
        "<b>2 h</b> of 1 h 48 min planned",
        "Thumb soft, week 5.",
        "Imani practised 2 h at home, in 6 weeks, of 1 h 48 min planned.",
        'spellcheck="true"',
        "Minutes practised of minutes planned: week 1, 20 of 18;",
    ):
        assert words in page, words
    assert page.index("week 5.") < page.index("week 0.")


def test_words_are_kept_without_script(signed_in: Client, term: Term, student: Student) -> None:
    where = address("report", term, student)
    form = filled(signed_in.get(where).content, "words")
    form["words"] = ["She listens.\nNow the bow."]
    answer = signed_in.post(address("draft", term, student), form, follow=True)
    assert filled(answer.content, "words")["words"] == ["She listens.\nNow the bow."]
    assert Report.objects.get().words.splitlines() == ["She listens.", "Now the bow."]


def test_twenty_thousand_characters_are_kept_and_one_more_is_not(
    signed_in: Client, term: Term, student: Student
) -> None:
    most = "w" * 20_000
    assert post(signed_in, address("draft", term, student), words=most).status_code == 302
    answer = post(signed_in, address("draft", term, student), words=most + "x")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "20001 characters are too many; at most 20000 fit." in page
    assert most + "x" in page
    assert Report.objects.get().words == most
    answer = give(signed_in, term, student, most)
    assert answer.status_code == 422
    assert "does not fit on two pages" in answer.content.decode()
    assert Report.objects.get().given is None


def test_a_starter_is_put_after_what_is_typed(
    signed_in: Client, term: Term, student: Student
) -> None:
    full_term(student)
    where = address("start", term, student)
    post(signed_in, where, words="She listens.", starter="lessons")
    assert Report.objects.get().words == "She listens. Imani came to all 6 lessons."
    post(signed_in, where, words="She listens.", starter="nonsense")
    assert Report.objects.get().words == "She listens."


def test_given_it_stays_and_a_correction_is_a_second_edition(
    signed_in: Client, term: Term, student: Student, frozen: FrozenClock
) -> None:
    full_term(student)
    assert give(signed_in, term, student).status_code == 302
    first = signed_in.get(address("edition-pdf", term, student, 1)).content
    played(student, STARTS + dt.timedelta(days=1), "etude", 30, 30)
    page = signed_in.get(address("report", term, student)).content.decode()
    assert "It does not change any more" in page
    assert "<b>2 h</b> of" in page
    frozen.move(days=3)
    answer = post(signed_in, address("draft", term, student), words="Other words.")
    assert answer.status_code == 422
    assert "Other words." in answer.content.decode()
    post(signed_in, address("correct", term, student))
    assert give(signed_in, term, student, "She listens well.").status_code == 302
    page = signed_in.get(address("report", term, student)).content.decode()
    assert "as edition 2, which corrects the report of 25 November 2026" in page
    assert "<b>2 h 30 min</b> of" in page
    assert signed_in.get(address("edition-pdf", term, student, 1)).content == first
    assert [row.edition for row in Report.objects.given()] == [1, 2]


def test_given_words_show_their_stress_and_no_tags(
    signed_in: Client, term: Term, student: Student
) -> None:
    give(signed_in, term, student, "She *listens* <b>now</b>.")
    page = signed_in.get(address("report", term, student)).content.decode()
    assert "She <em>listens</em> &lt;b&gt;now&lt;/b&gt;." in page


def test_every_point_of_a_tempo_line_stands_in_the_table(
    signed_in: Client, term: Term, student: Student
) -> None:
    full_term(student)
    page = signed_in.get(address("report", term, student)).content.decode()
    # One tempo a week, from 50 by 4: worked out from the rows above.
    told = ", ".join(f"{week}:\N{NO-BREAK SPACE}{46 + 4 * week}" for week in range(1, 7))
    assert f"<td>{told}</td>" in page
    assert f"by week {told}" in page


def test_a_log_in_the_future_is_told_and_counts_nowhere(
    signed_in: Client, term: Term, student: Student
) -> None:
    played(student, dt.date(2026, 11, 25), "scale", 10, 10)
    played(student, dt.date(2026, 11, 30), "scale", 10, 45)
    page = signed_in.get(address("report", term, student)).content.decode()
    assert "<b>10 min</b> of 10 min planned" in page
    assert "1 day after that has ticks already, which do not count." in page


def test_without_words_nothing_is_given(signed_in: Client, term: Term, student: Student) -> None:
    answer = give(signed_in, term, student, " ")
    assert answer.status_code == 422
    assert "has no words yet" in answer.content.decode()


def test_every_draft_with_words_is_given_at_once(
    signed_in: Client, studio: Studio, term: Term
) -> None:
    for number, name in enumerate(["Imani", "Bảo", "Łucja"]):
        who = factories.StudentFactory.create(family__studio=studio, given_name=name)
        factories.LessonFactory.create(student=who, date=STARTS, starts=dt.time(15 + number))
        post(signed_in, address("draft", term, who), words=f"{name} listens.")
    silent = factories.StudentFactory.create(family__studio=studio, given_name="Sefa")
    answer = signed_in.post(address("give-all", term), follow=True)
    assert "3 reports given." in answer.content.decode()
    assert not silent.reports.exists()


def test_full_names_stay_off_the_paper(signed_in: Client, term: Term, student: Student) -> None:
    give(signed_in, term, student)
    reader = pypdf.PdfReader(io.BytesIO(signed_in.get(address("pdf", term, student)).content))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "Imani" in text
    assert "Okonkwo" not in text


@pytest.mark.parametrize("name", ["report", "draft", "start", "give", "correct", "pdf"])
def test_another_teachers_student_is_not_there(
    signed_in: Client, term: Term, student: Student, other_student: Student, name: str
) -> None:
    theirs = factories.TermFactory.create(studio=other_student.family.studio)
    method = signed_in.get if name in ("report", "pdf") else signed_in.post
    for pair in ((term, other_student), (theirs, other_student), (theirs, student)):
        assert method(address(name, *pair), {"words": "Mine"}).status_code == 404
    assert not Report.objects.exists()


@pytest.mark.parametrize("name", ["of-term", "give-all"])
def test_another_teachers_term_is_not_there(
    signed_in: Client, term: Term, other_student: Student, name: str
) -> None:
    theirs = factories.TermFactory.create(studio=other_student.family.studio)
    report = Report.objects.create(term=theirs, student=other_student, words="Theirs")
    method = signed_in.post if name == "give-all" else signed_in.get
    assert method(address(name, theirs)).status_code == 404
    report.refresh_from_db()
    assert report.given is None


def test_another_teachers_edition_is_not_there(
    signed_in: Client, client: Client, other_student: Student
) -> None:
    theirs = factories.TermFactory.create(studio=other_student.family.studio)
    client = Client()
    client.force_login(other_student.family.studio.owner)
    assert give(client, theirs, other_student).status_code == 302
    where = address("edition-pdf", theirs, other_student, 1)
    assert client.get(where).status_code == 200
    assert signed_in.get(where).status_code == 404
    assert "Sora" not in signed_in.get(reverse("reports:term")).content.decode()


def test_queries_do_not_grow(
    signed_in: Client, studio: Studio, term: Term, django_assert_max_num_queries: Any
) -> None:
    students = [factories.StudentFactory.create(family__studio=studio) for _ in range(9)]
    for each in students:
        full_term(each)
        post(signed_in, address("draft", term, each), words="She listens.")
    with django_assert_max_num_queries(10):
        signed_in.get(reverse("reports:term"))
    with django_assert_max_num_queries(24):
        signed_in.get(address("report", term, students[0]))


@pytest.mark.django_db(transaction=True)
def test_words_are_kept_as_they_are_typed(teacher_page: Page, term: Term, student: Student) -> None:
    full_term(student)
    teacher_page.goto(address("report", term, student))
    field = teacher_page.get_by_label("Words about Imani")
    field.fill("She listens.")
    expect(teacher_page.locator("#kept")).to_have_text("Kept, 12 characters.")
    assert Report.objects.get().words == "She listens."
    teacher_page.get_by_role("button", name="Put in Lessons").click()
    expect(field).to_have_value("She listens. Imani came to all 6 lessons.")
    field.press("Control+End")
    field.type(" Now the bow.")
    expect(teacher_page.locator("#kept")).to_have_text("Kept, 54 characters.")
    field.fill("w" * 20_001)
    expect(teacher_page.locator("#kept")).to_contain_text("at most 20000 fit")
    assert Report.objects.get().words.endswith("Now the bow.")


@pytest.mark.django_db(transaction=True)
def test_axe_finds_nothing(teacher_page: Page, term: Term, student: Student) -> None:
    full_term(student)
    for lesson in student.lessons.all():
        LessonNote.objects.create(lesson=lesson, text="So many words of it that it scrolls. " * 9)
    for state in ("writing", "given"):
        teacher_page.goto(reverse("reports:term"))
        assert_accessible(teacher_page)
        teacher_page.goto(address("report", term, student))
        for each in teacher_page.locator("summary").all():
            each.click()
        assert_accessible(teacher_page)
        if state == "writing":
            teacher_page.get_by_label("Words about Imani").fill("She listens.")
            teacher_page.get_by_role("button", name="Give", exact=True).click()
            expect(teacher_page.get_by_text("It does not change any more")).to_be_visible()
