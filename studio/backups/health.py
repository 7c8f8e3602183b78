"""A page for whatever watches the program: whether it works, and nothing about anybody."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db import Error, connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from studio.access.models import Studio
from studio.backups import keeping, snapshot
from studio.running.faults import fault_of

LEAST_FREE = 1_000_000  # bytes; below, SQLite soon has no room for its next pages


@login_not_required
@never_cache
@require_safe
def health(request: HttpRequest) -> HttpResponse:
    """200 while it works, 503 while it cannot; an old backup is told and stops nothing."""
    found = {"database": _database(), "folder": _folder()}
    works = all(answer == "ok" for answer in found.values())
    if works:
        found["backup"] = _backup()
    return JsonResponse(found, status=200 if works else 503)


def _database() -> str:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1 FROM studio_studio")
    except Error as error:
        fault = fault_of(error)
        return fault.name.lower() if fault else "not ready"  # no words: for a program
    live = snapshot.live_file()
    # no words: for a program
    return "ok" if live is None or os.access(live, os.W_OK) else "read_only"


def _folder() -> str:
    folder = Path(settings.DATA_DIR)
    if not os.access(folder, os.R_OK | os.W_OK):
        return "not writable"  # no words: for a program
    return "ok" if shutil.disk_usage(folder).free >= LEAST_FREE else "full"


def _backup() -> str:
    age = keeping.age_of_last()
    if age is None:
        # no words: for a program
        return "none yet" if Studio.objects.exists() else "nothing to keep yet"
    return "ok" if age <= keeping.OLD else "old"
