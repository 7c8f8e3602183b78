"""A score is there only for the teacher who dropped it."""

from django.db.models import Max
from django.shortcuts import get_object_or_404

from practice.repertoire.models import PieceInHand
from practice.scores.models import Score
from studio.web.http import StudioRequest


def own_score(request: StudioRequest, pk: int) -> Score:
    return get_object_or_404(Score.objects.select_related("work"), pk=pk, studio=request.studio)


def pieces_for(request: StudioRequest, score: Score) -> list[PieceInHand]:
    """Her students' pieces in hand of this work, by the student's name; each has `goal`, the
    fastest tempo wanted for one of its spots, or None."""
    found = PieceInHand.objects.in_hand().filter(
        work=score.work_id, student__family__studio=request.studio
    )
    names = ("student__given_name", "student__family_name", "pk")
    found = found.select_related("student__family", "work").annotate(goal=Max("spots__tempo_goal"))
    return list(found.order_by(*names))
