"""A studio of an earlier version, restored or brought up: nothing of it is lost or changed."""

from __future__ import annotations

import datetime as dt
import io
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db.models import Sum
from pypdf import PdfReader

from practice.models import Item, LogEntry, Plan, Report, Sheet
from practice.plans.generate import built
from practice.reports import editions
from practice.reports.render import report_pdf
from practice.sheets.data import SheetData, drawn
from practice.sheets.pictures import draw
from practice.sheets.render import sheet_pdf
from studio.backups import sides
from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.studio.backups import earlier
from tests.studio.backups.test_commands import manage

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def before(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return earlier.data_folder(tmp_path_factory.mktemp("before") / "data") / "studio.sqlite3"


@pytest.fixture(scope="module", params=["restore", "upgrade"])
def after(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data folder, by a restore into an empty one, or by an upgrade in place."""
    folder = tmp_path_factory.mktemp("after") / "data"
    if request.param == "upgrade":
        said = manage(earlier.data_folder(folder), "upgrade")
        assert "A backup was made" in said.stdout, said.stderr
    else:
        said = manage(folder, "restore", str(earlier.BACKUP), "--yes")
        assert "will be brought up to this one" in said.stdout, said.stderr
    assert said.returncode == 0, said.stderr
    return folder


@pytest.fixture
def alias(after: Path) -> Iterator[str]:
    with sides.file_beside(after / "studio.sqlite3") as alias:
        yield alias


def test_every_row_stands_as_it_was(before: Path, after: Path) -> None:
    assert len(earlier.rows(before, "SELECT id FROM practice_item")) == 901
    assert earlier.differences(before, after / "studio.sqlite3") == []
    assert manage(after, "migrate", "--check").returncode == 0


def test_private_links_open_as_before(after: Path) -> None:
    """The addresses are made from the key and the rows' seeds, and the rows are the same."""
    with zipfile.ZipFile(earlier.BACKUP) as archive:
        assert (after / "secret-key").read_bytes() == archive.read("secret-key")


def test_minutes_and_ticks_of_each_student(before: Path, alias: str) -> None:
    said = earlier.rows(
        before,
        """SELECT a.student_id AS who, sum(i.minutes) AS planned, count(l.id) AS told,
           sum(l.done) AS done, sum(CASE WHEN l.done THEN l.minutes END) AS practised
           FROM practice_item i JOIN practice_plan p ON p.id = i.plan_id
           JOIN practice_assignment a ON a.id = p.assignment_id
           LEFT JOIN practice_logentry l ON l.item_id = i.id GROUP BY 1 ORDER BY 1""",
    )
    now = []
    for who in [row["who"] for row in said]:
        items = Item.objects.using(alias).filter(plan__assignment__student=who)
        entries = LogEntry.objects.using(alias).filter(item__in=items)
        done = entries.filter(done=True)
        now.append(
            {
                "who": who,
                "planned": items.aggregate(all=Sum("minutes"))["all"],
                "told": entries.count(),
                "done": done.count(),
                "practised": done.aggregate(all=Sum("minutes"))["all"],
            }
        )
    assert len(now) == 3
    assert now == said


def test_each_plan_builds_again_to_the_same_items(before: Path, alias: str) -> None:
    """Among them three weeks decided again after home had told of them."""
    planned = earlier.rows(
        before,
        """SELECT plan_id, date, session, position, key, part, minutes FROM practice_item
           WHERE minutes > 0 ORDER BY plan_id, date, session, position""",
    )
    again = [
        {
            "plan_id": plan.pk,
            "date": day.date.isoformat(),
            "session": session.number,
            "position": position,
            "key": item.key,
            "part": item.part.value,
            "minutes": item.minutes,
        }
        for plan in Plan.objects.using(alias).order_by("pk")
        for day in built(plan).days
        for session in day.sessions
        for position, item in enumerate(session.items)
    ]
    assert again == planned


def test_what_an_item_is_stands_in_its_plan(before: Path, alias: str) -> None:
    """In the weeks decided again some parts had other words on days that were played before."""
    items = earlier.rows(
        before, "SELECT plan_id AS plan, key, minutes, detail FROM practice_item ORDER BY id"
    )
    wanted = earlier.details(items)
    assert sum(item["detail"] != wanted[item["plan"]][item["key"]] for item in items) > 8
    plans = Plan.objects.using(alias).all()
    assert {plan.pk: plan.details for plan in plans} == wanted


def test_when_a_tick_was_told_is_kept(before: Path, alias: str) -> None:
    """Where only minutes were told no tick was: one still under way from a phone must count."""
    old = earlier.rows(before, "SELECT id, done, done_told, ticked FROM practice_logentry")
    wanted = {
        row["id"]: moment(row["done_told"] or (row["ticked"] if row["done"] else None))
        for row in old
    }
    entries = LogEntry.objects.using(alias)
    assert dict(entries.values_list("pk", "done_told")) == wanted
    assert entries.filter(done_told=None, done=False).count() == 3


def moment(text: str | None) -> dt.datetime | None:
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC) if text else None


def test_a_printed_sheet_prints_again(alias: str) -> None:
    sheet = Sheet.objects.using(alias).order_by("-pk")[0]
    data = SheetData.from_json(sheet.data)
    pages = PdfReader(io.BytesIO(sheet_pdf(drawn(data, draw)))).pages
    assert len(pages) == 2
    assert data.student in pages[0].extract_text()


def test_a_report_that_was_given_prints_again(alias: str) -> None:
    report = Report.objects.using(alias).filter(given__isnull=False).order_by("pk")[0]
    text = PdfReader(io.BytesIO(report_pdf(editions.as_given(report)))).pages[0].extract_text()
    assert report.student.given_name in text


# What the earlier version's own `move_to` would have written, in the tables it had then.
MOVES = """
import sys
import django
django.setup()
from pathlib import Path
from studio.backups import copying, sides
with sides.file_beside(Path(sys.argv[1])) as alias:
    copying.copy_all(alias, "default", sides.bring_up_like("default", alias))
"""


@pytest.mark.skipif(
    not os.environ.get("STUDIO_DATABASE_URL", "").startswith("postgres"),
    reason="needs PostgreSQL",
)
@pytest.mark.parametrize("by", ["upgrade", "restore"])
def test_on_postgresql_too(before: Path, tmp_path: Path, by: str) -> None:
    """A backup is made of the tables as they were, then they are brought up with their rows."""
    import psycopg

    name, folder = f"earlier_{by}_{os.getpid()}", tmp_path / "data"
    with psycopg.connect("dbname=postgres", autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}".encode())
    there = {"STUDIO_DATABASE_URL": f"postgres:///{name}"}
    subprocess.run(
        [sys.executable, "-c", MOVES, str(before)],
        cwd=BASE,
        env=clean_environment(str(folder)) | there,
        check=True,
    )
    arguments = ["upgrade"] if by == "upgrade" else ["restore", str(earlier.BACKUP), "--yes"]
    said = manage(folder, *arguments, **there)
    assert said.returncode == 0, said.stderr
    kept = next((folder / "backups").glob("*-before-*.zip"))
    with zipfile.ZipFile(kept) as archive, (tmp_path / "kept.sqlite3").open("wb") as file:
        file.write(archive.read("studio.sqlite3"))
    said = manage(folder, "move_to", f"sqlite:///{tmp_path / 'now.sqlite3'}", **there)
    assert said.returncode == 0, said.stderr
    assert "practice_item.detail" in columns(tmp_path / "kept.sqlite3")
    assert "practice_item.detail" not in columns(tmp_path / "now.sqlite3")
    assert earlier.differences(before, tmp_path / "now.sqlite3") == []
    assert earlier.differences(tmp_path / "kept.sqlite3", before) == []


def columns(database: Path) -> set[str]:
    return {
        f"{table}.{column['name']}"
        for table in earlier.tables(database)
        for column in earlier.rows(database, f"PRAGMA table_info({table})")
    }
