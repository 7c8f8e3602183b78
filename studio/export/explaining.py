"""What stands in the zip beside the data, so that it can be read without this program."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from studio.export.packing import VERSION
from studio.export.rules import carried
from studio.fields import PackedJSONField


def readme() -> str:
    """In the language spoken now; names of files and of fields are the same in every language."""
    lines = [_head()]
    for rule in carried():
        lines.append(f"{rule.label}.jsonl: {rule.many}")
        lines += [f"    {name}" for name in _columns(rule.model, rule.secret)]
    return "\n".join(lines) + "\n"


def _head() -> str:
    head = _(
        """A whole studio, taken out of the studio manager. Format studio-export, version {version}.

Whoever has this file can read everything about every child in it. Keep it as you keep the studio.

tables/   tables for people, one a file: comma separated, UTF-8, for any spreadsheet; all times
          are those of the studio's clock.
          A cell that a spreadsheet would take for a formula has an apostrophe before it, and what
          would be one behind a comma, a semicolon or a line's end inside it has one there; so has
          a cell that begins with an apostrophe. Take that apostrophe off and it is as it was.
data/     everything, for programs: one row a line, each line an object in JSON (RFC 8259), UTF-8.
          "id" is the row's number in this file. Other rows are pointed to by their numbers.
          Days are 2026-11-25, times of day 16:15:00 on the studio's clock, instants in UTC.
files/    scores and the like as they came; the row that keeps one names it.
papers/   reports as they were printed, where they were asked for.
manifest.json  rows of each kind, and bytes and SHA-256 of every file.

No secrets are in it: no passwords, no sign-ins, and private links without their addresses. Where
it is taken in, links get new addresses; hand those out anew. To move with every address working,
restore a backup instead.

It is taken in by the page Settings, Data, of a studio that is still empty, or by
    python3 manage.py import_studio FILE --owner MAIL
A row of the list of works or ideas that all studios share has "studio": null; where it is taken
in, the list's own row of the same name is used.

What data/ holds
"""
    )
    return head.format(version=VERSION)


def _columns(model: type[models.Model], secret: tuple[str, ...]) -> list[str]:
    found = ["id"]
    for each in model._meta.local_concrete_fields:
        if each.name in secret or each.primary_key:
            continue
        kind = _(KINDS.get(type(each), TEXT))
        if each.remote_field:
            other = each.remote_field.model._meta.label_lower
            kind = _("number of a row of {kind}").format(kind=other)
        said = _("{field}: {kind}, or null") if each.null else _("{field}: {kind}")
        found.append(said.format(field=each.name, kind=kind))
    for many in model._meta.local_many_to_many:
        said = _("{field}: numbers of rows of {kind}")
        other = many.remote_field.model._meta.label_lower
        found.append(said.format(field=many.name, kind=other))
    return found


TEXT = gettext_noop("text")
KINDS: dict[type[models.Field], str] = {  # type: ignore[type-arg]
    models.BinaryField: gettext_noop("name of a file in this zip"),
    models.BooleanField: gettext_noop("true or false"),
    models.DateField: gettext_noop("day"),
    models.DateTimeField: gettext_noop("instant"),
    models.JSONField: gettext_noop("JSON"),
    PackedJSONField: gettext_noop("JSON"),
    models.PositiveIntegerField: gettext_noop("whole number"),
    models.PositiveSmallIntegerField: gettext_noop("whole number"),
    models.TimeField: gettext_noop("time of day"),
    models.UUIDField: gettext_noop("UUID"),
}
