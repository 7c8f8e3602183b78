"""Whether two studios are equal: every row of every model, but for numbers and secrets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from copy import deepcopy
from typing import Any

from django.db import models

from studio.export.rules import Rule, by_label, carried
from studio.models import Studio


def differences(first: Studio, second: Studio) -> Iterator[str]:
    """One line for each thing in which the second is not as the first; read by itself.

    The n-th row of one stands for the n-th of the other: both are in the order they were made.
    """
    places: dict[str, dict[int, int]] = {}
    for rule in carried():
        before, after = list(rule.of(first)), list(rule.of(second))
        if len(before) != len(after):
            yield f"{rule.label}: {len(before)} rows became {len(after)}"
            return
        pairs = zip(before, after, strict=True)
        places[rule.label] = {one.pk: two.pk for one, two in pairs if isinstance(one.pk, int)}
    for rule in carried():
        pairs = zip(rule.of(first), rule.of(second), strict=True)
        if not isinstance(rule.model._meta.pk, models.AutoField):
            yield from _in_any_order(rule, pairs, places)
            continue
        for one, two in pairs:
            for name, was, now in _values(rule, one, two, places):
                if was != now:
                    yield f"{rule.label} {one.pk} {name}: {was!r} became {now!r}"


def _in_any_order(
    rule: Rule,
    pairs: Iterable[tuple[models.Model, models.Model]],
    places: dict[str, dict[int, int]],
) -> Iterator[str]:
    """Rows whose keys are chance are compared all together."""
    values = [list(_values(rule, one, two, places)) for one, two in pairs]
    was, now = (sorted(repr([v[n] for v in row]) for row in values) for n in (1, 2))
    if was != now:
        yield f"{rule.label}: {was} became {now}"


def _values(
    rule: Rule, one: models.Model, two: models.Model, places: dict[str, dict[int, int]]
) -> Iterator[tuple[str, Any, Any]]:
    was, now = _expected(rule, one, places), _plain(two)
    for each in one._meta.local_concrete_fields:
        unique_uuid = isinstance(each, models.UUIDField) and each.unique
        if not (each.primary_key or each.name in rule.secret or unique_uuid):
            yield each.name, was[each.name], now[each.name]
    for many in one._meta.local_many_to_many:
        label = many.remote_field.model._meta.label_lower
        before = {places[label][pk] for pk in _pks(one, many)}
        yield many.name, before, _pks(two, many)


def _pks(row: models.Model, many: Any) -> set[int]:
    return set(getattr(row, many.name).values_list("pk", flat=True))


def _plain(row: models.Model) -> dict[str, Any]:
    values = {f.name: f.value_from_object(row) for f in row._meta.local_concrete_fields}
    return {k: bytes(v) if isinstance(v, memoryview) else v for k, v in values.items()}


def _expected(rule: Rule, row: models.Model, places: dict[str, dict[int, int]]) -> dict[str, Any]:
    """The row's values with the numbers of the other studio in place of its own."""
    values = deepcopy(_plain(row))
    for each in row._meta.local_concrete_fields:
        if each.remote_field and values[each.name] is not None:
            label = each.remote_field.model._meta.label_lower
            values[each.name] = places.get(label, {}).get(values[each.name], values[each.name])
    if rule.hide:
        rule.hide(values)
    if rule.relink:
        rule.relink(values, lambda label, old: places[label].get(old) or _shared(label, old))
    return values


def _shared(label: str, old: int) -> int | None:
    """A row of the list all studios share keeps its number."""
    rule = by_label()[label]
    if not rule.shared:
        return None
    shared = rule.model._base_manager.filter(pk=old, **{f"{rule.belongs}__isnull": True})
    return old if shared.exists() else None
