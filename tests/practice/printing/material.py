"""Reports that are given, and pens that draw in this process or only say they did."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

from practice.models import PrintJob, Report
from practice.printing import store, work
from practice.printing.orders import BIND, Answer, Order
from practice.reports import editions
from studio import clock
from studio.models import Student, Studio, Term
from tests import factories
from tests.practice.reports.material import STARTS, report_data

NAMES = ("Imani", "Bảo", "Łucja")


def given_report(term: Term, student: Student, words: str = "She *listens*.") -> Report:
    editions.keep_words(term, student, words)
    draft = Report.objects.get(term=term, student=student)
    figures = report_data(student=student.given_name, given=None, words="")
    return editions.give(draft, figures, None, clock.now(), "UTC")


def given_reports(term: Term, names: Iterable[str] = NAMES) -> list[Student]:
    """Students whose lessons follow each other, each with a report."""
    found = []
    for number, name in enumerate(names):
        who = factories.StudentFactory.create(family__studio=term.studio, given_name=name)
        factories.LessonFactory.create(
            student=who, date=STARTS + dt.timedelta(days=number % 5), starts=dt.time(9 + number % 9)
        )
        given_report(term, who)
        found.append(who)
    return found


class ScriptedPens:
    """Stands in for the processes: writes a line in place of a PDF, and keeps what was drawn.

    `troubles` are answers by student's name; `stop_after` raises after so many pages, as a killed
    process would stop.
    """

    def __init__(
        self, troubles: dict[str, Answer] | None = None, stop_after: int | None = None
    ) -> None:
        self.troubles, self.stop_after = troubles or {}, stop_after
        self.drawn: list[str] = []
        self.bound: list[str] = []

    def __call__(self, orders: int) -> ScriptedPens:
        return self

    def __enter__(self) -> ScriptedPens:
        return self

    def __exit__(self, *_: object) -> None: ...

    def draw(self, orders: Iterable[Order]) -> Iterator[Answer | None]:
        for order in orders:
            if order.kind == BIND:
                self.bound = [Path(part).read_text() for part in order.data["parts"]]
                store.write(Path(order.file) / store.PDF, "".join(self.bound).encode())
                store.write(Path(order.file) / store.ZIP, b"zip")
                yield Answer(order.key)
                continue
            if self.stop_after is not None and len(self.drawn) >= self.stop_after:
                raise KeyboardInterrupt
            name = str(order.data["student"])
            trouble = self.troubles.get(name, Answer(0))
            if not trouble.trouble:
                self.drawn.append(name)
                store.write(Path(order.file), f"{name}\n".encode())
            yield None
            yield Answer(order.key, trouble.trouble, trouble.nobodys)


def worked_off(pens: work.MakesPens, me: str = "one") -> PrintJob:
    """The job that was waiting, as it is afterwards."""
    job = work.claim(me)
    assert job is not None
    work.work_off(job, me, pens)
    job.refresh_from_db()
    return job


def a_term(studio: Studio) -> Term:
    made: Term = factories.TermFactory.create(studio=studio)
    return made
