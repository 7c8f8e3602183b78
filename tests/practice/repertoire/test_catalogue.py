"""The starter catalogue: what stands in the files, and loading it again and again."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from django.core.management import call_command

from practice.models import Idea, Work
from practice.music import hard_bars
from practice.repertoire import catalogue, catalogue_titles, catalogue_words
from practice.repertoire.catalogue import BadCatalogue, idea_rows, load_catalogue, work_rows
from studio.models import Studio
from tests.factories import IdeaFactory, WorkFactory

# A piece is easy or hard; it promises no reward and belongs to no syllabus.
FORBIDDEN = ("http", "www.", "grade", "exam", "level", "badge", "streak")


def test_every_row_says_how_sure_it_is_and_why() -> None:
    rows = list(work_rows())
    counted = Counter(row["sure"] for row in rows)
    assert set(counted) == {"checked", "part", "memory", "own"}
    assert counted["memory"] > counted["checked"]
    for row in rows:
        assert bool(row["source"]) == (row["sure"] in {"checked", "part"}), row


def test_every_key_of_a_work_is_its_own() -> None:
    keys = [row["catalogue_key"] for row in work_rows()]
    assert len(keys) == len(set(keys)) > 150


def test_every_row_fits_its_model() -> None:
    for row in work_rows():
        Work(**row).clean_fields()
    for idea in idea_rows():
        Idea(**idea).clean_fields()


def test_there_are_thirty_ideas_short_enough_for_a_sheet() -> None:
    rows = list(idea_rows())
    assert len({row["title"] for row in rows}) == 30
    assert max(len(row["text"]) for row in rows) <= 160


@pytest.mark.parametrize("name", ["works.csv", "ideas.csv"])
def test_no_address_and_no_reward_stands_in_the_files(name: str) -> None:
    text = (catalogue.DATA / name).read_text(encoding="utf-8").lower()
    assert [word for word in FORBIDDEN if word in text] == []


# Keys, opus numbers and titles of well-known works as handbooks have them; from memory.
@pytest.mark.parametrize(
    ("key", "composer", "opus", "number", "music_key"),
    [
        ("kreutzer-42-studies-no-2", "Rodolphe Kreutzer", "", "2", "C major"),
        ("wohlfahrt-60-studies-op-45-no-1", "Franz Wohlfahrt", "45", "1", "C major"),
        ("vivaldi-concerto-rv-356-1st-movement-op-3-no-6", "Antonio Vivaldi", "3", "6", "A minor"),
        ("bruch-concerto-no-1-1st-movement-op-26", "Max Bruch", "26", "", "G minor"),
        ("petzold-minuet-in-g-bwv-anh-114", "Christian Petzold", "BWV Anh. 114", "", "G major"),
    ],
)
def test_well_known_works_stand_as_handbooks_have_them(
    key: str, composer: str, opus: str, number: str, music_key: str
) -> None:
    row = next(row for row in work_rows() if row["catalogue_key"] == key)
    found = (row["composer"], row["opus"], row["number"], row["key"])
    assert found == (composer, opus, number, music_key)


def test_every_word_of_the_files_stands_where_translators_find_it() -> None:
    works = list(work_rows())
    techniques = {word for work in works for word in work["techniques"]}
    assert techniques | set(hard_bars.TECHNIQUES.values()) == set(catalogue_words.TECHNIQUES)
    assert [(idea["title"], idea["text"]) for idea in idea_rows()] == list(catalogue_words.IDEAS)
    texts = {work["source"] for work in works} - {""}
    texts |= {work["title"] for work in works if work["kind"] == Work.Kind.METHOD}
    assert texts == set(catalogue_words.TEXTS)
    titles = {work["title"] for work in works if work["kind"] != Work.Kind.METHOD}
    assert sorted(titles) == list(catalogue_titles.TITLES)
    assert set(catalogue_titles.COMPOSERS) <= {work["composer"] for work in works}


@pytest.mark.django_db
def test_loading_twice_writes_once() -> None:
    works, ideas = load_catalogue()
    assert (Work.objects.count(), Idea.objects.count()) == (works, ideas)
    assert load_catalogue() == (0, 0)


@pytest.mark.django_db
def test_loading_puts_a_changed_row_right_and_keeps_its_identity() -> None:
    load_catalogue()
    work = Work.objects.get(catalogue_key="gossec-gavotte")
    Work.objects.filter(pk=work.pk).update(title="Gavot", techniques=[])
    Idea.objects.filter(title="Name tune").update(text="Something else.")
    assert load_catalogue() == (1, 1)
    again = Work.objects.get(pk=work.pk)
    assert (again.title, again.techniques) == ("Gavotte", work.techniques)


@pytest.mark.django_db
def test_loading_leaves_alone_what_studios_wrote(studio: Studio) -> None:
    own = WorkFactory.create(studio=studio, title="Tram No. Nine", catalogue_key="gossec-gavotte")
    idea = IdeaFactory.create(studio=studio, title="Name tune", text="Mine.")
    load_catalogue()
    own.refresh_from_db()
    idea.refresh_from_db()
    assert (own.title, idea.text) == ("Tram No. Nine", "Mine.")


@pytest.mark.django_db
def test_the_command_tells_what_it_did(capsys: pytest.CaptureFixture[str]) -> None:
    call_command("load_catalogue")
    assert "works and 30 ideas new or changed" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("a,,T,,,C major,sonatina,,1,memory,", "“sonatina” is no kind"),
        ("a,,T,,,C major,piece,,1,maybe,", "“maybe” says not how sure"),
        ("a,,T,,,Bb major,piece,,1,memory,", "“Bb major” is not how keys are kept"),
        ("a,,T", "not as many cells"),
    ],
)
def test_a_bad_row_is_told_with_its_line(
    row: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    heading = (catalogue.DATA / "works.csv").read_text(encoding="utf-8").splitlines()[0]
    (tmp_path / "works.csv").write_text(f"{heading}\n{row}\n", encoding="utf-8")
    monkeypatch.setattr(catalogue, "DATA", tmp_path)
    with pytest.raises(BadCatalogue, match=f"line 2.*{words}"):
        list(work_rows())
