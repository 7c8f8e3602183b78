"""A job from asking to its files: claimed once, taken up again, cancelled, swept away."""

from __future__ import annotations

import datetime as dt
import stat
import uuid
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import IntegrityError, connections, transaction

from practice.models import PrintJob, PrintPart, Report
from practice.printing import ask, store, work
from practice.printing.orders import Answer
from studio.models import Term
from tests.conftest import FrozenClock
from tests.practice.printing.material import NAMES, ScriptedPens, worked_off

pytestmark = pytest.mark.usefixtures("frozen")
State = PrintJob.State


def test_all_are_drawn_in_the_order_of_lessons_and_bound(job: PrintJob) -> None:
    pens = ScriptedPens()
    done = worked_off(pens)
    assert (done.state, done.trouble) == (State.READY, "")
    assert [line.strip() for line in pens.bound] == list(NAMES)
    assert [work.file_name(part) for part in done.parts.all()] == [
        "01-imani.pdf",
        "02-bảo.pdf",
        "03-łucja.pdf",
    ]


def test_files_are_closed_to_everybody_else_and_the_parts_go(job: PrintJob) -> None:
    worked_off(ScriptedPens())
    folder = store.folder(job.pk)
    assert sorted(path.name for path in folder.iterdir()) == [store.PDF, store.ZIP]
    modes = {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
    assert modes == {0o600}
    assert stat.S_IMODE(folder.stat().st_mode) == stat.S_IMODE(store.root().stat().st_mode) == 0o700


def test_whoever_cannot_be_drawn_is_named_and_the_rest_is_printed(job: PrintJob) -> None:
    pens = ScriptedPens({"Bảo": Answer(0, "The page could not be drawn (KeyError).")})
    done = worked_off(pens)
    assert done.state == State.READY
    assert [line.strip() for line in pens.bound] == ["Imani", "Łucja"]
    assert [(part.student.given_name, part.drawn, part.trouble) for part in done.parts.all()] == [
        ("Imani", True, ""),
        ("Bảo", False, "The page could not be drawn (KeyError)."),
        ("Łucja", True, ""),
    ]


def test_where_nobody_can_be_drawn_the_job_says_why(job: PrintJob) -> None:
    everybody = {name: Answer(0, "No.") for name in NAMES}
    done = worked_off(ScriptedPens(everybody))
    assert (done.state, done.trouble) == (State.FAILED, "No page could be drawn.")
    assert not store.folder(job.pk).exists()


def test_without_pango_the_job_ends_at_once(job: PrintJob) -> None:
    pens = ScriptedPens({"Imani": Answer(0, "Printing needs the Pango library.", nobodys=True)})
    done = worked_off(pens)
    assert (done.state, done.trouble) == (State.FAILED, "Printing needs the Pango library.")
    assert pens.drawn == []


def test_two_never_work_on_one_job(job: PrintJob) -> None:
    assert work.claim("one") == job
    assert work.claim("two") is None


@pytest.mark.django_db(transaction=True)
def test_of_many_who_claim_at_once_one_gets_it(job: PrintJob) -> None:
    together = Barrier(4)

    def claim(me: str) -> PrintJob | None:
        together.wait()
        try:
            return work.claim(me)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(4) as hands:
        found = list(hands.map(claim, ["one", "two", "three", "four"]))
    assert [each for each in found if each] == [job]


def test_a_job_whose_worker_fell_silent_goes_on_from_what_is_drawn(
    job: PrintJob, frozen: FrozenClock
) -> None:
    first = ScriptedPens(stop_after=2)
    with pytest.raises(KeyboardInterrupt):
        worked_off(first)
    assert first.drawn == ["Imani", "Bảo"]
    frozen.move(seconds=14)
    assert work.claim("two") is None
    frozen.move(seconds=2)
    second = ScriptedPens()
    assert worked_off(second, "two").state == State.READY
    assert second.drawn == ["Łucja"]
    assert [line.strip() for line in second.bound] == list(NAMES)


@pytest.mark.parametrize("back", [{"minutes": -1}, {"days": -400}])
def test_a_job_of_a_clock_that_was_ahead_goes_on(
    job: PrintJob, frozen: FrozenClock, back: dict[str, float]
) -> None:
    with pytest.raises(KeyboardInterrupt):
        worked_off(ScriptedPens(stop_after=2))
    frozen.move(**back)
    second = ScriptedPens()
    assert worked_off(second, "two").state == State.READY
    assert second.drawn == ["Łucja"]


def test_a_worker_goes_on_with_its_job_when_the_clock_is_set_back(
    job: PrintJob, frozen: FrozenClock
) -> None:
    held = work.claim("one")
    assert held is not None
    frozen.move(days=-400)
    work.work_off(held, "one", ScriptedPens())
    job.refresh_from_db()
    assert job.state == State.READY


def test_what_was_printed_in_a_time_to_come_is_kept_seven_days_from_now(
    job: PrintJob, frozen: FrozenClock
) -> None:
    worked_off(ScriptedPens())
    frozen.move(days=-400)
    work.sweep()
    assert store.is_there(job.pk)
    frozen.move(days=7)
    work.sweep()
    assert not store.folder(job.pk).exists()


def test_a_page_whose_file_is_gone_is_drawn_again(job: PrintJob, frozen: FrozenClock) -> None:
    with pytest.raises(KeyboardInterrupt):
        worked_off(ScriptedPens(stop_after=2))
    store.part(job.pk, 1).unlink()
    frozen.move(minutes=1)
    second = ScriptedPens()
    worked_off(second, "two")
    assert second.drawn == ["Imani", "Łucja"]
    assert [line.strip() for line in second.bound] == list(NAMES)


def test_the_one_who_lost_the_job_writes_nothing_more(job: PrintJob, frozen: FrozenClock) -> None:
    held = work.claim("one")
    assert held is not None
    frozen.move(minutes=1)
    assert work.claim("two") == job
    work.work_off(held, "one", ScriptedPens())
    job.refresh_from_db()
    assert (job.state, job.worker) == (State.WORKING, "two")
    assert job.parts.to_draw().count() == 3
    assert store.folder(job.pk).exists()


def test_cancelling_ends_it_and_leaves_no_file(job: PrintJob) -> None:
    held = work.claim("one")
    assert held is not None
    assert ask.cancel(job)
    work.work_off(held, "one", ScriptedPens())
    job.refresh_from_db()
    assert job.state == State.CANCELLED
    assert job.parts.done().count() == 0
    assert not store.folder(job.pk).exists()
    assert not ask.cancel(job)
    assert work.claim("two") is None


def test_what_is_ready_cannot_be_cancelled(job: PrintJob) -> None:
    worked_off(ScriptedPens())
    assert not ask.cancel(job)
    assert store.is_there(job.pk)


def test_a_job_is_kept_seven_days_to_the_second(job: PrintJob, frozen: FrozenClock) -> None:
    done = worked_off(ScriptedPens())
    assert done.kept_until == frozen.moment + dt.timedelta(days=7)
    frozen.move(days=7, seconds=-1)
    work.sweep()
    assert store.is_there(job.pk)
    frozen.move(seconds=1)
    work.sweep()
    assert not store.folder(job.pk).exists()
    assert not PrintJob.objects.exists()
    assert Report.objects.count() == 3


def test_files_of_which_no_row_knows_are_swept_away(job: PrintJob) -> None:
    store.open_folder(uuid.uuid4())
    (store.root() / "job-mine").mkdir()
    (store.root() / "letter.txt").write_text("not ours")
    store.open_folder(job.pk)
    work.sweep()
    assert store.jobs() == {job.pk}
    assert {path.name for path in store.root().iterdir()} == {
        f"job-{job.pk}",
        "job-mine",
        "letter.txt",
    }


def test_asking_twice_gives_the_job_that_is_under_way(term: Term, job: PrintJob) -> None:
    assert ask.print_reports(term) == job
    worked_off(ScriptedPens())
    assert ask.print_reports(term) != job


def test_a_term_without_a_given_report_has_nothing_to_print(term: Term) -> None:
    with pytest.raises(ask.NothingToPrint):
        ask.print_reports(term)
    assert not PrintJob.objects.exists()


def test_a_student_deleted_meanwhile_is_left_out(job: PrintJob) -> None:
    held = work.claim("one")
    assert held is not None
    gone = job.parts.get(number=2).student
    gone.reports.all().delete()
    pens = ScriptedPens()
    work.work_off(held, "one", pens)
    assert [line.strip() for line in pens.bound] == ["Imani", "Łucja"]


def test_who_is_deleted_is_on_no_file_that_is_kept(job: PrintJob) -> None:
    worked_off(ScriptedPens())
    gone = job.parts.get(number=2).student
    gone.family.delete()
    assert not store.folder(job.pk).exists()
    assert PrintJob.objects.get().parts.count() == 2


def test_who_is_deleted_while_a_job_is_under_way_leaves_the_others_drawn(
    job: PrintJob, frozen: FrozenClock
) -> None:
    with pytest.raises(KeyboardInterrupt):
        worked_off(ScriptedPens(stop_after=2))
    job.parts.get(number=2).student.family.delete()
    assert not store.part(job.pk, 2).exists()
    frozen.move(minutes=1)
    second = ScriptedPens()
    worked_off(second, "two")
    assert (second.drawn, len(second.bound)) == (["Łucja"], 2)


def test_a_full_disk_is_told(job: PrintJob, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work, "LEAST_ROOM", 1 << 60)
    done = worked_off(ScriptedPens())
    assert (done.state, done.trouble) == (
        State.FAILED,
        "The disk is nearly full. Make room, then print again.",
    )


def test_the_database_refuses_what_must_not_be(term: Term, job: PrintJob) -> None:
    report = Report.objects.all()[0]
    same = {"studio": term.studio, "asked": job.asked}
    wrong_jobs = [
        {**same, "kind": "reports"},
        {**same, "kind": "sheets", "term": term},
        {**same, "kind": "reports", "term": term},  # a second one under way
        {**same, "kind": "reports", "term": term, "state": "ready"},  # without its end
    ]
    for wrong in wrong_jobs:
        with pytest.raises(IntegrityError), transaction.atomic():
            PrintJob.objects.create(**wrong)
    part = {"job": job, "student": report.student, "number": 9}
    wrong_parts = [
        {**part},
        {**part, "report": report, "number": 1},
        {**part, "report": report, "drawn": True, "trouble": "Both"},
    ]
    for wrong in wrong_parts:
        with pytest.raises(IntegrityError), transaction.atomic():
            PrintPart.objects.create(**wrong)
