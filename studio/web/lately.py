"""Lists that begin with the latest: the rest of the years comes with `?before=all`."""

from __future__ import annotations

from typing import TypeVar

from django.db.models import Model, QuerySet

from studio.web.http import StudioRequest

# no words: a name
Row = TypeVar("Row", bound=Model)


def lately(request: StudioRequest, rows: QuerySet[Row], most: int) -> tuple[list[Row], bool]:
    """The first rows and whether there are more; all of them where the address asks for all."""
    if request.GET.get("before") == "all":
        return list(rows), False
    found = list(rows[: most + 1])
    return found[:most], len(found) > most
