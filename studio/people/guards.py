"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from django.shortcuts import get_object_or_404

from studio.people.models import Family, Guardian, Student
from studio.web.http import StudioRequest


def own_family(request: StudioRequest, pk: int) -> Family:
    return get_object_or_404(Family, pk=pk, studio=request.studio)


def own_guardian(request: StudioRequest, pk: int) -> Guardian:
    found = Guardian.objects.select_related("family")
    return get_object_or_404(found, pk=pk, family__studio=request.studio)


def own_student(request: StudioRequest, pk: int) -> Student:
    found = Student.objects.of(request.studio).select_related("family__studio")
    return get_object_or_404(found, pk=pk)
