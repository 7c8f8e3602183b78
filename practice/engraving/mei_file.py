"""A violin part out of an MEI file, as one line of bars.

Control events must name their notes (`startid`/`endid`); those placed by `tstamp` are passed
over. Where a file has no `accid.ges` at all, the key signature and the accidentals before in the
bar say how a note sounds.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any
from xml.etree.ElementTree import Element

from django.utils.translation import gettext as _

from practice.engraving.parts import Part, choose_part
from practice.engraving.safe_xml import BadFile, tuplet, whole_number
from practice.music.errors import MusicError
from practice.music.keys import MAJOR, MINOR, Key, key_of
from practice.music.line import Bar, Line, Note
from practice.music.pitch import STEPS, Pitch
from practice.music.rhythm import Metre, Value, fill, parse_metre, parse_value
from practice.music.score import Score, checked, numbered, printed_number
from practice.music.slurs import Span, place_slurs

MOST_NOTES = 20_000
_ALTER = {"s": 1, "f": -1, "ss": 2, "x": 2, "ff": -2, "n": 0, "ns": 1, "nf": -1}
_MARKS = {
    "stacc": "staccato",
    "stacciss": "wedge",
    "spicc": "wedge",
    "ten": "tenuto",
    "acc": "accent",
}
_Ratio = tuple[int, int]


def read_mei(root: Element) -> Score:
    """Raises MusicError: no notes, a keyboard score, notes no violin has."""
    music = root.find(".//body")
    if music is None:
        raise BadFile(_("This MEI file has no music in it."))
    staves = _staves(music)
    parts = [staff[1] for staff in staves]
    chosen, remarks = choose_part(parts)
    reader = _Reader(staves[chosen][0], _spans(music), not _has_sounding(music))
    reader.section(music, "")
    bars, passed = place_slurs(reader.bars, _slurs(music, reader))
    line = Line(reader.first_key, reader.first_metre, bars)
    if not any(bar.number for bar in line.bars):
        line = numbered(line)
    works = [work.findtext("title") for work in root.iter("work")]
    title = (root.findtext(".//titleStmt/title") or next(iter(works), "") or "").strip()
    composer = (root.findtext(".//composer") or "").strip()
    return checked(Score(title, composer, parts[chosen].name, line, remarks, passed))


def _has_sounding(music: Element) -> bool:
    return any("accid.ges" in element.attrib for element in music.iter())


def _staves(music: Element) -> list[tuple[str, Part]]:
    """Staff numbers with what is known of their parts; braced staves belong to one keyboard."""
    found = []
    counted: dict[str, int] = {}
    for staff in music.iter("staff"):
        counted[staff.get("n", "1")] = counted.get(staff.get("n", "1"), 0) + sum(
            1 for _ in staff.iter("note")
        )
    seen = set()
    for group in music.iter("staffGrp"):
        braced = group.get("symbol") == "brace" or group.find("grpSym[@symbol='brace']") is not None
        definitions = group.findall("staffDef")
        for definition in definitions:
            number = definition.get("n", "1")
            if number in seen:
                continue
            seen.add(number)
            clef = definition.get("clef.shape") or _attribute(definition, "clef", "shape") or "G"
            name = (definition.findtext("label") or group.findtext("label") or "").strip()
            part = Part(
                name,
                len(definitions) if braced else 1,
                clef,
                whole_number(definition.get("trans.semi") or "0", "trans.semi"),
                counted.get(number, 0),
            )
            found.append((number, part))
    return found or [("1", Part("", 1, "G", 0, counted.get("1", 0)))]


def _attribute(element: Element, child: str, name: str) -> str:
    found = element.find(child)
    return found.get(name, "") if found is not None else ""


def _spans(music: Element) -> dict[str, dict[str, Any]]:
    """What control events say of each note id: ties, fingers, tuplets."""
    found: dict[str, dict[str, Any]] = {}

    def note(reference: str) -> dict[str, Any]:
        return found.setdefault(reference.lstrip("#"), {})

    for event in music.iter():
        start, end = event.get("startid", ""), event.get("endid", "")
        if event.tag == "tie" and start:
            note(start)["tie"] = True
        elif event.tag == "fing" and start:
            note(start)["finger"] = "".join(event.itertext()).strip()
        elif event.tag == "tupletSpan" and start and end:
            note(start)["ratio"] = _ratio(event)
            note(end)["ratio_ends"] = True
    return found


def _slurs(music: Element, reader: "_Reader") -> list[Span]:
    """Slurs of control events and of attributes, by place of their notes."""
    places = reader.places
    events = [(e.get("startid", "")[1:], e.get("endid", "")[1:]) for e in music.iter("slur")]
    found = [(places[a], places[b]) for a, b in events if a in places and b in places]
    return found + reader.spans_by_attribute


def _ratio(element: Element) -> _Ratio:
    return tuplet(element.get("num", "3"), element.get("numbase", "2"))


@dataclass(slots=True)
class _Reader:
    """State that runs from bar to bar."""

    staff: str
    spans: dict[str, dict[str, Any]]
    by_signature: bool
    key: Key = Key("C", MAJOR)
    metre: Metre | None = None
    first_key: Key = Key("C", MAJOR)
    first_metre: Metre | None = None
    bars: list[Bar] = field(default_factory=list)
    changed: dict[str, Any] = field(default_factory=dict)
    kept: dict[tuple[str, int], int] = field(default_factory=dict)
    span: _Ratio = (1, 1)
    places: dict[str, int] = field(default_factory=dict)  # note id -> place
    begun: list[int] = field(default_factory=list)
    spans_by_attribute: list[Span] = field(default_factory=list)
    total: int = 0

    def section(self, element: Element, ending: str) -> None:
        for child in element:
            if child.tag == "measure":
                self._measure(child, ending)
            elif child.tag in ("scoreDef", "staffDef"):
                self._definition(child)
            elif child.tag in ("mdiv", "score", "section", "ending", "parts", "part"):
                self.section(child, child.get("n", "1") if child.tag == "ending" else ending)

    def _definition(self, element: Element) -> None:
        for part in element.iter():
            if part.tag == "staffDef" and part.get("n", self.staff) != self.staff:
                continue
            signature = part.get("keysig") or part.get("key.sig") or ""
            mode = part.get("key.mode", "")
            if part.tag == "keySig":
                signature, mode = part.get("sig", "0"), part.get("mode", "")
            if signature:
                self._change(key=_key(signature, mode))
            count = part.get("meter.count") or (part.get("count") if part.tag == "meterSig" else "")
            unit = part.get("meter.unit") or (part.get("unit") if part.tag == "meterSig" else "")
            if count and unit:
                beats = sum(whole_number(part, "meter.count") for part in count.split("+"))
                self._change(metre=parse_metre(f"{beats}/{unit}"))

    def _change(self, key: Key | None = None, metre: Metre | None = None) -> None:
        self.key, self.metre = key or self.key, metre or self.metre
        if not self.bars:
            self.first_key, self.first_metre = self.key, self.metre
        else:
            self.changed |= {name: v for name, v in (("key", key), ("metre", metre)) if v}

    def _measure(self, element: Element, ending: str) -> None:
        self.kept = {}
        staff = next((s for s in element.findall("staff") if s.get("n", "1") == self.staff), None)
        layer = staff.find("layer") if staff is not None else None
        notes: list[Note] = []
        if layer is not None:
            notes = list(self._notes(layer, (1, 1)))
        left, right = element.get("left", ""), element.get("right", "")
        if left == "rptboth" and self.bars:
            self.bars[-1] = replace(self.bars[-1], repeat_end=True)
        number = printed_number(element.get("n", ""))
        bar = Bar(tuple(notes), number, ending=ending, **self.changed)
        self.changed = {}
        self.bars.append(
            replace(
                bar,
                repeat_start=left in ("rptstart", "rptboth"),
                repeat_end=right in ("rptend", "rptboth"),
            )
        )

    def _notes(self, parent: Element, ratio: _Ratio) -> Iterator[Note]:
        for element in parent:
            if element.tag in ("beam", "graceGrp", "bTrem", "fTrem"):
                yield from self._notes(element, ratio)
            elif element.tag == "tuplet":
                yield from self._notes(element, _ratio(element))
            elif element.tag == "note":
                yield self._note(element, element, ratio)
            elif element.tag == "chord":
                heads = element.findall("note")
                if heads:
                    note = self._note(heads[0], element, ratio)
                    yield replace(note, chord=tuple(self._pitch(head) for head in heads[1:]))
            elif element.tag == "rest":
                self.total += 1
                yield Note(self._value(element, ratio, rest=True))
            elif element.tag == "mRest":
                rests = fill(self.metre.bar if self.metre else Fraction(4))
                self.total += len(rests)
                yield from (Note(replace(value, rest=True)) for value in rests)

    def _value(self, element: Element, ratio: _Ratio, *, rest: bool) -> Value:
        dots = element.get("dots", "0")
        dotted = len(element.findall("dot")) or whole_number(dots or "0", "dots")
        kind = {"breve": "1", "long": "1"}.get(element.get("dur", "4"), element.get("dur", "4"))
        try:
            value = parse_value(kind + "." * min(dotted, 2))
        except MusicError:
            words = _("This file is broken: “{text}” is no note value.")
            raise BadFile(words.format(text=kind)) from None
        ratio = ratio if ratio[0] != ratio[1] else self.span
        return replace(value, tuplet=ratio if ratio[0] != ratio[1] else (1, 1), rest=rest)

    def _note(self, head: Element, timed: Element, ratio: _Ratio) -> Note:
        self._remember(head, timed)
        spans = self.spans.get(timed.get("id", ""), {}) | self.spans.get(head.get("id", ""), {})
        self.span = spans.get("ratio", self.span)
        note = Note(
            self._value(timed, ratio, rest=False),
            self._pitch(head),
            tie=bool(spans.get("tie")) or head.get("tie", "")[:1] in ("i", "m"),
            grace=bool(timed.get("grace")),
        )
        if spans.get("ratio_ends"):
            self.span = (1, 1)
        finger = spans.get("finger", "")
        if finger in ("0", "1", "2", "3", "4"):
            note = replace(note, finger=int(finger))
        return self._marked(note, timed, head)

    def _remember(self, head: Element, timed: Element) -> None:
        """Where the note stands among all, and the slurs its attribute ends and begins."""
        if self.total > MOST_NOTES:
            raise BadFile(_("This piece has more than {most} notes.").format(most=MOST_NOTES))
        for element in (*timed.iter("note"), timed, head):
            if element.get("id"):
                self.places[element.get("id", "")] = self.total
        attribute = timed.get("slur", "") or head.get("slur", "")
        if "t" in attribute and self.begun:
            self.spans_by_attribute.append((self.begun.pop(), self.total))
        if "i" in attribute:
            self.begun.append(self.total)
        self.total += 1

    def _marked(self, note: Note, timed: Element, head: Element) -> Note:
        marks = f"{timed.get('artic', '')} {head.get('artic', '')}".split()
        marks += [m for a in (*timed.iter("artic"),) for m in a.get("artic", "").split()]
        for mark in marks:
            if mark in ("upbow", "dnbow"):
                note = replace(note, bow="up" if mark == "upbow" else "down")
            elif mark in _MARKS:
                note = replace(note, articulation=_MARKS[mark])
        return note

    def _pitch(self, head: Element) -> Pitch:
        step, octave = head.get("pname", "").upper(), head.get("oct", "")
        if len(step) != 1 or step not in STEPS or octave not in list("0123456789"):
            raise BadFile(_("This file is broken: a note without a letter or an octave."))
        place = (step, int(octave))
        accid = head.find("accid")
        child = accid.attrib if accid is not None else {}
        written = head.get("accid") or child.get("accid") or ""
        sounding = head.get("accid.ges") or child.get("accid.ges") or written
        if written in _ALTER:
            self.kept[place] = _ALTER[written]
        usual = self.kept.get(place, self.key.written(step)) if self.by_signature else 0
        return Pitch(step, _ALTER.get(sounding, usual), place[1])


def _key(signature: str, mode: str) -> Key:
    """ "2s", "3f", "0"; other signatures are no key of the circle."""
    found = re.fullmatch(r"0|([1-7])([sf])", signature)
    if not found:
        words = _("“{text}” is not a key signature this program reads.")
        raise BadFile(words.format(text=signature[:20]))
    count = int(found[1] or 0) * (-1 if found[2] == "f" else 1)
    return key_of(count, MINOR if mode == "minor" else MAJOR)
