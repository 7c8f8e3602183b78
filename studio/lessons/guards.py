"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from __future__ import annotations

from django.shortcuts import get_object_or_404

from studio.lessons.models import Lesson, Slot
from studio.web.http import StudioRequest


def own_lesson(request: StudioRequest, pk: int) -> Lesson:
    found = Lesson.objects.of(request.studio).select_related(
        "student__family__studio", "slot", "makes_up"
    )
    return get_object_or_404(found, pk=pk)


def own_slot(request: StudioRequest, pk: int) -> Slot:
    found = Slot.objects.select_related("studio").prefetch_related("students")
    return get_object_or_404(found, pk=pk, studio=request.studio)
