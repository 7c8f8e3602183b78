"""The pages of scores: dropping, tapping, refusing, and another studio's score."""

from __future__ import annotations

import datetime as dt

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from practice.bench.cards import cards_of
from practice.models import EtudeInHand, PieceInHand, Score, Spot
from practice.plans.hand import hand_of
from practice.scores import urls
from studio.models import Student, Studio
from tests.factories import (
    SCORE,
    EtudeInHandFactory,
    EtudeWorkFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    ScoreFactory,
    SpotFactory,
    StudentFactory,
    WorkFactory,
)
from tests.practice.scores.test_taking import BAD


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return PieceInHandFactory.create(student=student)


@pytest.fixture
def score(piece: PieceInHand, studio: Studio) -> Score:
    return ScoreFactory.create(studio=studio, work=piece.work)


def dropped(data: bytes, name: str = "tune.abc") -> dict[str, SimpleUploadedFile]:
    return {"file": SimpleUploadedFile(name, data)}


def test_a_dropped_file_is_kept_as_it_came(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create()
    answer = signed_in.post(f"/repertoire/{work.pk}/score/", dropped(SCORE.encode()))
    score = Score.objects.get()
    assert answer.headers["Location"] == f"/scores/{score.pk}/"
    assert (score.studio, score.work, score.bars) == (studio, work, 7)
    copy = signed_in.get(f"/scores/{score.pk}/file/")
    assert copy.content == SCORE.encode()
    assert "tune.abc" in copy.headers["Content-Disposition"]
    assert "tune.abc" in signed_in.get(f"/repertoire/{work.pk}/").content.decode()


def test_the_same_file_twice_is_one_score(signed_in: Client, score: Score) -> None:
    url = f"/repertoire/{score.work_id}/score/"
    assert (
        signed_in.post(url, dropped(SCORE.encode()))
        .headers["Location"]
        .endswith(f"/scores/{score.pk}/")
    )
    assert Score.objects.count() == 1


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_changes_nothing_and_says_why(
    signed_in: Client, score: Score, name: str
) -> None:
    data, words = BAD[name]
    answer = signed_in.post(f"/repertoire/{score.work_id}/score/", dropped(data, "bad.xml"))
    assert answer.status_code == 422
    assert words in answer.content.decode().replace("&#x27;", "'")
    assert list(Score.objects.all()) == [score]


def test_no_file_is_told(signed_in: Client) -> None:
    answer = signed_in.post(f"/repertoire/{WorkFactory.create().pk}/score/")
    assert answer.status_code == 422
    assert "Choose a file first." in answer.content.decode()


def test_the_page_has_a_tick_for_every_bar_by_its_printed_name(
    signed_in: Client, score: Score
) -> None:
    html = signed_in.get(f"/scores/{score.pk}/").content.decode()
    assert html.count('name="bar"') == 7
    assert 'aria-label="The pickup"' in html
    assert "Bar 3, likely to be hard" in html
    assert "style=" not in html
    svg = signed_in.get(f"/scores/{score.pk}/page-1.svg")
    assert svg.headers["Content-Type"] == "image/svg+xml"
    assert "private" in svg.headers["Cache-Control"]
    assert signed_in.get(f"/scores/{score.pk}/page-2.svg").status_code == 404


def test_hard_bars_come_with_reasons_and_etudes(signed_in: Client, score: Score) -> None:
    EtudeWorkFactory.create(title="Far Up", techniques=["shifting"], number="7")
    html = signed_in.get(f"/scores/{score.pk}/?tempo=120").content.decode()
    assert "outside G major" in html or "outside D major" in html
    assert "Far Up" in html


def reasons(teacher: Client, url: str) -> list[str]:
    advice = teacher.get(url).context["advice"]
    return [reason.words for each in advice for reason in each.bar.reasons]


def test_an_etude_is_given_from_a_hard_bar_in_one_press(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    before = EtudeInHandFactory.create(student=piece.student, since=dt.date(2026, 9, 1))
    work = EtudeWorkFactory.create(title="Far Up", techniques=["shifting"], number="7")
    url = f"/scores/{score.pk}/?piece={piece.pk}&tempo=120"
    html = signed_in.get(url).content.decode()
    assert f'name="work" value="{work.pk}" aria-label="Give Far Up' in html
    given = {"piece": piece.pk, "work": work.pk, "tempo": 120}
    answer = signed_in.post(f"/scores/{score.pk}/etude/", given)
    assert answer.headers["Location"] == f"/scores/{score.pk}/?tempo=120&piece={piece.pk}#hard"
    now = piece.student.etudes.get(until=None)
    assert now.work == work
    before.refresh_from_db()
    assert before.until == now.since
    html = signed_in.get(answer.headers["Location"]).content.decode()
    assert f"Far Up, op. 45 no. 7 is Imani’s etude now. Before it: {before.work}." in html
    assert '<span class="second">in hand</span>' in html
    assert 'aria-label="Give Far Up' not in html


@pytest.mark.parametrize("wrong", ["piece", "work", "kind", "theirs", "letters"])
def test_an_etude_is_given_only_to_her_own_student(
    signed_in: Client, score: Score, piece: PieceInHand, other_student: Student, wrong: str
) -> None:
    given: dict[str, object] = {"piece": piece.pk, "work": EtudeWorkFactory.create().pk}
    theirs = PieceInHandFactory.create(student=other_student, work=score.work)
    hidden = EtudeWorkFactory.create(studio=other_student.family.studio, catalogue_key="")
    wrongs: dict[str, dict[str, object]] = {
        "piece": {"piece": 99999},
        "work": {"work": 99999},
        "kind": {"work": piece.work_id},
        "theirs": {"piece": theirs.pk, "work": hidden.pk},
        "letters": {"work": "x"},
    }
    given |= wrongs[wrong]
    assert signed_in.post(f"/scores/{score.pk}/etude/", given).status_code == 404
    assert not EtudeInHand.objects.exists()


def test_the_tempo_wanted_is_that_of_the_fastest_spot(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    for goal in (96, 132):
        SpotFactory.create(piece=piece, tempo_goal=goal)
    assert signed_in.get(f"/scores/{score.pk}/").context["asked"].tempo == 132
    assert signed_in.get(f"/scores/{score.pk}/?tempo=70").context["asked"].tempo == 70


def test_a_rhythm_is_new_to_one_student_and_known_to_another(
    signed_in: Client, score: Score, piece: PieceInHand, student: Student
) -> None:
    """Both have learned a piece with quarter notes only; one has solved a spot in sixteenths."""
    other = StudentFactory.create(family=student.family, given_name="Ada")
    twin = PieceInHandFactory.create(student=other, work=score.work)
    plain = ScoreFactory.create(
        studio=score.studio, data=b"X:1\nM:3/4\nL:1/4\nK:C\nccc|]\n", digest="plain", bars=1
    )
    for each in (student, other):
        PieceInHandFactory.create(
            student=each, work=plain.work, stage="finished", finished="2026-11-01"
        )
    cells = "M:3/4\nL:1/16\nK:G\nGABcdefgabc'd'|G8A4|d4 GABc d4|"
    SpotFactory.create(piece=twin, state="solved", solved="2026-11-20", excerpt=cells)
    new = "a rhythm new to this student: 4 sixteenth notes"
    url = f"/scores/{score.pk}/?piece="
    assert new in reasons(signed_in, f"{url}{piece.pk}")
    assert new not in reasons(signed_in, f"{url}{twin.pk}")
    assert new not in reasons(signed_in, url)


def test_a_rhythm_bowed_in_a_scale_before_is_known(
    signed_in: Client, score: Score, piece: PieceInHand, student: Student
) -> None:
    plain = ScoreFactory.create(
        studio=score.studio, data=b"X:1\nM:3/4\nL:1/4\nK:C\nccc|]\n", digest="plain", bars=1
    )
    PieceInHandFactory.create(
        student=student, work=plain.work, stage="finished", finished="2026-11-01"
    )
    new = "a rhythm new to this student: 4 sixteenth notes"
    assert new in reasons(signed_in, f"/scores/{score.pk}/")
    ScaleInHandFactory.create(
        student=student, since="2026-09-01", until="2026-10-01", bowing_1="ricochet4"
    )
    assert new not in reasons(signed_in, f"/scores/{score.pk}/")


def test_rhythms_are_new_only_where_learned_scores_can_tell(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    assert "new to this student" not in signed_in.get(f"/scores/{score.pk}/").content.decode()
    plain = ScoreFactory.create(
        studio=score.studio, data=b"X:1\nM:3/4\nL:1/4\nK:C\nccc|]\n", digest="plain", bars=1
    )
    PieceInHandFactory.create(
        student=piece.student, work=plain.work, stage="finished", finished="2026-11-01"
    )
    html = signed_in.get(f"/scores/{score.pk}/?piece={piece.pk}").content.decode()
    assert "new to this student" in html


def test_tapped_bars_become_a_spot_whose_bowing_reaches_the_bench(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    ScaleInHandFactory.create(student=piece.student)
    shown = signed_in.get(f"/scores/{score.pk}/bars/?bar=2").content.decode()
    assert "Bar 1" in shown
    assert "long, two, two" in shown
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": piece.pk, "what": "Low 2", "tempo_now": 60, "tempo_goal": 90},
    )
    spot = Spot.objects.get()
    assert answer.headers["Location"].endswith(f"#piece-{piece.pk}")
    assert (spot.piece, spot.first_bar, spot.last_bar, spot.tempo_goal) == (piece, 1, 1, 90)
    assert spot.excerpt.startswith("M:3/4")
    cards = cards_of(piece.student, hand_of(piece.student)).offered
    borrowed = next(card for card in cards if card.id == f"spot:{spot.pk}")
    assert borrowed.name == "long, two, two"


def test_a_spot_without_words_is_asked_again_and_keeps_its_bars(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": ["2", "3"], "piece": piece.pk, "what": "", "tempo_now": 90, "tempo_goal": 80},
    )
    html = answer.content.decode()
    assert answer.status_code == 422
    assert "What to do there is missing." in html
    assert "Bars 1 to 2" in html
    assert 'value="90"' in html
    assert not Spot.objects.exists()


@pytest.mark.parametrize("bar", ["99", "0", "x", ""])
def test_a_bar_that_does_not_exist_makes_no_spot(
    signed_in: Client, score: Score, piece: PieceInHand, bar: str
) -> None:
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": bar, "piece": piece.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert answer.status_code == 422
    assert "not in the score" in answer.content.decode()
    assert not Spot.objects.exists()


def test_a_spot_goes_to_no_one_elses_piece(
    signed_in: Client, score: Score, other_student: Student
) -> None:
    theirs = PieceInHandFactory.create(student=other_student, work=score.work)
    answer = signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": theirs.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert answer.status_code == 422
    assert not Spot.objects.exists()


def test_from_a_piece_to_its_score_or_to_where_one_is_dropped(
    signed_in: Client, piece: PieceInHand, studio: Studio
) -> None:
    url = f"/pieces/{piece.pk}/score/"
    assert signed_in.get(url).headers["Location"] == f"/repertoire/{piece.work_id}/score/"
    score = ScoreFactory.create(studio=studio, work=piece.work)
    assert signed_in.get(url).headers["Location"] == f"/scores/{score.pk}/?piece={piece.pk}"


def test_a_removed_score_leaves_its_spots(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    signed_in.post(
        f"/scores/{score.pk}/spot/",
        {"bar": "2", "piece": piece.pk, "what": "x", "tempo_now": 60, "tempo_goal": 80},
    )
    assert signed_in.post(f"/scores/{score.pk}/remove/").status_code == 302
    assert not Score.objects.exists()
    assert Spot.objects.get().excerpt


def test_a_work_with_a_score_is_not_removed(signed_in: Client, studio: Studio) -> None:
    work = WorkFactory.create(studio=studio, catalogue_key="")
    ScoreFactory.create(studio=studio, work=work)
    signed_in.post(f"/repertoire/{work.pk}/remove/")
    assert Score.objects.count() == 1


def test_every_address_hides_another_studios_score(
    signed_in: Client, other_studio: Studio, other_student: Student
) -> None:
    theirs = ScoreFactory.create(studio=other_studio)
    piece = PieceInHandFactory.create(student=other_student)
    work = WorkFactory.create(studio=other_studio, catalogue_key="")
    ids = {"scores": theirs.pk, "pieces": piece.pk, "repertoire": work.pk}
    for entry in urls.urlpatterns:
        address = str(entry.pattern).replace("<int:number>", "1")
        url = "/" + address.replace("<int:pk>", str(ids[address.split("/")[0]]))
        for method in (signed_in.get, signed_in.post):
            assert method(url).status_code in {404, 405}, url
    shown = signed_in.get(f"/repertoire/{theirs.work_id}/").content.decode()
    assert theirs.name not in shown


def test_the_page_asks_the_database_the_same_few_times(
    signed_in: Client, score: Score, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    signed_in.get(f"/scores/{score.pk}/")
    with django_assert_max_num_queries(8):
        signed_in.get(f"/scores/{score.pk}/")


@pytest.fixture
def long_score(piece: PieceInHand, studio: Studio) -> Score:
    """120 bars: several pages, and a pickup."""
    abc = "X:1\nT:Long Road\nM:4/4\nL:1/8\nK:D\nA|" + "(AB)cd (ef)ga|" * 119 + "[DA]8|]\n"
    return ScoreFactory.create(
        studio=studio, work=piece.work, name="long.abc", data=abc.encode(), digest="l", bars=121
    )


def test_pages_are_drawn_as_they_are_asked_for(signed_in: Client, long_score: Score) -> None:
    url = f"/scores/{long_score.pk}/"
    shown = signed_in.get(url)
    pages = shown.context["pages"]
    assert [hasattr(page, "boxes") for page in pages] == [True, *[False] * (len(pages) - 1)]
    html = shown.content.decode()
    assert f'hx-get="{url}leaf-2/?tempo=80&amp;piece=' in html
    assert f"Page {len(pages)}: bar " in html
    leaf = signed_in.get(f"{url}leaf-2/?tempo=80").content.decode()
    assert 'aria-label="Bar ' in leaf
    assert f'src="{url}page-2.svg"' in leaf
    assert "<html" not in leaf
    missing = len(pages) + 1
    assert signed_in.get(f"{url}leaf-{missing}/").status_code == 404
    assert signed_in.get(f"{url}leaf-0/").status_code == 404


def test_a_tapped_bars_page_is_drawn_and_keeps_its_tick(
    signed_in: Client, long_score: Score
) -> None:
    shown = signed_in.get(f"/scores/{long_score.pk}/?bar=121&page=2")
    drawn = [page.number for page in shown.context["pages"] if hasattr(page, "boxes")]
    assert drawn == [2, len(shown.context["pages"])]
    assert 'value="121" aria-label="Bar 120, likely to be hard" class="hard" checked' in (
        shown.content.decode()
    )


@pytest.mark.parametrize("page", ["0", "99", "x", "-1"])
def test_a_page_that_does_not_exist_is_the_nearest(
    signed_in: Client, long_score: Score, page: str
) -> None:
    shown = signed_in.get(f"/scores/{long_score.pk}/?page={page}")
    assert sum(hasattr(each, "boxes") for each in shown.context["pages"]) == 1


def test_the_same_bars_in_a_simpler_key_go_with_the_spot(
    signed_in: Client, score: Score, piece: PieceInHand
) -> None:
    url = f"/scores/{score.pk}/?bar=6&piece={piece.pk}"
    html = signed_in.get(url).content.decode()
    assert 'name="easier_key" value="C major"' in html
    data = {"piece": piece.pk, "what": "low second", "tempo_now": 60, "tempo_goal": 80, "bar": 6}
    signed_in.post(f"/scores/{score.pk}/spot/", data | {"easier_key": "C major"})
    assert piece.spots.get().easier_key == "C major"
