"""Every model of both apps has its rule; a new one without fails here."""

from __future__ import annotations

from typing import Any

import pytest
from django.apps import apps
from django.db import models

from studio.export.rules import Rule, all_rules, carried, left_out, our_apps, texts
from studio.models import Family, Studio

OURS = [model for config in our_apps() for model in config.get_models()]
RULES = all_rules()


def named(rule: Rule) -> str:
    return rule.label


def test_both_apps_are_asked() -> None:
    assert {config.name for config in our_apps()} == {"studio", "practice"}


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label_lower)
def test_each_model_has_a_rule_or_a_reason(model: type[models.Model]) -> None:
    has_rule = model in {rule.model for rule in RULES}
    assert has_rule != bool(left_out().get(model)), "give it a Rule in its app's exporting module"


def test_tables_between_two_models_belong_to_a_model_with_a_rule() -> None:
    between = {m for m in apps.get_models(include_auto_created=True) if m._meta.auto_created}
    ours = {many.remote_field.through for r in RULES for many in r.model._meta.local_many_to_many}
    assert ours == {m for m in between if m._meta.app_label in {"studio", "practice"}}


@pytest.mark.parametrize("rule", RULES, ids=named)
@pytest.mark.django_db
def test_its_look_ups_lead_where_they_say(rule: Rule, studio: Studio, family: Family) -> None:
    list(rule.of(studio))
    list(rule.of_family(family))
    if rule.table:
        look_ups = [look_up for _, look_up in rule.table.columns]
        list(rule.of(studio).values_list(*look_ups))
        assert set(rule.table.told) <= set(look_ups)
        assert rule.table.counted(1) != rule.table.counted(2)
    if rule.private_rows is not None:
        list(rule.of(studio).filter(rule.private_rows))


@pytest.mark.parametrize("rule", RULES, ids=named)
def test_the_fields_it_names_are_there(rule: Rule) -> None:
    fields = {each.name: each for each in rule.model._meta.local_concrete_fields}
    named = (*rule.secret, *rule.private, *rule.names, *rule.plain, *rule.titles)
    assert set(named) <= set(fields)
    assert {*rule.plain, *rule.names} <= {each.name for each in texts(rule.model)}
    assert rule.shared in ("", *fields)


@pytest.mark.parametrize("rule", carried(), ids=named)
def test_rows_it_points_to_come_first(rule: Rule) -> None:
    before = [each.label for each in carried()][: carried().index(rule)]
    for each in (*rule.model._meta.local_concrete_fields, *rule.model._meta.local_many_to_many):
        other: Any = each.remote_field and each.remote_field.model
        if other and other is not rule.model and each.name not in rule.secret:
            assert other._meta.label_lower in before
    assert set(rule.after) <= set(before)


@pytest.mark.parametrize("rule", carried(), ids=named)
def test_what_is_one_of_its_kind_is_a_uuid_or_secret(rule: Rule) -> None:
    """Else two studios of one installation could not both have the row."""
    for each in rule.model._meta.local_concrete_fields:
        if each.unique and not each.remote_field and not isinstance(each, models.AutoField):
            assert isinstance(each, models.UUIDField) or each.name in rule.secret


@pytest.mark.parametrize("rule", carried(), ids=named)
def test_hashes_and_seeds_are_never_written(rule: Rule) -> None:
    secret = {"token_hash", "seed", "password", "token"}
    assert not secret & {each.name for each in rule.fields}
