"""Files from outside, opened with bounds: no entities, no outside files, no bombs."""

import io
import re
import zipfile
import zlib
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from django.utils.translation import gettext as _

from practice.music.errors import MusicError
from studio.web.zips import check_methods

MOST_BYTES = 5 * 1024 * 1024
MOST_UNPACKED = 30 * 1024 * 1024
MOST_FILES = 200
MOST_ELEMENTS = 600_000
MOST_DEPTH = 60
_NUMBER = re.compile(r"[-+]?\d{1,7}(\.\d{1,7})?", re.ASCII)


class BadFile(MusicError):
    """A file that cannot or must not be read; the text says why."""


def parse_xml(data: bytes) -> Element:
    """The root of an XML document without namespaces.

    A DOCTYPE line is allowed (MusicXML has one) and never followed; declared entities, deep
    nesting and too many elements are refused. Raises BadFile.
    """
    builder = _Builder()
    parser = expat.ParserCreate(namespace_separator="}")
    parser.buffer_text = True
    parser.StartElementHandler = builder.start
    parser.EndElementHandler = builder.end
    parser.CharacterDataHandler = builder.tree.data
    parser.EntityDeclHandler = _no_entities
    parser.ExternalEntityRefHandler = _no_outside
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    try:
        parser.Parse(data, True)
        return builder.tree.close()
    except expat.ExpatError as error:
        words = _("This file is broken: line {number} is not well-formed XML.")
        raise BadFile(words.format(number=error.lineno)) from None
    except BadFile:
        raise
    except (ValueError, LookupError):
        raise BadFile(_("This file says it is in an encoding that is not known.")) from None


class _Builder:
    """Counts while the tree grows."""

    def __init__(self) -> None:
        self.tree = TreeBuilder()
        self.depth = self.count = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        self.count += 1
        if self.depth > MOST_DEPTH:
            words = _("This file is nested deeper than {most} levels.")
            raise BadFile(words.format(most=MOST_DEPTH))
        if self.count > MOST_ELEMENTS:
            words = _("This file has more than {most} elements.")
            raise BadFile(words.format(most=MOST_ELEMENTS))
        plain = {name.rpartition("}")[2]: value for name, value in attributes.items()}
        self.tree.start(tag.rpartition("}")[2], plain)

    def end(self, tag: str) -> None:
        self.depth -= 1
        self.tree.end(tag.rpartition("}")[2])


def _no_entities(*_declared: object) -> None:
    raise BadFile(_("This file declares entities of its own, which is not allowed."))


def _no_outside(*_asked: object) -> int:
    raise BadFile(_("This file asks for another file, which is not allowed."))


def whole_number(text: str, what: str) -> int:
    """A small number as files write it ("-2", "4.0"); half steps are cut. Raises BadFile."""
    if not _NUMBER.fullmatch(text.strip()):
        words = _("This file is broken: “{text}” is no number ({what}).")
        raise BadFile(words.format(text=text.strip()[:20], what=what))
    return int(float(text))


def tuplet(actual: str, normal: str) -> tuple[int, int]:
    """So many notes in the time of so many. Raises BadFile."""
    ratio = (whole_number(actual, "tuplet"), whole_number(normal, "tuplet"))
    if min(ratio) < 1 or max(ratio) > 64:
        words = _("This file is broken: a tuplet of {actual} in {normal}.")
        raise BadFile(words.format(actual=ratio[0], normal=ratio[1]))
    return ratio


def unzip_score(data: bytes) -> bytes:
    """The MusicXML inside a compressed .mxl file. Raises BadFile."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            check_methods(archive)
            if len(archive.infolist()) > MOST_FILES:
                words = _("This .mxl file holds more than {most} files.")
                raise BadFile(words.format(most=MOST_FILES))
            return _member(archive, _root_name(archive))
    except BadFile:
        raise
    except (zipfile.BadZipFile, zlib.error, ValueError, EOFError, NotImplementedError, OSError):
        raise BadFile(_("This .mxl file is broken and cannot be unpacked.")) from None
    except RuntimeError:
        raise BadFile(_("This .mxl file is locked with a password.")) from None


def _root_name(archive: zipfile.ZipFile) -> str:
    names = archive.namelist()
    if "META-INF/container.xml" in names:
        root = parse_xml(_member(archive, "META-INF/container.xml"))
        for entry in root.iter("rootfile"):
            if entry.get("full-path") in names:
                return entry.get("full-path", "")
    for name in names:
        if name.lower().endswith((".xml", ".musicxml")) and not name.startswith("META-INF"):
            return name
    raise BadFile(_("This .mxl file holds no score."))


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    """Unpacked to the limit, whatever size the archive claims."""
    with archive.open(name) as packed:
        data = packed.read(MOST_UNPACKED + 1)
    if len(data) > MOST_UNPACKED:
        raise BadFile(_("This .mxl file unpacks to more than 30 MB."))
    return data
