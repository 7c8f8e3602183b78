"""Working off a job: claimed through the database, drawn page by page, bound, told."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from practice.plans.models import Assignment
from practice.printing import store
from practice.printing.models import PrintJob, PrintPart
from practice.printing.orders import Answer, Binding, Order
from practice.printing.pens import Draws, Pens
from practice.reports import editions
from studio import clock
from studio.web.speaking import speaking

LEAST_ROOM = 200 * 1024**2  # bytes of disk
State = PrintJob.State
MakesPens = Callable[[int], AbstractContextManager[Draws]]


class Lost(Exception):
    """The job is no longer this worker's: cancelled, thrown away, or taken by another."""


class NotPrinted(Exception):
    """Nothing of the job can be printed; the text says why."""


def claim(me: str) -> PrintJob | None:
    """The oldest job nobody works on, from now on held by `me`."""
    now = clock.now()
    for job in PrintJob.objects.free(now).order_by("asked").select_related("studio", "term"):
        # One conditional write: of two processes only one gets it.
        if (
            PrintJob.objects.free(now)
            .filter(pk=job.pk)
            .update(state=State.WORKING, worker=me, beat=now)
        ):
            return job
    return None


def work_off(job: PrintJob, me: str, pens: MakesPens = Pens) -> None:
    """Draws what is not drawn yet and binds it all. Ends early where the job is taken away."""
    with speaking(job.studio):
        _work_off(job, me, pens)


def _work_off(job: PrintJob, me: str, pens: MakesPens) -> None:
    held = Held(job, me)
    try:
        store.open_folder(job.pk)
        _room_for_it(store.folder(job.pk))
        held.draw_again_what_is_gone()
        with pens(job.parts.to_draw().count()) as ready:
            held.draw(ready)
            held.bind(ready)
        held.end(State.READY)
        _sheets_are_printed(job)
        store.drop_parts(job.pk)
    except Lost:
        _leave(job)
    except NotPrinted as trouble:
        held.end(State.FAILED, str(trouble))
        store.drop(job.pk)
    except OSError as trouble:
        words = _("The pages could not be kept: {why}.").format(why=trouble.strerror)
        held.end(State.FAILED, words)
        store.drop(job.pk)


def _sheets_are_printed(job: PrintJob) -> None:
    drawn = job.parts.filter(drawn=True, sheet__isnull=False)
    weeks = Assignment.objects.filter(printed=None, plan__sheets__in=drawn.values("sheet"))
    weeks.update(printed=clock.now())


def _leave(job: PrintJob) -> None:
    """The files go with the job; where another process works on, they are its files."""
    if not PrintJob.objects.unfinished().filter(pk=job.pk).exists():
        store.drop(job.pk)


def _room_for_it(folder: Path) -> None:
    if shutil.disk_usage(folder).free < LEAST_ROOM:
        raise NotPrinted(_("The disk is nearly full. Make room, then print again."))


@dataclass(frozen=True)
class Held:
    """A job in the hands of worker `me`."""

    job: PrintJob
    me: str

    def beat(self) -> None:
        """Says that the worker is there. Raises Lost."""
        mine = PrintJob.objects.filter(pk=self.job.pk, worker=self.me, state=State.WORKING)
        if not mine.update(beat=clock.now()):
            raise Lost

    def draw_again_what_is_gone(self) -> None:
        """A row that says drawn, without its file, is drawn once more."""
        gone = [
            part.pk
            for part in self.job.parts.filter(drawn=True)
            if not store.part(self.job.pk, part.number).is_file()
        ]
        PrintPart.objects.filter(pk__in=gone).update(drawn=False)

    def draw(self, pens: Draws) -> None:
        for answer in pens.draw(self.orders()):
            if answer is None:
                self.beat()
            else:
                self.note(answer)

    def orders(self) -> Iterator[Order]:
        """One for each part that is not drawn; its data are read when its turn comes."""
        for pk in list(self.job.parts.to_draw().values_list("pk", flat=True)):
            part = PrintPart.objects.select_related("report", "sheet").filter(pk=pk).first()
            if part is not None:
                file = str(store.part(self.job.pk, part.number))
                yield Order(part.pk, self.job.kind, file, data_of(part))

    def note(self, answer: Answer) -> None:
        """Writes down what became of one part. Raises Lost, and NotPrinted for all of them."""
        if answer.nobodys:
            raise NotPrinted(answer.trouble)
        with transaction.atomic():
            self.beat()
            part = PrintPart.objects.filter(pk=answer.key)
            part.update(drawn=not answer.trouble, trouble=answer.trouble[:400])

    def bind(self, pens: Draws) -> None:
        drawn = list(self.job.parts.filter(drawn=True).select_related("student"))
        if not drawn:
            raise NotPrinted(_("No page could be drawn."))
        binding = Binding(
            self.job.title,
            [str(store.part(self.job.pk, part.number)) for part in drawn],
            [file_name(part) for part in drawn],
        )
        for answer in pens.draw([binding.order(store.folder(self.job.pk))]):
            self.beat()
            if answer and answer.trouble:
                said = _("The pages could not be bound. {why}")
                raise NotPrinted(said.format(why=answer.trouble))

    def end(self, state: str, trouble: str = "") -> None:
        mine = PrintJob.objects.filter(pk=self.job.pk, worker=self.me, state=State.WORKING)
        if not mine.update(state=state, trouble=trouble[:400], ended=clock.now()):
            _leave(self.job)


def data_of(part: PrintPart) -> dict[str, object]:
    """What is drawn: a report as it was given, a sheet as it was frozen."""
    if part.report is not None:
        return editions.as_given(part.report).to_json()
    return dict(part.sheet.data) if part.sheet is not None else {}


def file_name(part: PrintPart) -> str:
    """ "07-imani.pdf": first name only, numbered in the order of lessons."""
    name = slugify(part.student.given_name, allow_unicode=True) or f"student-{part.student_id}"
    return f"{part.number:02}-{name}.pdf"


def sweep() -> None:
    """Deletes what is over its time, and files of which no row knows."""
    now = clock.now()
    PrintJob.objects.filter(ended__gt=now).update(ended=now)  # a clock that was ahead
    PrintJob.objects.expired(now).delete()
    there = set(PrintJob.objects.values_list("pk", flat=True))
    for orphan in store.jobs() - there:
        store.drop(orphan)
