"""One line of the record, written in the transaction of what it tells.

    with transaction.atomic():
        family.delete()
        note(request, What.ERASED, "2 students, 61 lessons")

`detail` holds numbers, file names and words of ours, never what somebody typed about a child:
say whom it concerns by `family` and `student`, whose names go when they are erased.
"""

from __future__ import annotations

import datetime as dt
from ipaddress import ip_address
from typing import TYPE_CHECKING, Final

from django.db import DEFAULT_DB_ALIAS, connections
from django.http import HttpRequest

from studio import clock
from studio.access.models import Studio
from studio.record.models import By, RecordEntry, What
from studio.running.ageing import outlived

if TYPE_CHECKING:
    from studio.people.models import Family, Student

KEPT: Final = dt.timedelta(days=400)
LONGEST_DETAIL: Final = 200


def note(
    request: HttpRequest,
    what: What,
    detail: str = "",
    *,
    studio: Studio | None = None,
    family: Family | None = None,
    student: Student | None = None,
) -> None:
    """Note what was done by a page; in the signed-in teacher's studio unless another is named."""
    RecordEntry.objects.create(
        studio=studio or getattr(request, "studio", None),
        moment=clock.now(),
        what=what,
        by=By.TEACHER if request.user.is_authenticated else By.STRANGER,
        address=_address(request),
        family=family,
        student=student,
        detail=detail[:LONGEST_DETAIL],
    )


def note_command(studio: Studio, what: What, detail: str = "") -> None:
    """Note what the command line did to one studio."""
    RecordEntry.objects.create(
        studio=studio,
        moment=clock.now(),
        what=what,
        by=By.COMMAND,
        detail=detail[:LONGEST_DETAIL],
    )


def note_everywhere(what: What, detail: str = "", *, by: By = By.COMMAND) -> None:
    """Note in every studio what was done to all of them, from no page.

    A database of an older version may lack columns of a studio, or the record: then nothing is
    noted there.
    """
    tables = connections[DEFAULT_DB_ALIAS].introspection.table_names()
    if RecordEntry._meta.db_table not in tables:
        return
    now = clock.now()
    RecordEntry.objects.bulk_create(
        RecordEntry(studio_id=pk, moment=now, what=what, by=by, detail=detail[:LONGEST_DETAIL])
        for pk in Studio.objects.order_by("pk").values_list("pk", flat=True)
    )


def forget_old() -> None:
    outlived(RecordEntry.objects.all(), "moment", KEPT).delete()


def _address(request: HttpRequest) -> str | None:
    try:
        return str(ip_address(request.META.get("REMOTE_ADDR", "")))
    except ValueError:
        return None
