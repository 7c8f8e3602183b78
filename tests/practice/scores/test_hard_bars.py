"""Bars likely to be hard: their reasons, what is new to this student, and the etude given."""

from __future__ import annotations

import datetime as dt

import pytest
from django.test import Client

from practice.models import EtudeInHand, PieceInHand, Score
from studio.models import Student
from tests.factories import (
    EtudeInHandFactory,
    EtudeWorkFactory,
    PieceInHandFactory,
    ScaleInHandFactory,
    ScoreFactory,
    SpotFactory,
    StudentFactory,
)


def reasons(teacher: Client, url: str) -> list[str]:
    advice = teacher.get(url).context["advice"]
    return [reason.words for each in advice for reason in each.bar.reasons]


def test_hard_bars_come_with_reasons_and_etudes(signed_in: Client, score: Score) -> None:
    EtudeWorkFactory.create(title="Far Up", techniques=["shifting"], number="7")
    html = signed_in.get(f"/scores/{score.pk}/?tempo=120").content.decode()
    assert "outside G major" in html or "outside D major" in html
    assert "Far Up" in html


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


@pytest.mark.parametrize("bowing", ["ricochet4", "detache+doubled"])
def test_a_rhythm_bowed_in_a_scale_before_is_known(
    signed_in: Client, score: Score, piece: PieceInHand, student: Student, bowing: str
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
        student=student, since="2026-09-01", until="2026-10-01", bowing_1=bowing
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
