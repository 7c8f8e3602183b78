"""A spreadsheet calculates nothing that a family typed, and no sign is lost."""

from __future__ import annotations

import csv
import io
import re

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


@given(st.text(st.sampled_from([*DANGEROUS, "'", ";", ",", "|", "\n", "a"])))
def test_it_comes_back_whatever_signs_meet(text: str) -> None:
    assert unguarded(guarded(text)) == text


@given(st.text(st.sampled_from([*DANGEROUS, "'", ";", ",", "|", "\n", "a"])))
def test_a_program_that_cuts_at_other_signs_finds_no_formula_either(text: str) -> None:
    """A spreadsheet of a country that writes 0,5 cuts at semicolons, and at every line's end."""
    cells = re.split(r"[;,|\t\r\n]", guarded(text))
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)


def test_what_looks_like_no_formula_stays_as_it_is() -> None:
    for text in ("a - b", "5 = five", "so 'tis", "; then", "one,\ntwo", "x;y"):
        assert guarded(text) == text


@given(st.text())
def test_it_survives_a_table(text: str) -> None:
    written = io.StringIO()
    csv.writer(written).writerow([guarded(text), "end"])
    (row,) = csv.reader(io.StringIO(written.getvalue(), newline=""))
    assert [unguarded(row[0]), row[1]] == [text, "end"]
