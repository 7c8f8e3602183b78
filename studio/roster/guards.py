"""Fetch an import of this studio's; another's is not there."""

from django.shortcuts import get_object_or_404

from studio.roster.models import RosterImport
from studio.web.http import StudioRequest


def own_roster(request: StudioRequest, pk: int) -> RosterImport:
    return get_object_or_404(RosterImport, pk=pk, studio=request.studio)
