"""An export taken into an empty studio: every row with a new number, all or nothing."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import IO, Any

from django.core.exceptions import ValidationError
from django.db import DatabaseError, models, transaction
from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.export import packing
from studio.export.inserting import Numbers, check_text, inserted
from studio.export.packing import ExportTrouble, Manifest
from studio.export.rules import Rule, Values, by_label, carried

AT_ONCE = 200
# What our reading functions and fields raise for values of another kind or shape.
UNFIT = (ValueError, TypeError, KeyError, AttributeError, IndexError, OverflowError, RecursionError)


def is_empty(studio: Studio) -> bool:
    """Whether nothing but settings stands in it."""
    return not any(rule.of(studio).exists() for rule in carried() if not rule.settings)


def take_in(studio: Studio, path: Path | IO[bytes], name: str) -> Manifest:
    """Fill the empty studio. Raises ExportTrouble and changes nothing then."""
    with packing.opened(path, name) as (archive, manifest):
        _check_models(manifest, name)
        try:
            with transaction.atomic():
                Studio.objects.select_for_update().get(pk=studio.pk)
                if not is_empty(studio):
                    raise ExportTrouble(
                        _("The studio holds something already; nothing was taken in.")
                    )
                _Taking(studio, archive, manifest, name).run()
        except (DatabaseError, ValueError) as error:  # refused by the database, or by a field
            said = _("“{file}” breaks a rule of the program ({rule}). Nothing was changed.")
            rule = str(error).splitlines()[0][:200]
            raise ExportTrouble(said.format(file=name, rule=rule)) from error
    studio.refresh_from_db()
    return manifest


def _check_models(manifest: Manifest, name: str) -> None:
    files = {f"data/{label}.jsonl" for label in by_label()}
    for part in manifest.files:
        if part.startswith("data/") and part not in files:
            said = _(
                "“{file}” holds {part}, which this version of the program does not know. "
                "Bring the program up first."
            )
            raise ExportTrouble(said.format(file=name, part=part))


class _Taking:
    """One import under way."""

    def __init__(self, studio: Studio, archive: Any, manifest: Manifest, name: str) -> None:
        self.studio, self.archive, self.manifest, self.name = studio, archive, manifest, name
        self.numbers: dict[str, Numbers] = {}

    def run(self) -> None:
        for rule in carried():
            if rule.settings and rule.model is not Studio:
                rule.of(self.studio).delete()
        for rule in carried():
            part = f"data/{rule.label}.jsonl"
            self.numbers[rule.label] = Numbers()
            count = self.take(rule, part) if part in self.manifest.files else 0
            if count != self.manifest.rows.get(rule.label, 0):
                said = _("{part} does not hold as many rows as the manifest says.")
                raise ExportTrouble(said.format(part=part))

    def find(self, label: str, number: int) -> int | None:
        return self.numbers[label].get(number) if label in self.numbers else None

    def take(self, rule: Rule, part: str) -> int:
        """Insert the rows of one file; how many there were."""
        later: list[tuple[int, str, int]] = []
        count = 0
        found = iter(_Reading(self, rule, part))
        while some := list(islice(found, AT_ONCE)):
            count += len(some)
            new = [row for row in some if row.instance is not None]
            if rule.earlier and any(row.gone for row in new):
                rule.earlier([(row.instance, row.gone) for row in new])
            for row, pk in zip(new, inserted(rule.model, [r.instance for r in new]), strict=True):
                row.pk = pk
                later += [(pk, name, old) for name, old in row.itself.items()]
            self.link(rule, new)
            for row in some:
                if isinstance(row.old, int):
                    self.numbers[rule.label].add(row.old, row.pk)
        for pk, name, old in later:
            there = self.find(rule.label, old)
            if there is None:
                said = _("{part} names row {number}, which it does not hold.")
                raise ExportTrouble(said.format(part=part, number=old))
            rule.model._base_manager.filter(pk=pk).update(**{name: there})
        return count

    def link(self, rule: Rule, rows: list[_Row]) -> None:
        """Write what lies between two tables."""
        for many in rule.model._meta.local_many_to_many:
            through: Any = many.remote_field.through
            here, there = many.m2m_column_name(), many.m2m_reverse_name()
            through._base_manager.bulk_create(
                through(**{here: row.pk, there: other})
                for row in rows
                for other in row.many.get(many.name, ())
            )


class _Row:
    """One row read: `old` is its number in the file, `instance` None where it is there already."""

    def __init__(self, old: Any) -> None:
        self.old = old
        self.pk: Any = None
        self.instance: Any = None
        self.gone: Values = {}
        self.itself: dict[str, int] = {}
        self.many: dict[str, list[int]] = {}


class _Reading:
    """Iterates over the rows of one file, checked and with new numbers in place of old ones."""

    def __init__(self, taking: _Taking, rule: Rule, part: str) -> None:
        self.taking, self.rule, self.part = taking, rule, part
        self.last = 0

    def __iter__(self) -> Iterator[_Row]:
        for line, values in packing.lines(self.taking.archive, self.part, self.taking.name):
            try:
                yield self.row(values)
            except ValidationError as error:
                raise self.trouble(line, " ".join(error.messages)) from error
            except UNFIT as error:
                raise self.trouble(line, str(error)) from error

    def trouble(self, line: int, why: str) -> ExportTrouble:
        said = _("Line {line} of {part} in “{file}” cannot be taken: {why}")
        return ExportTrouble(
            said.format(line=line, part=self.part, file=self.taking.name, why=why[:300])
        )

    def row(self, values: Values) -> _Row:
        model, rule = self.rule.model, self.rule
        row = _Row(self.number(values.pop("id", None)))
        unknown = set(values) - {f.name for f in rule.fields} - self.many_names() - {*rule.gone}
        if unknown:
            said = _("{name} is unknown to this version")
            raise ValueError(said.format(name=sorted(unknown)[0][:60]))
        if rule.shared and values.get(rule.belongs) is None and self.there_already(row, values):
            return row
        given = {
            each.name: self.value(each, values, row) for each in rule.fields if not each.primary_key
        }
        for many in model._meta.local_many_to_many:
            row.many[many.name] = self.many(many, values.get(many.name, []))
        if rule.relink:
            rule.relink(given, self.taking.find)
        row.gone = {name: values[name] for name in rule.gone if name in values}
        check_text([given, row.gone])
        if model is Studio:
            return self.settings(row, given)
        row.instance = model(**self.attributes(given))
        if not isinstance(model._meta.pk, models.AutoField):
            row.instance.pk = model._meta.pk.to_python(row.old)
        self.renew(row.instance)
        return row

    def number(self, old: Any) -> Any:
        """Whole numbers, ascending; a key of another kind is text."""
        if not isinstance(self.rule.model._meta.pk, models.AutoField):
            return str(old)
        if type(old) is not int or not self.last < old < 2**63:
            raise ValueError(_("id cannot be {value}").format(value=str(old)[:40]))
        self.last = old
        return old

    def many_names(self) -> set[str]:
        return {each.name for each in self.rule.model._meta.local_many_to_many}

    def there_already(self, row: _Row, values: Values) -> bool:
        """A row of the list all share is used as it stands here; else it becomes the studio's."""
        known = str(values.get(self.rule.shared, ""))
        shared = self.rule.model._base_manager.filter(
            **{f"{self.rule.belongs}__isnull": True, self.rule.shared: known}
        ).first()
        row.pk = shared.pk if shared else None
        return shared is not None

    def value(self, each: models.Field[Any, Any], values: Values, row: _Row) -> Any:
        if each.name not in values:  # an older version had no such field
            if not (each.has_default() or each.null or each.empty_strings_allowed):
                raise ValueError(_("{name} is missing").format(name=each.name))
            return each.get_default()
        given = values[each.name]
        if each.remote_field:
            return self.pointed(each, given, row)
        if isinstance(each, models.BinaryField):
            taking = self.taking
            return packing.content_of(taking.archive, str(given), taking.manifest, taking.name)
        if given is None:
            if not each.null:
                raise ValueError(_("{name} is missing").format(name=each.name))
            return None
        if isinstance(each, models.CharField | models.TextField) and not isinstance(given, str):
            raise ValueError(_("{name} is no text").format(name=each.name))
        if isinstance(each, models.BooleanField) and not isinstance(given, bool):
            raise ValueError(_("{name} is neither true nor false").format(name=each.name))
        clean = each.to_python(given)
        each.run_validators(clean)
        if each.choices and clean not in {key for key, _ in each.flatchoices} | {""}:
            said = _("{name} cannot be “{value}”")
            raise ValueError(said.format(name=each.name, value=str(given)[:40]))
        return clean

    def pointed(self, each: models.Field[Any, Any], given: Any, row: _Row) -> int | None:
        other = each.remote_field.model  # type: ignore[union-attr]
        if other is Studio:
            return self.taking.studio.pk
        if given is None and each.null:
            return None
        if type(given) is not int:
            raise ValueError(_("{name} is no number of a row").format(name=each.name))
        if other is self.rule.model:
            row.itself[each.name] = given
            return None
        new = self.taking.find(other._meta.label_lower, given)
        if new is None:
            said = _("{name} names row {number}, which the file does not hold")
            raise ValueError(said.format(name=each.name, number=given))
        return new

    def many(self, each: Any, given: Any) -> list[int]:
        if not isinstance(given, list) or not all(type(one) is int for one in given):
            raise ValueError(_("{name} is no list of numbers").format(name=each.name))
        label = each.related_model._meta.label_lower
        found = [self.taking.find(label, one) for one in dict.fromkeys(given)]
        if None in found:
            said = _("{name} names a row that the file does not hold")
            raise ValueError(said.format(name=each.name))
        return [one for one in found if one is not None]

    def attributes(self, given: Values) -> Values:
        return {each.attname: given[each.name] for each in self.rule.fields if each.name in given}

    def settings(self, row: _Row, given: Values) -> _Row:
        """The studio's own row stays, with its owner; its settings are those of the file."""
        studio = self.taking.studio
        Studio.objects.filter(pk=studio.pk).update(**given)
        row.pk = studio.pk
        return row

    def renew(self, instance: Any) -> None:
        """What must be one of its kind in the whole installation is made anew where it is taken."""
        for each in self.rule.model._meta.local_concrete_fields:
            if isinstance(each, models.UUIDField) and each.unique:
                value = getattr(instance, each.attname)
                rows = self.rule.model._base_manager.filter(**{each.attname: value})
                if value is not None and rows.exists():
                    setattr(instance, each.attname, uuid.uuid4())
        if self.rule.renew:
            self.rule.renew(instance)
