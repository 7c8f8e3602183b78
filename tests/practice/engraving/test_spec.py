from contextlib import suppress
from urllib.parse import parse_qsl

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practice.engraving.engrave import PAPER, Layout
from practice.engraving.pictures import address, from_address, picture
from practice.engraving.spec import INKS, Spec, parse_address
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import parse_pattern
from practice.music.errors import MusicError
from practice.music.how import How
from practice.music.keys import ALL_KEYS, parse_key
from practice.music.scales import Arpeggio, forms_for

G = parse_key("G major")
patterns = st.sampled_from([*BOWINGS, parse_pattern("3/4 up 4 (8s 8s) =8 8 off")])


@st.composite
def specs(draw: st.DrawFn) -> Spec:
    key = draw(st.sampled_from(ALL_KEYS))
    kind = draw(st.sampled_from(["scale", "arpeggio", "bowing", "card", "bowed-arpeggio"]))
    form = draw(st.sampled_from(Arpeggio if "arpeggio" in kind else forms_for(key)))
    pattern = None if kind in ("scale", "arpeggio") else draw(patterns)
    bars = draw(st.sampled_from([None, 3])) if kind == "bowing" else None
    ways = [How(), How(open_strings="avoid", highest=12), How(over=1, fingers="0.2G-3.D")]
    how = draw(st.sampled_from(ways if kind in ("scale", "bowing") else ways[:2]))
    return Spec(kind, key, str(form), draw(st.integers(1, 3)), pattern, bars, how=how)


layouts = st.builds(
    Layout,
    st.sampled_from([6.0, 7.4, 8.0]),
    st.sampled_from([None, 92.0, 186.0]),
    ink=st.sampled_from(list(INKS.values())),
)


@given(specs(), layouts)
def test_an_address_is_read_back(spec: Spec, layout: Layout) -> None:
    path, _, query = address(spec, layout).partition("?")
    found, found_layout = parse_address(path.removesuffix(".svg"), dict(parse_qsl(query)))
    assert (found.path, found.query) == (spec.path, spec.query)
    assert _staff(found) == _staff(spec)
    assert found_layout == layout


def _staff(spec: Spec) -> object:
    try:
        return spec.staff()
    except MusicError as error:
        return str(error)


def test_page_and_paper_get_the_same_picture() -> None:
    for spec in (Spec("scale", G), Spec("excerpt", abc="M:3/4\nL:1/8\nK:G\nv!4!e2 u(!2!cd) (ef)")):
        assert from_address(address(spec, PAPER)).svg == picture(spec).svg
        assert picture(spec).src.startswith("/engraved/")


def test_the_picture_has_its_size_in_pixels() -> None:
    shown = picture(Spec("scale", G))
    assert (shown.width, shown.width_mm) == (703, 186.0)
    assert shown.height == round(shown.height_mm * 96 / 25.4)
    assert shown.alt.startswith("G major, two octaves: G A B")


def test_the_teachers_fingers_travel_in_the_address() -> None:
    spec = Spec("scale", G, octaves=1, how=How(fingers="4.4"))
    assert "f=4.4" in address(spec)
    assert from_address(address(spec)).svg != from_address("scale/G-major/major/1.svg").svg


@pytest.mark.parametrize(
    ("path", "query", "words"),
    [
        ("", {}, "names no engraving"),
        ("scale/G-major/major", {}, "names no engraving"),
        ("scale/H-major/major/2", {}, "“H-major” is not a key"),
        ("scale/G-major/dorian/2", {}, "“dorian” is not a form of G major"),
        ("scale/G-major/major/4", {}, "“4” is not a number of octaves from 1 to 3"),
        ("scale/G-major/major/٢", {}, "is not a number of octaves"),
        ("bowing/G-major/major/2/2-4_(8", {}, "never closed"),
        ("bowing/G-major/major/2/slur2", {"bars": "0"}, "“0” is not a number of bars"),
        ("scale/G-major/major/2", {"f": "x"}, "“x” does not say which fingers"),
        ("scale/G-major/major/2", {"f": "0.3"}, "G 3 cannot be played with finger 3"),
        ("scale/G-major/major/2", {"width": "5"}, "“5” mm: choose 40 to 400"),
        ("scale/G-major/major/2", {"staff": "1e3"}, "“1e3” mm"),
        ("scale/G-major/major/2", {"ink": "url(x)"}, "“url\\(x\\)” is no ink"),
        ("excerpt/!!!", {}, "cannot be read from their address"),
        ("excerpt/" + "QUFB" * 3000, {}, "longer than 4000"),
        ("excerpt/", {}, "no notes yet"),
    ],
)
def test_a_bad_address_is_told_in_words(path: str, query: dict[str, str], words: str) -> None:
    with pytest.raises(MusicError, match=words):
        parse_address(path, query)[0].staff()


@given(
    st.text(alphabet="scale/bowing/card-excerpt_GABflatmajorminr0123456789()=.x ", max_size=80),
    st.dictionaries(
        st.sampled_from(["bars", "top", "f", "width", "staff", "ink", "over", "string", "down"]),
        st.text(alphabet="0123456789.-abcGDAE", max_size=8),
    ),
)
def test_any_address_gives_a_staff_or_a_sentence(path: str, query: dict[str, str]) -> None:
    for start in ("", "scale/G-major/major/", "bowing/G-major/major/2/", "excerpt/"):
        with suppress(MusicError):
            parse_address(start + path, query)[0].staff()


def test_endless_numbers_are_refused() -> None:
    nines = "9" * 5000
    for path in (f"scale/G-major/major/{nines}", f"bowing/G-major/major/2/2-4_{nines}"):
        with pytest.raises(MusicError, match="“"):
            parse_address(path, {})
