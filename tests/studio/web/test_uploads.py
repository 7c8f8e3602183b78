"""What an upload field says of a file, by the file."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from studio.web.uploads import MEGABYTE, UploadField


def field() -> UploadField:
    return UploadField("A list", accept=".csv", largest=2 * MEGABYTE, otherwise="Save it alone.")


def of(size: int) -> SimpleUploadedFile:
    return SimpleUploadedFile("roster.csv", b"x" * size)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (None, "Choose a file."),
        (of(0), "The file is empty."),
        (
            of(2 * MEGABYTE + 1),
            "“roster.csv” has 2.1 MB; at most 2 MB can be taken. Save it alone.",
        ),
    ],
)
def test_what_cannot_be_taken_is_told(given: Any, sentence: str) -> None:
    with pytest.raises(ValidationError) as refused:
        field().clean(given)
    assert refused.value.messages == [sentence]


def test_what_just_fits_is_taken() -> None:
    file = of(2 * MEGABYTE)
    assert field().clean(file) is file
