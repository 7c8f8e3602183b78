"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from __future__ import annotations

from django.shortcuts import get_object_or_404

from practice.recitals.models import Performance, Programme
from studio.web.http import StudioRequest


def own_programme(request: StudioRequest, pk: int) -> Programme:
    """The programme of the recital with that id."""
    found = Programme.objects.select_related("recital__studio")
    return get_object_or_404(found, recital__pk=pk, recital__studio=request.studio)


def performance_of(programme: Programme, pk: int) -> Performance:
    found = Performance.objects.select_related("student__family", "partner__family", "work")
    return get_object_or_404(found, pk=pk, programme=programme)
