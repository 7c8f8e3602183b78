"""What rows of an earlier version say in fields that are gone, put where it stands now."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from practice.plans.models import Item, Plan
from studio.export.rules import Values


def details(rows: Sequence[tuple[Item, Values]]) -> None:
    """Each item said for itself what it is; what is planned goes before what only was played."""
    of_plan: dict[int, list[tuple[Item, str]]] = defaultdict(list)
    for item, gone in sorted(rows, key=lambda row: row[0].minutes > 0):
        if isinstance(gone.get("detail"), str):
            of_plan[item.plan_id].append((item, gone["detail"]))
    for plan in Plan.objects.filter(pk__in=of_plan):
        for item, detail in of_plan[plan.pk]:
            if item.minutes or item.key not in plan.details:
                plan.details[item.key] = detail
        plan.save(update_fields=["details"])
