"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from django.shortcuts import get_object_or_404

from studio.links.models import HomeLink
from studio.web.http import StudioRequest


def own_link(request: StudioRequest, pk: int) -> HomeLink:
    """A link to a home page; the calendar's address has pages of its own."""
    found = HomeLink.objects.exclude(opens=HomeLink.Opens.CALENDAR).select_related(
        "family__studio", "student__family__studio"
    )
    return get_object_or_404(found, pk=pk, family__studio=request.studio)
