"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from django.shortcuts import get_object_or_404

from practice.plans.models import Assignment, Sheet
from studio.web.http import StudioRequest


def own_assignment(request: StudioRequest, pk: int) -> Assignment:
    """A decided week; its plan is there."""
    found = Assignment.objects.filter(plan__isnull=False).select_related(
        "student__family__studio", "plan", "lesson", "idea"
    )
    return get_object_or_404(found, pk=pk, student__family__studio=request.studio)


def own_sheet(request: StudioRequest, assignment_id: int, edition: int | None = None) -> Sheet:
    """The sheet of that edition, or the latest."""
    found = (
        Sheet.objects.filter(
            plan__assignment=assignment_id, plan__assignment__student__family__studio=request.studio
        )
        .select_related("plan__assignment")
        .order_by("-edition")
    )
    if edition is not None:
        return get_object_or_404(found, edition=edition)
    return get_object_or_404(found[:1])
