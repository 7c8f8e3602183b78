"""A usual lesson, for the pages that come after it."""

from __future__ import annotations

import datetime as dt

from studio.models import Student
from tests import factories
from tests.factories import DAY

MINUET = "[K:G][M:3/4][L:1/8]e2 (cd) (ef)"


def after_a_lesson(student: Student) -> Student:
    """Imani on the day of her lesson: scale with a borrowed bowing, etude, two pieces, three
    spots, a favourite, last week's assignment, and a lesson in a week."""
    for days in (0, 7):
        factories.LessonFactory.create(student=student, date=DAY + dt.timedelta(days=days))
    piece = factories.PieceInHandFactory.create(student=student)
    spot = factories.SpotFactory.create(piece=piece, excerpt=MINUET)
    factories.SpotFactory.create(
        piece=piece, first_bar=7, tempo_now=66, hardness=2, what="elbow leads to the D string"
    )
    tram = factories.WorkFactory.create(title="Tram No. Nine", composer="M. Achterberg")
    second = factories.PieceInHandFactory.create(student=student, place=2, work=tram)
    factories.SpotFactory.create(piece=second, first_bar=5, what="long, tiny; stop the bow")
    factories.ScaleInHandFactory.create(student=student, bowing_1=f"spot:{spot.pk}")
    etude = factories.EtudeWorkFactory.create(number="2")
    factories.EtudeWorkFactory.create(number="3")
    factories.EtudeInHandFactory.create(student=student, work=etude)
    factories.FavouriteFactory.create(student=student)
    factories.AssignmentFactory.create(
        student=student,
        starts=DAY - dt.timedelta(days=6),
        idea=factories.IdeaFactory.create(title="Two voices"),
    )
    return student
