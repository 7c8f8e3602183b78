"""Adding and changing a spot: what a spot can be, and a sentence for what it cannot."""

from __future__ import annotations

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from practice.models import PieceInHand, Spot
from studio.models import Student
from tests.factories import DAY, PieceInHandFactory, SpotFactory

pytestmark = pytest.mark.usefixtures("frozen")
GOOD = {
    "first_bar": "7",
    "last_bar": "8",
    "what": "elbow leads",
    "tempo_now": "60",
    "tempo_goal": "80",
    "excerpt": "[M:3/4] d2 GA Bc",
}


@pytest.fixture
def piece(student: Student) -> PieceInHand:
    return PieceInHandFactory.create(student=student)


def test_a_spot_is_added_with_its_bars_in_the_key_of_the_work(
    signed_in: Client, piece: PieceInHand
) -> None:
    signed_in.post(f"/pieces/{piece.pk}/spots/add/", GOOD)
    spot = piece.spots.get()
    assert (spot.label, spot.opened, spot.state) == ("bars 7 to 8", DAY, "troubled")
    assert spot.excerpt == "K:G\n[M:3/4] d2 GA Bc"


def test_one_bar_needs_no_last_bar(signed_in: Client, piece: PieceInHand) -> None:
    signed_in.post(f"/pieces/{piece.pk}/spots/add/", GOOD | {"last_bar": ""})
    assert piece.spots.get().label == "bar 7"


BAD = [
    ("first_bar", "seven", "“seven” is not a whole number."),
    ("first_bar", "", "Bar is missing."),
    ("first_bar", "0", "Bar 0: bars are counted from 1."),
    ("last_bar", "6", "The last bar, 6, lies before the first, 7."),
    ("last_bar", "99999", "99999 is too much; at most 9999."),
    ("tempo_now", "fast", "“fast” is not a whole number."),
    ("tempo_now", "5", "5 is too little; at least 20."),
    ("tempo_goal", "500", "500 is too much; at most 300."),
    ("tempo_goal", "59", "The tempo wanted, 59, lies below the tempo now, 60."),
    ("what", "", "What to do there is missing."),
    ("what", "x" * 300, "300 characters are too many; at most 200 fit."),
    ("excerpt", "d2 q", "“q” at character 4"),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD)
@pytest.mark.parametrize("existing", [False, True])
def test_a_spot_that_cannot_be_is_explained_and_stays_typed(
    signed_in: Client, piece: PieceInHand, existing: bool, field: str, typed: str, sentence: str
) -> None:
    spot = SpotFactory.create(piece=piece)
    url = f"/spots/{spot.pk}/edit/" if existing else f"/pieces/{piece.pk}/spots/add/"
    response = signed_in.post(url, GOOD | {field: typed})
    page = response.content.decode()
    assert response.status_code == 422
    assert sentence in page
    for name, value in (GOOD | {field: typed}).items():
        assert response.context["form"][name].value() == value
    assert Spot.objects.get().what == spot.what


def test_a_spot_is_changed(signed_in: Client, piece: PieceInHand) -> None:
    spot = SpotFactory.create(piece=piece)
    signed_in.post(f"/spots/{spot.pk}/edit/", GOOD | {"tempo_now": "66"})
    spot.refresh_from_db()
    assert (spot.bars, spot.what, spot.tempo_now) == ("7 to 8", "elbow leads", 66)


def test_the_heading_keeps_the_old_bars_after_a_refusal(
    signed_in: Client, piece: PieceInHand
) -> None:
    spot = SpotFactory.create(piece=piece)
    response = signed_in.post(f"/spots/{spot.pk}/edit/", GOOD | {"tempo_goal": "59"})
    assert "Bar 3" in response.content.decode()


def test_no_spot_is_added_to_a_piece_out_of_hand(signed_in: Client, piece: PieceInHand) -> None:
    signed_in.post(f"/pieces/{piece.pk}/finish/")
    response = signed_in.post(f"/pieces/{piece.pk}/spots/add/", GOOD)
    assert response.status_code == 422
    assert "Minuet in G is no longer in hand" in response.content.decode()


def test_an_upload_is_refused_and_the_spot_stays_typed(
    signed_in: Client, piece: PieceInHand
) -> None:
    scan = SimpleUploadedFile("scan.pdf", b"%PDF")
    response = signed_in.post(f"/pieces/{piece.pk}/spots/add/", {**GOOD, "excerpt_file": scan})
    assert response.status_code == 422
    assert "“scan.pdf” was not taken" in response.content.decode()
    assert 'value="elbow leads"' in response.content.decode()


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("d2 GA", "/engraved/excerpt/"),
        ("d2 q", "“q” at character 4"),
        ("", ""),
    ],
)
def test_bars_are_shown_while_they_are_typed(
    signed_in: Client, piece: PieceInHand, typed: str, shown: str
) -> None:
    response = signed_in.get(f"/pieces/{piece.pk}/excerpt/", {"excerpt": typed})
    page = response.content.decode()
    assert shown in page if shown else not page.strip()


def test_a_second_exercise_in_a_simpler_key_is_kept(signed_in: Client, piece: PieceInHand) -> None:
    signed_in.post(f"/pieces/{piece.pk}/spots/add/", GOOD | {"easier_key": "C major"})
    spot = piece.spots.get()
    assert spot.easier_key == "C major"
    page = signed_in.get(f"/spots/{spot.pk}/edit/").content.decode()
    assert '<option value="C major" selected>C major</option>' in page
    assert page.count("/engraved/excerpt/") == 2
    signed_in.post(f"/spots/{spot.pk}/edit/", GOOD | {"easier_key": ""})
    spot.refresh_from_db()
    assert spot.easier_key == ""


@pytest.mark.parametrize(
    ("excerpt", "key", "sentence"),
    [
        ("[M:3/4] d2 GA Bc", "E minor", "G major cannot be moved to E minor: keep the mode."),
        ("[M:3/4] d2 GA Bc", "H major", "“H major” is not a key."),
        ("", "C major", "Type the bars first; then they can be moved to C major."),
    ],
)
def test_a_key_that_does_not_suit_the_bars_is_told(
    signed_in: Client, piece: PieceInHand, excerpt: str, key: str, sentence: str
) -> None:
    data = GOOD | {"excerpt": excerpt, "easier_key": key}
    answer = signed_in.post(f"/pieces/{piece.pk}/spots/add/", data)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not piece.spots.exists()


def test_simpler_keys_are_offered_while_the_bars_are_typed(
    signed_in: Client, piece: PieceInHand
) -> None:
    url = f"/pieces/{piece.pk}/excerpt/"
    part = signed_in.get(url, {"excerpt": "[M:3/4] d2 GA Bc", "easier_key": "C major"})
    assert part.content.decode().count("<img") == 2
    none = signed_in.get(url, {"excerpt": "[M:3/4][K:C] d2 GA Bc"}).content.decode()
    assert "No key has fewer signs" in none
    assert "<select" not in signed_in.get(url, {"excerpt": ""}).content.decode()
