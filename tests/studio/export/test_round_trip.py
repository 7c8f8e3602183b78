"""What is taken out comes in again as an equal studio, beside the first or in its place."""

from __future__ import annotations

import io
import json
import zipfile

import pytest
from django.db import transaction
from hypothesis import given
from hypothesis import strategies as st

from practice.models import Item, ScaleInHand, Score, Sheet, Work
from studio.export import placing, writing
from studio.export.rules import carried
from studio.links import tokens
from studio.models import HomeLink, Lesson, Studio
from tests.factories import StudioFactory
from tests.studio.export.comparing import differences
from tests.studio.export.filling import fewer, fill, filled

pytestmark = pytest.mark.django_db


def taken_out(studio: Studio) -> io.BytesIO:
    file = io.BytesIO()
    writing.write(studio, file)
    file.seek(0)
    return file


def taken_in(file: io.BytesIO) -> Studio:
    second = StudioFactory.create(name="Empty", teacher="Nobody", zone="UTC")
    placing.take_in(second, file, "export.zip")
    return second


@given(st.data())
@fewer(6)
def test_it_comes_in_as_an_equal_studio(data: st.DataObject) -> None:
    with transaction.atomic():
        first = fill(data.draw)
        assert "\n".join(differences(first, taken_in(taken_out(first)))) == ""
        transaction.set_rollback(True)


@given(st.data())
@fewer(12)
def test_it_comes_in_where_the_first_has_gone(data: st.DataObject) -> None:
    """As in another installation: what was left out of lack of a place there is kept."""
    with transaction.atomic():
        first = fill(data.draw)
        uids = {lesson.uid for lesson in Lesson.objects.of(first)}
        counts = {rule.label: rule.of(first).count() for rule in carried()}
        file = taken_out(first)
        for rule in reversed(carried()):  # who points to others goes before them
            rule.of(first).delete()
        second = taken_in(file)
        assert counts == {rule.label: rule.of(second).count() for rule in carried()}
        assert uids == {lesson.uid for lesson in Lesson.objects.of(second)}
        assert list(taken_again(second)) == []
        transaction.set_rollback(True)


def taken_again(studio: Studio) -> list[str]:
    return list(differences(studio, taken_in(taken_out(studio))))


def test_the_generated_studio_has_rows_of_every_kind() -> None:
    studio = filled()
    assert {rule.label for rule in carried() if not rule.of(studio).exists()} == set()


def test_a_difference_would_be_found() -> None:
    first = filled()
    second = taken_in(taken_out(first))
    for rule in carried():
        words = [each for each in rule.words if each.name not in rule.secret]
        row = rule.of(second).first()
        if words and row:
            was = getattr(row, words[0].attname)
            type(row)._base_manager.filter(pk=row.pk).update(**{words[0].name: "else"})
            assert list(differences(first, second)), f"{rule.label} {words[0].name}"
            type(row)._base_manager.filter(pk=row.pk).update(**{words[0].name: was})
    assert list(differences(first, second)) == []


def test_numbers_in_texts_and_json_follow_the_rows() -> None:
    """A spot's number in a bowing, a key and a plan's inputs is the new spot's number."""
    second = taken_in(taken_out(filled()))
    items = Item.objects.filter(plan__assignment__student__family__studio=second)
    item = items.filter(key__regex=r"^spot:\d+$").latest("pk")
    spot = int(item.key.partition(":")[2])
    assert item.plan.inputs["spots"][0]["id"] == spot
    assert item.plan.assignment.student.pieces.filter(spots=spot).exists()
    scale = ScaleInHand.objects.get(student=item.plan.assignment.student)
    assert item.plan.inputs["scale"]["id"] == scale.pk
    assert item.plan.assignment.pins["items"][0]["key"] == f"scale:{scale.pk}"


def test_a_number_of_a_row_that_is_gone_never_meets_another_row() -> None:
    second = taken_in(taken_out(filled()))
    keys = Item.objects.filter(plan__assignment__student__family__studio=second)
    assert "spot:-999999" in set(keys.values_list("key", flat=True))


def test_files_come_back_byte_for_byte() -> None:
    first = filled()
    second = taken_in(taken_out(first))
    before, after = (Score.objects.get(studio=studio) for studio in (first, second))
    assert bytes(before.data) == bytes(after.data)


def test_no_secret_is_in_the_file_and_no_old_address_opens_there() -> None:
    first = filled()
    link = HomeLink.objects.filter(family__studio=first, opens="student").first()
    assert link is not None
    token = tokens.shown_again(link)
    assert token
    file = taken_out(first)
    with zipfile.ZipFile(file) as archive:
        content = b"".join(archive.read(name) for name in archive.namelist())
    for secret in (token, link.token_hash, str(link.seed), first.owner.password, "example.org/"):
        assert secret.encode() not in content
    second = taken_in(file)
    renewed = HomeLink.objects.filter(family__studio=second, opens="student").first()
    assert renewed is not None
    assert renewed.token_hash != link.token_hash
    assert tokens.shown_again(renewed)  # what a sheet prints there opens there


def test_codes_on_old_sheets_are_not_in_the_file() -> None:
    first = filled()
    assert Sheet.objects.filter(plan__assignment__student__family__studio=first).exists()
    sheets = Sheet.objects.filter(plan__assignment__student__family__studio=first)
    for sheet in sheets:
        sheet.data["codes"] = [{"svg": "<svg/>", "caption": "c", "address": "http://secret"}]
        sheet.save()
    with zipfile.ZipFile(taken_out(first)) as archive:
        lines = archive.read("data/practice.sheet.jsonl").splitlines()
    assert lines
    assert all(json.loads(line)["data"]["codes"] == [] for line in lines)


def test_another_studio_of_the_installation_stays_as_it_is(other_studio: Studio) -> None:
    first = filled()
    with zipfile.ZipFile(taken_out(first)) as archive:
        content = b"".join(archive.read(name) for name in archive.namelist())
    assert other_studio.name.encode() not in content
    before = {rule.label: rule.of(other_studio).count() for rule in carried()}
    taken_in(taken_out(first))
    assert before == {rule.label: rule.of(other_studio).count() for rule in carried()}


def test_a_work_of_the_shared_list_is_used_as_it_stands() -> None:
    first = filled()
    second = taken_in(taken_out(first))
    works = [
        set(
            type(first)
            .objects.filter(pk=s.pk)
            .values_list("families__students__favourites__work", flat=True)
        )
        for s in (first, second)
    ]
    assert works[0] == works[1]


def test_a_work_the_list_here_lacks_becomes_her_own() -> None:
    first = filled()
    file = taken_out(first)
    favourites = first.families.values_list("students__favourites__work", flat=True)
    Work.objects.filter(pk__in=list(favourites)).update(catalogue_key="renamed")
    second = taken_in(file)
    own = second.works.values_list("pk", flat=True)
    assert set(second.families.values_list("students__favourites__work", flat=True)) <= set(own)
