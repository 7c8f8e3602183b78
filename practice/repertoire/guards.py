"""Fetch what belongs to this studio; anything else is not there for its teacher."""

from django.shortcuts import get_object_or_404

from practice.repertoire.models import Favourite, Idea, PieceInHand, Spot, Work
from studio.web.http import StudioRequest


def open_work(request: StudioRequest, pk: int) -> Work:
    """A work she may give: of the catalogue or her own."""
    return get_object_or_404(Work.objects.open_to(request.studio), pk=pk)


def own_work(request: StudioRequest, pk: int) -> Work:
    """A work she may change: her own."""
    return get_object_or_404(Work, pk=pk, studio=request.studio)


def own_idea(request: StudioRequest, pk: int) -> Idea:
    return get_object_or_404(Idea, pk=pk, studio=request.studio)


def own_piece(request: StudioRequest, pk: int) -> PieceInHand:
    found = PieceInHand.objects.select_related("work", "student__family")
    return get_object_or_404(found, pk=pk, student__family__studio=request.studio)


def own_spot(request: StudioRequest, pk: int) -> Spot:
    found = Spot.objects.select_related("piece__work", "piece__student__family")
    return get_object_or_404(found, pk=pk, piece__student__family__studio=request.studio)


def own_favourite(request: StudioRequest, pk: int) -> Favourite:
    found = Favourite.objects.select_related("work", "student__family")
    return get_object_or_404(found, pk=pk, student__family__studio=request.studio)
