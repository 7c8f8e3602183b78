"""Receipts go when their messages would be refused for their age, whoever sends them again."""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from practice.logs.models import Receipt
from studio.running.ageing import outlived
from studio.running.sweeping import swept

# A message tells of no day after the one it came on, and home may tell of WEEKS_OPEN only, so
# long before this every day of it is too old to be taken; the teacher's page of a returned sheet
# holds for a few weeks (`desk/returned.py`).
KEPT: Final = dt.timedelta(days=400)


def watch() -> None:
    swept.connect(forget_old, dispatch_uid="practice.logs")


def forget_old(**_: Any) -> None:
    outlived(Receipt.objects.all(), "received", KEPT).delete()
