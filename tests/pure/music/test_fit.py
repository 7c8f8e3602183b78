import pytest

from practice.music.bowing_list import BOWINGS, bowing
from practice.music.bowings import Pattern, parse_pattern
from practice.music.errors import DoesNotFit
from practice.music.exercise import pour
from practice.music.fit import METRES, fit, in_rhythm, metres_for, rhythm_variations
from practice.music.keys import parse_key
from practice.music.rhythm import Metre, parse_metre
from practice.music.scales import scale


def test_how_a_bowing_lies_in_a_metre() -> None:
    assert fit(bowing("slur2"), parse_metre("2/4")).words == (
        "Fits 2/4: every bar begins with the bowing."
    )
    three = fit(bowing("slur2"), parse_metre("3/4"))
    assert (three.fits, three.bars) == (True, 2)
    assert three.words == "Fits 3/4: the bowing begins on one again every 2 bars."
    long = fit(parse_pattern("4/4 2. 4"), parse_metre("2/4"))
    assert not long.fits
    assert long.words == "A dotted half note would cross the bar line of 2/4."


@pytest.mark.parametrize("pattern", BOWINGS, ids=lambda p: p.slug)
@pytest.mark.parametrize("metre", METRES, ids=str)
def test_what_fits_can_be_poured_and_what_does_not_cannot(pattern: Pattern, metre: Metre) -> None:
    run = scale(parse_key("G major"), octaves=3)
    if fit(pattern, metre).fits:
        bars = pour(pattern, run, metre=metre).line.bars
        assert all(bar.quarters == metre.bar for bar in bars)
    else:
        with pytest.raises(DoesNotFit, match=f"In {metre}"):
            pour(pattern, run, metre=metre)


def test_its_own_metre_comes_first() -> None:
    assert [str(m) for m in metres_for(bowing("portato"))] == ["4/4", "2/4", "3/4"]


def test_a_bowing_in_dotted_rhythm() -> None:
    varied = in_rhythm(bowing("2s2d"), "long, short")
    assert varied is not None
    assert varied.code == "2/4 (8. 16) 8. 16"
    assert varied.name == "two together, two apart, long, short"
    assert [p.code for p in rhythm_variations(bowing("slur2"))] == [
        "2/4 (8. 16) (8. 16)",
        "2/4 (16 8.) (16 8.)",
    ]
    assert rhythm_variations(bowing("triplets"))[0].code.startswith("2/4 8.t 16t")
    assert rhythm_variations(bowing("long-short")) == ()
