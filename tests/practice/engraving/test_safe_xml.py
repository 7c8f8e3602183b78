import io
import zipfile

import pytest

from practice.engraving.safe_xml import BadFile, parse_xml, unzip_score

DOCTYPE = '<?xml version="1.0"?><!DOCTYPE s ['
BOMB = DOCTYPE + '<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><s>&b;</s>'
OUTSIDE = DOCTYPE + '<!ENTITY x SYSTEM "file:///etc/passwd">]><s>&x;</s>'
PARAMETER = DOCTYPE + '<!ENTITY % p SYSTEM "http://example.org/d"> %p;]><s/>'
PLAIN = (
    '<?xml version="1.0"?><!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 '
    'Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd"><score-partwise a="1">x'
    "</score-partwise>"
)


def archive(**files: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in files.items():
            made.writestr(name.replace("__", "/").replace("_xml", ".xml"), data)
    return packed.getvalue()


def test_a_doctype_line_is_allowed_and_not_followed() -> None:
    root = parse_xml(PLAIN.encode())
    assert (root.tag, root.get("a"), root.text) == ("score-partwise", "1", "x")


def test_namespaces_are_dropped() -> None:
    root = parse_xml(b'<mei xmlns="http://www.music-encoding.org/ns/mei" xml:id="a"><x/></mei>')
    assert root.tag == "mei"
    assert root.get("id") == "a"
    assert root[0].tag == "x"


@pytest.mark.parametrize("text", [BOMB, OUTSIDE, PARAMETER])
def test_entities_are_refused(text: str) -> None:
    with pytest.raises(BadFile, match="declares entities|asks for another file"):
        parse_xml(text.encode())


def test_a_broken_file_names_its_line() -> None:
    with pytest.raises(BadFile, match="broken: line 2 is not well-formed"):
        parse_xml(b"<a>\n<b></a>")
    with pytest.raises(BadFile, match="broken"):
        parse_xml(b"")
    with pytest.raises(BadFile):
        parse_xml(b'<?xml version="1.0" encoding="nonsense"?><a/>')


def test_too_deep_and_too_many_are_refused() -> None:
    with pytest.raises(BadFile, match="deeper than 60"):
        parse_xml(b"<a>" * 70 + b"</a>" * 70)
    with pytest.raises(BadFile, match="more than 600000 elements"):
        parse_xml(b"<r>" + b"<a/>" * 600_001 + b"</r>")


def test_the_score_inside_an_archive_is_found() -> None:
    container = b'<container><rootfiles><rootfile full-path="s.xml"/></rootfiles></container>'
    data = archive(META_INF__container_xml=container, s_xml=b"<score-partwise/>")
    data = data.replace(b"META_INF", b"META-INF")
    assert unzip_score(data) == b"<score-partwise/>"
    assert unzip_score(archive(only_xml=b"<a/>")) == b"<a/>"


def test_a_zip_bomb_stops_at_the_limit() -> None:
    with pytest.raises(BadFile, match="unpacks to more than 30 MB"):
        unzip_score(archive(s_xml=b"\0" * (31 * 1024 * 1024)))
    with pytest.raises(BadFile, match="more than 200 files"):
        unzip_score(archive(**{f"f{i}_xml": b"x" for i in range(201)}))


@pytest.mark.parametrize("cut", [10, 40, 90])
def test_a_broken_archive_is_told(cut: int) -> None:
    with pytest.raises(BadFile, match="broken"):
        unzip_score(archive(s_xml=b"<score-partwise/>" * 5)[:cut])


def test_an_archive_without_a_score_is_told() -> None:
    with pytest.raises(BadFile, match="holds no score"):
        unzip_score(archive(notes=b"hello"))


def test_an_archive_packed_in_a_way_no_score_is_packed_is_told() -> None:
    """The unpackers of such ways raise errors of their own for what is broken."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_LZMA) as file:
        file.writestr("score.xml", b"<score-partwise/>" * 99)
    broken = bytearray(made.getvalue())
    broken[60:80] = bytes(byte ^ 0xFF for byte in broken[60:80])
    with pytest.raises(BadFile, match="cannot be unpacked"):
        unzip_score(bytes(broken))
