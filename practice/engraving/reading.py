"""A score from a file a teacher drops: MusicXML, .mxl, ABC or MEI, at most 5 MB."""

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from practice.engraving.mei_file import read_mei
from practice.engraving.musicxml import read_musicxml
from practice.engraving.safe_xml import MOST_BYTES, BadFile, parse_xml, unzip_score
from practice.music.abc_tune import read_tune
from practice.music.score import Score
from studio.language.numbers import number

KINDS = gettext_noop("MusicXML (.musicxml, .xml, .mxl), ABC (.abc) or MEI (.mei)")


def read_score(data: bytes, filename: str = "") -> Score:
    """Read by content, not by name; `filename` is only named in errors.

    Raises MusicError (BadFile, WrongPart, OutOfRange …) with a sentence for the teacher.
    """
    name = _("“{name}”").format(name=filename) if filename else _("This file")
    if len(data) > MOST_BYTES:
        size = number(len(data) / 1024 / 1024, ".1f")
        words = _("{name} has {size} MB; scores up to 5 MB are read.")
        raise BadFile(words.format(name=name, size=size))
    if not data.strip(b"\0 \t\r\n"):
        raise BadFile(_("{name} is empty.").format(name=name))
    if data.startswith(b"PK"):
        data = unzip_score(data)
    start = data[:200].lstrip(b"\xef\xbb\xbf \t\r\n")
    if start.startswith((b"<", b"\xff\xfe<", b"\xfe\xff\x00<", b"\xff\xfe")):
        return _read_xml(data, name)
    if start.startswith(b"%PDF"):
        words = _("{name} is a PDF, a picture of a score. Choose {kinds}.")
        raise BadFile(words.format(name=name, kinds=_(KINDS)))
    return _read_abc(data, name)


def _read_xml(data: bytes, name: str) -> Score:
    root = parse_xml(data)
    if root.tag in ("score-partwise", "score-timewise"):
        return read_musicxml(root)
    if root.tag == "mei":
        return read_mei(root)
    words = _("{name} is no score: it begins with <{tag}>. Choose {kinds}.")
    raise BadFile(words.format(name=name, tag=root.tag[:40], kinds=_(KINDS)))


def _read_abc(data: bytes, name: str) -> Score:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")  # most older collections
    if "\0" in text or not ("\nK:" in text or text.startswith("K:") or "\rK:" in text):
        words = _("{name} is no score this program reads. Choose {kinds}.")
        raise BadFile(words.format(name=name, kinds=_(KINDS)))
    return read_tune(text)
