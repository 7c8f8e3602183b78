"""Works, and what each student has in hand."""

from __future__ import annotations

from practice.exporting.numbers import bowing, keys, score, techniques
from practice.exporting.whose import OF_STUDENT
from practice.models import (
    Bowing,
    EtudeInHand,
    Favourite,
    Idea,
    PieceInHand,
    ScaleInHand,
    Score,
    Spot,
    Work,
)
from studio.export.rules import Rule, Table, who

RULES = (
    Rule(
        Work,
        belongs="studio",
        shared="catalogue_key",
        relink=techniques,
        plain=("opus", "number", "key", "catalogue_key"),
        titles=("composer", "title"),
        table=Table(
            "Works of your own",
            {"composer": "composer", "title": "title", "key": "key"},
            one="work of your own",
        ),
    ),
    Rule(Bowing, belongs="studio", relink=bowing, plain=("pattern",)),
    Rule(Idea, belongs="studio", shared="title"),
    Rule(
        Score,
        belongs="studio",
        relink=score,
        plain=("digest",),
        ending="name",
    ),
    Rule(
        PieceInHand,
        **OF_STUDENT,
        table=Table(
            "Pieces",
            {
                **who(),
                "composer": "work__composer",
                "piece": "work__title",
                "stage": "stage",
                "started": "started",
                "finished": "finished",
                "note": "note",
            },
            one="piece",
        ),
    ),
    Rule(
        Spot,
        belongs="piece__student__family__studio",
        family="piece__student__family",
        plain=("excerpt", "easier_key"),
        table=Table(
            "Spots",
            {
                **who("piece__student"),
                "piece": "piece__work__title",
                "from bar": "first_bar",
                "to bar": "last_bar",
                "what": "what",
                "tempo": "tempo_now",
                "tempo wanted": "tempo_goal",
                "state": "state",
                "opened": "opened",
                "solved": "solved",
            },
            one="spot",
        ),
    ),
    Rule(
        ScaleInHand,
        **OF_STUDENT,
        after=("practice.spot", "practice.bowing"),
        relink=keys("bowing_1", "bowing_2"),
        plain=("key", "bowing_1", "bowing_2", "string", "fingers"),
        table=Table(
            "Scales",
            {
                **who(),
                "key": "key",
                "form": "form",
                "octaves": "octaves",
                "since": "since",
                "until": "until",
            },
            one="scale",
        ),
    ),
    Rule(
        EtudeInHand,
        **OF_STUDENT,
        table=Table(
            "Etudes",
            {
                **who(),
                "composer": "work__composer",
                "etude": "work__title",
                "number": "work__number",
                "lines": "lines",
                "since": "since",
                "until": "until",
            },
            one="etude",
        ),
    ),
    Rule(
        Favourite,
        **OF_STUDENT,
        table=Table(
            "Favourites",
            {
                **who(),
                "composer": "work__composer",
                "piece": "work__title",
                "since": "since",
                "until": "retired",
            },
            one="favourite",
        ),
    ),
)
