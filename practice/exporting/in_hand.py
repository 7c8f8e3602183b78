"""Works, and what each student has in hand."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _
from django.utils.translation import npgettext_lazy, pgettext_lazy

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
from practice.music.keys import key_told
from studio.export.rules import Rule, Table, who

RULES = (
    Rule(
        Work,
        many=pgettext_lazy("rows", "works"),
        belongs="studio",
        shared="catalogue_key",
        relink=techniques,
        plain=("opus", "number", "key", "catalogue_key"),
        titles=("composer", "title"),
        table=Table(
            _("Works of your own"),
            (
                (_("composer"), "composer"),
                (_("title"), "title"),
                (pgettext_lazy("heading", "key"), "key"),
            ),
            count=npgettext_lazy("rows", "work of your own", "works of your own"),
            told={"key": key_told},
        ),
    ),
    Rule(
        Bowing,
        many=pgettext_lazy("rows", "bowings"),
        belongs="studio",
        relink=bowing,
        plain=("pattern",),
    ),
    Rule(Idea, many=pgettext_lazy("rows", "ideas"), belongs="studio", shared="title"),
    Rule(
        Score,
        many=pgettext_lazy("rows", "scores"),
        belongs="studio",
        relink=score,
        plain=("digest",),
        ending="name",
    ),
    Rule(
        PieceInHand,
        many=pgettext_lazy("rows", "pieces in hand"),
        **OF_STUDENT,
        table=Table(
            _("Pieces"),
            (
                *who(),
                (_("composer"), "work__composer"),
                (_("piece"), "work__title"),
                (_("stage"), "stage"),
                (_("started"), "started"),
                (_("finished"), "finished"),
                (_("note"), "note"),
            ),
            count=npgettext_lazy("rows", "piece", "pieces"),
        ),
    ),
    Rule(
        Spot,
        many=pgettext_lazy("rows", "spots"),
        belongs="piece__student__family__studio",
        family="piece__student__family",
        plain=("excerpt", "easier_key"),
        table=Table(
            _("Spots"),
            (
                *who("piece__student"),
                (_("piece"), "piece__work__title"),
                (_("from bar"), "first_bar"),
                (_("to bar"), "last_bar"),
                (pgettext_lazy("heading", "what"), "what"),
                (_("tempo"), "tempo_now"),
                (_("tempo wanted"), "tempo_goal"),
                (pgettext_lazy("heading", "state"), "state"),
                (pgettext_lazy("heading", "opened"), "opened"),
                (_("solved"), "solved"),
            ),
            count=npgettext_lazy("rows", "spot", "spots"),
        ),
    ),
    Rule(
        ScaleInHand,
        many=pgettext_lazy("rows", "scales in hand"),
        **OF_STUDENT,
        after=("practice.spot", "practice.bowing"),
        relink=keys("bowing_1", "bowing_2"),
        plain=("key", "bowing_1", "bowing_2", "string", "fingers"),
        table=Table(
            _("Scales"),
            (
                *who(),
                (pgettext_lazy("heading", "key"), "key"),
                (pgettext_lazy("heading", "form"), "form"),
                (_("octaves"), "octaves"),
                (pgettext_lazy("heading", "since"), "since"),
                (pgettext_lazy("heading", "until"), "until"),
            ),
            count=npgettext_lazy("rows", "scale", "scales"),
            told={"key": key_told},
        ),
    ),
    Rule(
        EtudeInHand,
        many=pgettext_lazy("rows", "etudes in hand"),
        **OF_STUDENT,
        table=Table(
            _("Etudes"),
            (
                *who(),
                (_("composer"), "work__composer"),
                (_("etude"), "work__title"),
                (_("number"), "work__number"),
                (pgettext_lazy("heading", "lines"), "lines"),
                (pgettext_lazy("heading", "since"), "since"),
                (pgettext_lazy("heading", "until"), "until"),
            ),
            count=npgettext_lazy("rows", "etude", "etudes"),
        ),
    ),
    Rule(
        Favourite,
        many=pgettext_lazy("rows", "favourites"),
        **OF_STUDENT,
        table=Table(
            _("Favourites"),
            (
                *who(),
                (_("composer"), "work__composer"),
                (_("piece"), "work__title"),
                (pgettext_lazy("heading", "since"), "since"),
                (pgettext_lazy("heading", "until"), "retired"),
            ),
            count=npgettext_lazy("rows", "favourite", "favourites"),
        ),
    ),
)
