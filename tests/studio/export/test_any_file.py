"""Any file is taken in or told: pieces changed, bytes out of nowhere, any value in any row."""

from __future__ import annotations

import io
import json
import zipfile
from contextlib import suppress

import pytest
from django.db import transaction
from hypothesis import given
from hypothesis import strategies as st

from studio.export import placing
from studio.export.packing import ExportTrouble
from studio.models import Studio
from tests.factories import StudioFactory
from tests.studio.export.filling import fewer
from tests.studio.export.test_hostile_files import good, summed

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def made(db: None) -> None:
    """One generated test cannot run inside another, so the good file is made before."""
    good()


def told(raw: bytes) -> None:
    with transaction.atomic():
        studio = StudioFactory.create(name="Empty")
        with suppress(ExportTrouble):
            placing.take_in(studio, io.BytesIO(raw), "brought.zip")
            assert Studio.objects.filter(pk=studio.pk).exists()
        transaction.set_rollback(True)


@given(st.data())
def test_any_bytes_are_told_or_taken(data: st.DataObject) -> None:
    """The fuzz: a good file with pieces changed. Nothing but ExportTrouble comes out."""
    raw = bytearray(good())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 9))] = data.draw(st.binary(max_size=9))
    told(bytes(raw))


@given(st.binary(max_size=200))
def test_bytes_out_of_nowhere_are_told(raw: bytes) -> None:
    told(b"PK\x03\x04" + raw)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=5,
)


@given(st.data())
@fewer(4)
def test_any_row_is_told_or_taken(data: st.DataObject) -> None:
    """The fuzz of rows, summed up right: any value in any field of any model."""
    with zipfile.ZipFile(io.BytesIO(good())) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    names = sorted(name for name in parts if name.startswith("data/") and parts[name])
    name = data.draw(st.sampled_from(names))
    row = json.loads(parts[name].splitlines()[0])
    row[data.draw(st.sampled_from(sorted(row)))] = data.draw(JSON)
    rest = parts[name].splitlines(True)[1:]
    parts[name] = b"".join([json.dumps(row).encode() + b"\n", *rest])
    told(summed(parts).getvalue())
