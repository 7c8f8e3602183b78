"""A spreadsheet calculates nothing that a family typed, and no sign is lost."""

from __future__ import annotations

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from studio.export.guarding import guarded, unguarded

# Cells that OWASP's page on CSV injection names as dangerous: = + - @ tab, carriage return
# (from memory).
DANGEROUS = ("=", "+", "-", "@", "\t", "\r")


@given(st.text())
def test_it_comes_back_as_it_was(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(st.text())
def test_no_cell_begins_like_a_formula(text: str) -> None:
    assert not guarded(text).startswith(DANGEROUS)


@given(st.sampled_from(DANGEROUS), st.text())
def test_a_formula_becomes_text(sign: str, rest: str) -> None:
    assert guarded(sign + rest) == "'" + sign + rest


@given(st.text())
def test_it_survives_a_table(text: str) -> None:
    written = io.StringIO()
    csv.writer(written).writerow([guarded(text), "end"])
    (row,) = csv.reader(io.StringIO(written.getvalue(), newline=""))
    assert [unguarded(row[0]), row[1]] == [text, "end"]
