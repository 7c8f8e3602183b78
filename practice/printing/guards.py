"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from __future__ import annotations

from uuid import UUID

from django.shortcuts import get_object_or_404

from practice.printing.models import PrintJob
from studio.web.http import StudioRequest


def own_job(request: StudioRequest, pk: UUID) -> PrintJob:
    return get_object_or_404(PrintJob.objects.select_related("term"), pk=pk, studio=request.studio)
