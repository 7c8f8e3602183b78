"""The teacher's own score of one invented piece, and a bowing she tapped together."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Final

from django.core.files.uploadedfile import SimpleUploadedFile

from practice.repertoire.models import Bowing, Work
from practice.scores.taking import take_file
from studio.access.models import Studio

FILE: Final = Path(__file__).parent / "data" / "nine-crows.abc"
TITLE: Final = "Nine Crows"
ROCKING: Final = "2/4 (8 8) 8s 8s"


def give_scores(studio: Studio, day: dt.date) -> None:
    """Read as a dropped file is read; `day` is when it was dropped."""
    work = Work.objects.get(studio=studio, title=TITLE)
    score = take_file(studio, work, SimpleUploadedFile(FILE.name, FILE.read_bytes()))
    score.added = dt.datetime.combine(day, dt.time(12), dt.UTC)
    score.save()
    Bowing.objects.create(studio=studio, name="rocking chair", pattern={"code": ROCKING})
