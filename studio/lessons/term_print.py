"""The term on paper: one page a family, and one for the wall."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.language.lists import listed
from studio.lessons.feed import shown_names
from studio.lessons.models import Lesson, LessonRules, Slot
from studio.lessons.statements import Account
from studio.lessons.week_page import Block, lesson_blocks
from studio.people.models import Family, Student
from studio.terms.models import Closure, Term
from studio.web import qr
from studio.web.pdf import press

STYLES = ("term_print.css",)
SIZES = ("huge", "large", "usual", "close", "dense", "tiny")  # classes, tried until all fits
# Most lines in one column at which a family's page begins with that size.
LINES = {"huge": 10, "large": 16, "usual": 21, "close": 26, "dense": 32}


@dataclass(frozen=True)
class FamilyPage:
    """What one family's page shows; `code` is the address of its calendar, if there is one."""

    family: Family
    columns: list[tuple[Student, list[Lesson]]]
    code: str | None = None

    @property
    def lines(self) -> int:
        """Lessons of the child who has most."""
        return max(len(lessons) for _, lessons in self.columns)

    @property
    def folded(self) -> bool:
        """One child with very many lessons gets two columns."""
        return len(self.columns) == 1 and self.lines > LINES["close"]

    @property
    def size(self) -> int:
        """Index of the size the longest column fits in; three children need a narrow one."""
        lines = -(-self.lines // 2) if self.folded else self.lines
        fits = next(n for n, size in enumerate(SIZES) if lines <= LINES.get(size, lines))
        return max(fits, len(self.columns) - 1, 2 if self.folded else 0)


def term_closures(term: Term) -> list[Closure]:
    return list(
        Closure.objects.filter(studio=term.studio, starts__lte=term.ends, ends__gte=term.starts)
    )


def family_pages(
    term: Term, families: list[Family], codes: dict[int, str | None]
) -> list[FamilyPage]:
    """Pages of the families with lessons in the term, one query for all of them."""
    lessons: dict[int, list[Lesson]] = {}
    rows = Lesson.objects.filter(
        student__family__in=families,
        date__gte=term.starts,
        date__lte=term.ends,
        status__in=[Lesson.Status.PLANNED, Lesson.Status.KEPT],
    ).order_by("date", "starts")
    for row in rows:
        lessons.setdefault(row.student_id, []).append(row)
    pages = []
    for family in families:
        columns = [
            (student, lessons[student.pk])
            for student in family.students.all()
            if student.pk in lessons
        ]
        if columns:
            pages.append(FamilyPage(family, columns, codes.get(family.pk)))
    return pages


def families_pdf(term: Term, pages: list[FamilyPage]) -> bytes:
    """One page a family, all in one PDF."""
    pictures = {f"code-{page.family.pk}": qr.svg(page.code) for page in pages if page.code}
    context = {
        "term": term,
        "pages": pages,
        "closures": term_closures(term),
        "rules": LessonRules.of(term.studio),
    }
    title = _("Lessons of {term}").format(term=term.name)
    return _one_page_each(
        "terms/print_families.html", term.studio, title, context, pictures, len(pages)
    )


def wall_pdf(term: Term, today: dt.date) -> bytes:
    """The standing week, the closed days, and what lies elsewhere than usual, on one page."""
    names = shown_names(Student.objects.of(term.studio))
    slots = [
        slot
        for slot in Slot.objects.filter(studio=term.studio).prefetch_related("students")
        if slot.first_day <= term.ends
        and (slot.last_day is None or slot.last_day >= max(today, term.starts))
    ]
    context = {
        "term": term,
        "days": _standing_week(term.studio, slots, names),
        "closures": term_closures(term),
        "elsewhere": _elsewhere(term, today, names),
    }
    title = _("{term} on the wall").format(term=term.name)
    return _one_page_each("terms/print_wall.html", term.studio, title, context, {}, 1)


def _standing_week(
    studio: Studio, slots: list[Slot], names: dict[int, str]
) -> list[tuple[str, list[tuple[Slot, str]]]]:
    """Weekday name and its slots, from the studio's first weekday; empty days drop out."""
    week = []
    for offset in range(7):
        weekday = (studio.week_start + offset) % 7
        day = [
            (slot, listed([names[student.pk] for student in slot.students.all()]))
            for slot in slots
            if slot.weekday == weekday
        ]
        if day:
            week.append((day[0][0].get_weekday_name(), day))
    return week


def _elsewhere(term: Term, today: dt.date, names: dict[int, str]) -> list[Block]:
    """Coming lessons moved by hand, and make-ups."""
    rows = (
        Lesson.objects.of(term.studio)
        .within(max(term.starts, today), term.ends)
        .filter(status=Lesson.Status.PLANNED, moved_by_hand=True)
        .select_related("student")
        .order_by("date", "starts", "slot", "pk")
    )
    return lesson_blocks(rows, names)


def statement_pdf(term: Term, family: Family, accounts: list[Account], today: dt.date) -> bytes:
    context = {
        "term": term,
        "family": family,
        "accounts": accounts,
        "today": today,
        "rules": LessonRules.of(term.studio),
    }
    title = _("Lessons of {term}, {family}").format(term=term.name, family=family.name)
    with press() as ready:
        html = _html("terms/print_statement.html", term.studio, title, context)
        return ready.write(ready.lay_out(html, STYLES, {}))


def _one_page_each(
    template: str,
    studio: Studio,
    title: str,
    context: dict[str, object],
    pictures: dict[str, str],
    pages: int,
) -> bytes:
    """The roomiest size at which nothing runs over; the smallest one may."""
    with press() as ready:
        for smaller in range(len(SIZES)):
            html = _html(template, studio, title, {**context, "smaller": smaller})
            document = ready.lay_out(html, STYLES, pictures)
            if len(document.pages) <= pages:
                break
        return ready.write(document)


def _html(template: str, studio: Studio, title: str, context: dict[str, object]) -> str:
    return render_to_string(
        template,
        {
            "title": title,
            "studio": studio,
            "language": studio.locale,
            "paper": studio.paper.lower(),
            **context,
        },
    )
