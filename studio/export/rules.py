"""How the rows of each model travel, and whose they are.

Each app keeps its rules in its `exporting` module, so that neither needs to know the other's
models. A model without a rule, and without a reason for having none, fails the suite.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any, Protocol

from django.apps import apps
from django.db import models
from django.db.models import Q
from django.utils.module_loading import module_has_submodule
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

Row = models.Model
Values = dict[str, Any]


class Find(Protocol):
    """The number a row has now, by its model's label and its number in the file."""

    def __call__(self, label: str, number: int) -> int | None: ...


@dataclass(frozen=True)
class Table:
    """How a person reads the rows: a title, headings with the look-ups below them, how rows are
    counted; `told` says what is stored at a look-up as a person says it.
    """

    title: StrOrPromise
    columns: Sequence[tuple[StrOrPromise, str]]
    count: StrOrPromise = ""
    told: Mapping[str, Callable[[Any], str]] = field(default_factory=dict)

    def counted(self, rows: int) -> str:
        """ "1 piece", "11 pieces": the words alone."""
        return self.count.format(rows)


def who(student: str = "student") -> tuple[tuple[StrOrPromise, str], ...]:
    """The columns that name a student; `student` looks it up."""
    return (_("student"), f"{student}__given_name"), (_("family name"), f"{student}__family_name")


@dataclass(frozen=True)
class Rule:
    """The rule of one model.

    `many` are its rows in words. `belongs` looks up the studio, `family` the family ("" where a
    row is no family's).
    `shared` names the field by which a row that belongs to no studio is known everywhere.
    `secret` fields are never written; `renew` gives a row new ones, `hide` takes secrets out of
    values. `relink` refuses values of another shape (ValueError) and puts the new numbers where
    texts and JSON name rows of the models in `after`; `mentions` finds the numbers of rows of
    a shared list in JSON. `gone` are fields of earlier versions, left aside when they are read,
    unless `earlier` puts what they held where it stands now: it is handed new rows, not yet
    inserted, with their gone fields. `plain` are texts that name nobody, `names` those that are a
    person's own name or address; every other text may speak of a family. `titles` say what
    something to play is called. `private` is written for the teacher alone: fields, or whole rows
    by `private_rows`. `settings` rows may be replaced. `ending` names the field whose ending a
    row's file gets. `stays` says why rows are not carried. `forget` lets go of what a studio
    keeps outside the database. `papers` prints rows: the key of each, and its PDF.
    """

    model: type[Row]
    many: StrOrPromise
    belongs: str
    family: str = ""
    shared: str = ""
    secret: tuple[str, ...] = ()
    renew: Callable[[Any], None] | None = None
    hide: Callable[[Values], None] | None = None
    after: tuple[str, ...] = ()
    mentions: Mapping[str, Callable[[models.QuerySet[Any]], Iterable[int]]] = field(
        default_factory=dict
    )
    gone: tuple[str, ...] = ()
    earlier: Callable[[Sequence[tuple[Any, Values]]], None] | None = None
    relink: Callable[[Values, Find], None] | None = None
    plain: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    titles: tuple[str, ...] = ()
    private: tuple[str, ...] = ()
    private_rows: Q | None = None
    settings: bool = False
    table: Table | None = None
    ending: str = ""
    stays: str = ""
    forget: Callable[[Any], None] | None = None
    papers: Callable[[models.QuerySet[Any]], Iterator[tuple[int, bytes]]] | None = None

    @property
    def label(self) -> str:
        return self.model._meta.label_lower

    @property
    def fields(self) -> list[models.Field[Any, Any]]:
        """The fields that travel beside the key."""
        return [
            each
            for each in self.model._meta.local_concrete_fields
            if each.name not in self.secret and not isinstance(each, models.AutoField)
        ]

    @property
    def words(self) -> list[models.Field[Any, Any]]:
        """The fields in which somebody may be spoken of."""
        others = {*self.plain, *self.names, *self.secret}
        return [each for each in texts(self.model) if each.name not in others]

    def of(self, studio: models.Model, using: str | None = None) -> models.QuerySet[Row]:
        """The studio's own rows, in order of their keys."""
        rows = self.model._base_manager.using(using).order_by("pk")
        return rows.filter(**{self.belongs or "pk": studio.pk})

    def of_family(self, family: models.Model) -> models.QuerySet[Row]:
        rows = self.model._base_manager.order_by("pk")
        return rows.filter(**{self.family: family.pk}).distinct() if self.family else rows.none()


def texts(model: type[Row]) -> list[models.Field[Any, Any]]:
    """Every field that can hold words: text without a fixed list of values, and JSON."""
    return [
        each
        for each in model._meta.local_concrete_fields
        if (isinstance(each, models.CharField | models.TextField) and not each.choices)
        or isinstance(each, models.JSONField)
    ]


def our_apps() -> list[Any]:
    """The apps that keep studios' data: those with an `exporting` module."""
    found = apps.get_app_configs()
    return [each for each in found if module_has_submodule(each.module, "exporting")]


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, rows that others point to first."""
    found = {rule.label: rule for module in _modules() for rule in module.RULES}
    ordered: dict[str, Rule] = {}

    def take(label: str, above: tuple[str, ...]) -> None:
        if label in ordered or label not in found or label in above:
            return
        for other in _needs(found[label]):
            take(other, (*above, label))
        ordered[label] = found[label]

    for label in found:
        take(label, ())
    return tuple(ordered.values())


@cache
def carried() -> tuple[Rule, ...]:
    """The rules whose rows an export holds."""
    return tuple(rule for rule in all_rules() if not rule.stays)


@cache
def by_label() -> dict[str, Rule]:
    return {rule.label: rule for rule in carried()}


def called(model: type[Row]) -> str:
    """What a model's rows are called, many of them."""
    return next(str(rule.many) for rule in all_rules() if rule.model is model)


def left_out() -> dict[type[Row], str]:
    """Models whose rows are no studio's, each with the reason."""
    return {model: why for module in _modules() for model, why in module.LEFT_OUT.items()}


def _modules() -> Iterator[Any]:
    for config in our_apps():
        yield import_module(f"{config.name}.exporting")


def _needs(rule: Rule) -> Iterator[str]:
    meta = rule.model._meta
    for each in (*meta.local_concrete_fields, *meta.local_many_to_many):
        other = each.remote_field and each.remote_field.model
        if other and other is not rule.model:
            yield other._meta.label_lower
    yield from rule.after
