"""JSON kept packed comes back as it was, and may not be asked for in a query."""

from __future__ import annotations

import json
import zlib

import pytest
from django.core.exceptions import FieldError
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st

from practice.models import Plan
from studio.fields import COLUMNS, in_columns, in_rows
from tests import factories

names = st.text(max_size=3).filter(lambda name: name != COLUMNS)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(names, inner, max_size=3)
        | st.lists(st.fixed_dictionaries({"a": inner, "b": inner}), max_size=4)
    ),
    max_leaves=20,
)


@given(json_values)
def test_any_json_comes_back_as_it_was(value: object) -> None:
    assert in_rows(json.loads(json.dumps(in_columns(value)))) == value


def test_lists_of_like_objects_are_kept_in_columns() -> None:
    assert in_columns([{"a": 1, "b": 2}, {"a": 3, "b": 4}]) == {COLUMNS: {"a": [1, 3], "b": [2, 4]}}
    assert in_columns([{"a": 1}, {"b": 4}]) == [{"a": 1}, {"b": 4}]


def test_a_name_that_would_be_misread_is_refused() -> None:
    with pytest.raises(ValueError, match="No name may be"):
        in_columns({"x": [{COLUMNS: 1}]})


@pytest.mark.django_db
def test_the_database_holds_it_packed() -> None:
    plan = factories.PlanFactory.create(inputs={"days": [{"n": n} for n in range(50)]})
    with connection.cursor() as cursor:
        cursor.execute("SELECT inputs FROM practice_plan WHERE id = %s", [plan.pk])
        kept = bytes(cursor.fetchone()[0])
    assert json.loads(zlib.decompress(kept)) == {"days": {COLUMNS: {"n": [*range(50)]}}}
    assert Plan.objects.get(pk=plan.pk).inputs == plan.inputs
    with pytest.raises(FieldError):
        Plan.objects.filter(inputs__days=[]).exists()
