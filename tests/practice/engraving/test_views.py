from http import HTTPStatus

from django.test import Client


def test_an_engraving_is_open_to_all_and_kept_for_a_day(client: Client) -> None:
    answer = client.get("/engraved/scale/G-major/major/2.svg")
    assert answer.status_code == HTTPStatus.OK
    assert answer["Content-Type"] == "image/svg+xml"
    assert answer["Cache-Control"] == "public, max-age=86400"
    assert b"<svg" in answer.content


def test_an_unchanged_engraving_is_not_sent_twice(client: Client) -> None:
    first = client.get("/engraved/scale/G-major/major/2.svg")
    again = client.get(
        "/engraved/scale/G-major/major/2.svg", headers={"If-None-Match": first["ETag"]}
    )
    assert again.status_code == HTTPStatus.NOT_MODIFIED
    assert again.content == b""


def test_a_bad_address_is_not_found_and_says_why(client: Client) -> None:
    answer = client.get("/engraved/scale/H-major/major/2.svg")
    assert answer.status_code == HTTPStatus.NOT_FOUND
    assert answer["Content-Type"].startswith("text/plain")
    assert "“H-major” is not a key" in answer.content.decode()


def test_markup_in_an_address_comes_back_as_plain_text(client: Client) -> None:
    answer = client.get("/engraved/scale/<script>/major/2.svg")
    assert answer["Content-Type"].startswith("text/plain")
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_only_reading_is_allowed(client: Client) -> None:
    assert client.post("/engraved/scale/G-major/major/2.svg").status_code in (
        HTTPStatus.METHOD_NOT_ALLOWED,
        HTTPStatus.FORBIDDEN,
    )


def test_the_same_notes_are_given_for_the_ear(client: Client) -> None:
    answer = client.get("/sounding/bowing/G-major/major/1/slur2.json?a=442")
    data = answer.json()
    ids = [note[0] for note in data["notes"]]
    assert ids == list(data["heads"])
    assert data["a"] == 442
    assert data["notes"][0][3] == 196.8886  # G3 at A = 442: 442 * 2 ** (-14 / 12)
    assert all(0 < x < 1 and 0 < y < 1 for x, y in data["heads"].values())


def test_an_a_that_no_studio_tunes_to_is_told(client: Client) -> None:
    for a in ("400", "x", "1e3"):
        answer = client.get(f"/sounding/scale/G-major/major/1.json?a={a}")
        assert answer.status_code == HTTPStatus.NOT_FOUND
        assert "choose 415 to 446" in answer.content.decode()
