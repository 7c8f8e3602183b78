"""What all forms share: the sentence names the value, long values are cut, files are refused."""

from __future__ import annotations

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.validators import MaxValueValidator
from django.test import RequestFactory

from studio.web.forms import PlainForm, answer, posted


class Lesson(PlainForm, forms.Form):
    name = forms.CharField(label="Place", max_length=5)
    minutes = forms.IntegerField(min_value=10, max_value=240)
    day = forms.DateField(required=False)
    mail = forms.EmailField(required=False)
    fee = forms.IntegerField(required=False, validators=[MaxValueValidator(9, "Too dear.")])


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("name", "", "Place is missing."),
        ("name", "kitchen", "7 characters are too many; at most 5 fit."),
        ("minutes", "", "Minutes is missing."),
        ("minutes", "½", "“½” is not a whole number."),
        ("minutes", "9" * 60, "is too much; at most 240."),
        ("minutes", "9.5", "“9.5” is not a whole number."),
        ("minutes", "5", "5 is too little; at least 10."),
        ("day", "100%s soon", "“100%s soon” is not a day. Write it like 2026-09-14."),
        ("mail", "100%s", "“100%s” is not an e-mail address."),
        ("fee", "10", "Too dear."),
    ],
)
def test_the_sentence_names_the_value(field: str, typed: str, sentence: str) -> None:
    form = Lesson({"name": "room", "minutes": "30"} | {field: typed})
    assert sentence in form.errors[field][0]


def test_a_long_value_is_cut_in_the_sentence() -> None:
    error = Lesson({"minutes": "x" * 300}).errors["minutes"][0]
    assert error == f"“{'x' * 39}…” is not a whole number."


def test_one_form_does_not_speak_with_the_values_of_another() -> None:
    Lesson({"minutes": "first"}).is_valid()
    assert "second" in Lesson({"minutes": "second"}).errors["minutes"][0]
    assert "“”" in Lesson().fields["minutes"].error_messages["invalid"]


def test_a_text_runs_in_the_direction_of_its_own_letters() -> None:
    form = Lesson()
    assert 'dir="auto"' in str(form["name"])
    assert 'dir="auto"' not in str(form["minutes"])


def test_every_file_is_refused_by_name() -> None:
    files = {
        "photo": SimpleUploadedFile("a.jpg", b"x"),
        "sound": SimpleUploadedFile(f"{'b' * 90}.wav", b"x"),
    }
    form = Lesson({"name": "room", "minutes": "30"}, files)
    first, second = form.non_field_errors()
    assert first == "“a.jpg” was not taken: no file belongs on this page."
    assert "b…”" in second


def test_a_form_is_bound_by_a_post_only(rf: RequestFactory) -> None:
    fresh = Lesson(**posted(rf.get("/")))
    empty = Lesson(**posted(rf.post("/")))
    assert (fresh.is_bound, answer(fresh)) == (False, 200)
    assert (empty.is_bound, answer(empty)) == (True, 422)
