import pytest
from music21 import key as m21key

from practice.music.errors import UnknownKey
from practice.music.keys import ALL_KEYS, USUAL_ORDER, Key, key_of, next_key, parse_key

# The circle of fifths from seven flats to seven sharps, handbook table (also music21's).
CIRCLE = "Cb/ab Gb/eb Db/bb Ab/f Eb/c Bb/g F/d C/a G/e D/b A/f# E/c# B/g# F#/d# C#/a#"


def test_there_are_thirty_keys_in_the_order_of_the_circle() -> None:
    names = [pair.split("/") for pair in CIRCLE.split()]
    for count, (major, minor) in zip(range(-7, 8), names, strict=True):
        assert key_of(count, "major") == Key(major, "major")
        assert key_of(count, "minor") == Key(minor[0].upper() + minor[1:], "minor")
    assert len(set(ALL_KEYS)) == 30


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_signature_and_relations_agree_with_music21(key: Key) -> None:
    tonic = key.tonic.replace("b", "-")
    other = m21key.Key(tonic if key.mode == "major" else tonic.lower())
    assert key.signature == other.sharps
    assert {p.step: int(p.alter) for p in other.alteredPitches} == key.altered
    assert key.relative.tonic.replace("b", "-") == other.relative.tonic.name
    if key.parallel:
        assert key.parallel.signature == other.parallel.sharps
    else:
        assert abs(other.parallel.sharps) > 7


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_every_spelling_of_a_name_is_read(key: Key) -> None:
    for text in (key.name, key.slug, key.sign, f"{key.tonic} {key.mode}", key.name.upper()):
        assert parse_key(text) == key


@pytest.mark.parametrize("text", ["H major", "", "G", "G sharpish minor", "<b>G</b> major", "7"])
def test_what_is_no_key_is_named(text: str) -> None:
    with pytest.raises(UnknownKey) as caught:
        parse_key(text)
    assert caught.value.value == text
    assert f"“{text}”" in str(caught.value)


def test_a_key_of_eight_signs_is_refused_with_the_one_that_sounds_the_same() -> None:
    with pytest.raises(UnknownKey, match="8 signs; write A flat major instead"):
        parse_key("G sharp major")


def test_neighbours_stand_a_fifth_apart() -> None:
    assert [k.name for k in parse_key("G major").neighbours] == ["C major", "D major"]
    assert [k.name for k in parse_key("C sharp major").neighbours] == ["F sharp major"]


def test_moving_on_goes_by_fifths_and_comes_round() -> None:
    assert next_key(parse_key("G major")).name == "C major"
    assert next_key(parse_key("D flat major")).name == "A major"
    assert next_key(parse_key("G flat major")).name == "D flat major"
    assert next_key(parse_key("E minor")).name == "A minor"


@pytest.mark.parametrize("key", ALL_KEYS, ids=str)
def test_moving_on_visits_every_key_of_the_order(key: Key) -> None:
    seen = []
    for _ in range(12):
        key = next_key(key)
        seen.append(key)
    assert set(seen) == {other for other in USUAL_ORDER if other.mode == key.mode}
