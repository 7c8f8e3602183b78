"""A violin part out of MusicXML (part-wise), as one line of bars."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from xml.etree.ElementTree import Element

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.engraving.parts import Part, choose_part
from practice.engraving.safe_xml import BadFile, tuplet, whole_number
from practice.music.errors import MusicError
from practice.music.keys import MAJOR, MINOR, Key, key_of
from practice.music.line import Bar, Bow, Line, Note
from practice.music.pitch import STEPS, Pitch
from practice.music.rhythm import Metre, Value, fill, parse_metre
from practice.music.score import Score, checked, numbered, printed_number
from practice.music.slurs import Span, place_slurs

MOST_NOTES = 20_000
_TYPES = {
    "breve": 1, "whole": 1, "half": 2, "quarter": 4, "eighth": 8, "16th": 16, "32nd": 32,
    "64th": 64,
}  # fmt: skip
_MARKS = {
    "staccato": "staccato",
    "staccatissimo": "wedge",
    "tenuto": "tenuto",
    "detached-legato": "tenuto",
    "accent": "accent",
    "strong-accent": "accent",
}


def read_musicxml(root: Element) -> Score:
    """Raises MusicError: a piano score, a transposing part, notes no violin has."""
    if root.tag == "score-timewise":
        raise BadFile(_("This MusicXML is time-wise. Save it as the usual part-wise MusicXML."))
    names = {part.get("id", ""): _text(part, "part-name") for part in root.iter("score-part")}
    parts = [_part(element, names) for element in root.findall("part")]
    chosen, remarks = choose_part(parts)
    reader = _PartReader()
    reader.read(root.findall("part")[chosen])
    title = _text(root, "work/work-title") or _text(root, "movement-title")
    composers = [c.text or "" for c in root.iter("creator") if c.get("type") == "composer"]
    composer = composers[0].strip() if composers else ""
    bars, passed = place_slurs(reader.bars, reader.spans)
    line = Line(reader.first_key, reader.first_metre, bars)
    if not any(bar.number for bar in line.bars):
        line = numbered(line)
    remarks += tuple(reader.remarks())
    return checked(Score(title, composer, parts[chosen].name, line, remarks, passed))


def _text(element: Element, path: str) -> str:
    return (element.findtext(path) or "").strip()


def _part(element: Element, names: dict[str, str]) -> Part:
    staves = max((whole_number(s.text or "1", "staves") for s in element.iter("staves")), default=1)
    clef = element.find(".//attributes/clef/sign")
    transpose = element.find(".//attributes/transpose")
    semitones = 0
    if transpose is not None:
        semitones = whole_number(_text(transpose, "chromatic") or "0", "transpose")
        semitones += 12 * whole_number(_text(transpose, "octave-change") or "0", "octave-change")
    return Part(
        name=names.get(element.get("id", ""), ""),
        staves=staves,
        clef=(clef.text or "G").strip() if clef is not None else "G",
        transposed=semitones,
        notes=sum(1 for _ in element.iter("pitch")),
    )


@dataclass(slots=True)
class _PartReader:
    """State that runs from bar to bar."""

    divisions: int = 1
    key: Key = Key("C", MAJOR)
    metre: Metre | None = None
    first_key: Key = Key("C", MAJOR)
    first_metre: Metre | None = None
    bars: list[Bar] = field(default_factory=list)
    begun: dict[str, int] = field(default_factory=dict)  # slur number -> its first note
    spans: list[Span] = field(default_factory=list)
    ending: str = ""
    before: int = 0  # notes in the bars before this one
    second_voice: list[str] = field(default_factory=list)

    def read(self, part: Element) -> None:
        for measure in part.findall("measure"):
            self._measure(measure)

    def remarks(self) -> Iterator[str]:
        if self.second_voice:
            bars = ", ".join(self.second_voice[:5]) + (" …" if len(self.second_voice) > 5 else "")
            yield ngettext(
                "A second voice was left out in bar {bars}.",
                "A second voice was left out in bar {bars}.",
                len(self.second_voice),
            ).format(bars=bars)

    def _measure(self, measure: Element) -> None:
        implicit = measure.get("implicit") == "yes"
        number = "" if implicit else printed_number(measure.get("number", ""))
        bar = Bar((), number, ending=self.ending)
        notes: list[Note] = []
        voice, left_out = "", False
        for element in measure:
            if element.tag == "attributes":
                bar = self._attributes(element, bar)
            elif element.tag == "barline":
                bar = self._barline(element, bar)
            elif element.tag == "note" and not _unprinted(element):
                its_voice = _text(element, "voice") or "1"
                voice = voice or its_voice
                if its_voice == voice:
                    self._note(element, notes)
                else:
                    left_out = True
        if left_out:
            self.second_voice.append(number or _("without number"))
        self.bars.append(replace(bar, notes=tuple(notes)))
        self.before += len(notes)

    def _attributes(self, element: Element, bar: Bar) -> Bar:
        if element.find("divisions") is not None:
            self.divisions = max(1, whole_number(_text(element, "divisions"), "divisions"))
        fifths = element.find("key/fifths")
        if fifths is not None:
            mode = MINOR if _text(element, "key/mode") == "minor" else MAJOR
            self.key = key_of(whole_number(fifths.text or "0", "fifths"), mode)
            bar = replace(bar, key=self.key)
        if element.find("time/beats") is not None:
            beats = sum(
                whole_number(part, "beats") for part in _text(element, "time/beats").split("+")
            )
            self.metre = parse_metre(f"{beats}/{_text(element, 'time/beat-type')}")
            bar = replace(bar, metre=self.metre)
        if not self.bars:
            self.first_key, self.first_metre = self.key, self.metre
            bar = replace(bar, key=None, metre=None)
        return bar

    def _barline(self, element: Element, bar: Bar) -> Bar:
        repeat, ending = element.find("repeat"), element.find("ending")
        if ending is not None:
            if ending.get("type") == "start":
                self.ending = ending.get("number", "").strip()[:8]
                bar = replace(bar, ending=self.ending)
            else:
                self.ending = ""
        if repeat is not None:
            if repeat.get("direction") == "forward":
                return replace(bar, repeat_start=True)
            return replace(bar, repeat_end=True)
        return bar

    def _note(self, element: Element, notes: list[Note]) -> None:
        if self.before + len(notes) > MOST_NOTES:
            raise BadFile(_("This piece has more than {most} notes.").format(most=MOST_NOTES))
        pitch = _pitch(element)
        if element.find("chord") is not None and notes and pitch:
            self._slurs(element, self.before + len(notes) - 1)
            last = notes[-1]
            notes[-1] = self._marks(element, replace(last, chord=(*last.chord, pitch)))
            return
        grace = element.find("grace") is not None
        if pitch is None and grace:
            return
        self._slurs(element, self.before + len(notes))
        values = self._values(element, rest=pitch is None)
        for index, value in enumerate(values):
            tie = pitch is not None and index < len(values) - 1
            note = Note(value, pitch, tie=tie, grace=grace)
            notes.append(self._marks(element, note) if index == 0 else note)
        if any(tie.get("type") == "start" for tie in element.findall("tie")) and notes[-1].pitch:
            notes[-1] = replace(notes[-1], tie=True)

    def _values(self, element: Element, *, rest: bool) -> tuple[Value, ...]:
        """The written value; where none is written (a whole-bar rest), what fills its length."""
        kind = _text(element, "type")
        whole_bar = element.find("rest[@measure='yes']") is not None
        if kind in _TYPES and not whole_bar:
            ratio = tuplet(
                _text(element, "time-modification/actual-notes") or "1",
                _text(element, "time-modification/normal-notes") or "1",
            )
            dots = min(2, len(element.findall("dot")))
            ratio = (1, 1) if ratio[0] == ratio[1] else ratio
            return (Value(_TYPES[kind], dots, ratio, rest),)
        length = Fraction(
            whole_number(_text(element, "duration") or "0", "duration"), self.divisions
        )
        if length <= 0 or length > 64:
            length = self.metre.bar if self.metre else Fraction(4)
        try:
            return tuple(replace(value, rest=rest) for value in fill(length))
        except MusicError:
            words = _("This file has a note of {length} quarters without a type.")
            raise BadFile(words.format(length=length)) from None

    def _slurs(self, element: Element, place: int) -> None:
        """Remember where slurs begin and end; a slur may end and another begin on one note."""
        slurs = element.findall("notations/slur")
        for slur in sorted(slurs, key=lambda s: s.get("type") != "stop"):
            number = slur.get("number", "1")
            if slur.get("type") == "stop" and number in self.begun:
                self.spans.append((self.begun.pop(number), place))
            elif slur.get("type") == "start":
                self.begun[number] = place

    def _marks(self, element: Element, note: Note) -> Note:
        """Bows, fingers and articulation of a note."""
        technical = element.find("notations/technical")
        articulations = element.find("notations/articulations")
        if technical is not None:
            note = replace(note, bow=_bow(technical) or note.bow, finger=_finger(technical, note))
        if articulations is not None:
            marks = [_MARKS[mark.tag] for mark in articulations if mark.tag in _MARKS]
            note = replace(note, articulation=marks[0] if marks else note.articulation)
        return note


def _pitch(element: Element) -> Pitch | None:
    step = _text(element, "pitch/step")
    if not step:
        return None
    alter = whole_number(_text(element, "pitch/alter") or "0", "alter")
    octave = whole_number(_text(element, "pitch/octave"), "octave")
    if step not in STEPS or abs(alter) > 2 or not 0 <= octave <= 9:
        words = _("This file is broken: “{text}” is no note.")
        raise BadFile(words.format(text=f"{step}{alter:+d}{octave}"))
    return Pitch(step, alter, octave)


def _unprinted(element: Element) -> bool:
    """Cue notes, and rests that only fill up a short bar."""
    hidden = element.get("print-object") == "no" and element.find("rest") is not None
    return hidden or element.find("cue") is not None


def _bow(technical: Element) -> Bow:
    if technical.find("up-bow") is not None:
        return "up"
    return "down" if technical.find("down-bow") is not None else ""


def _finger(technical: Element, note: Note) -> int | None:
    text = _text(technical, "fingering")
    if text in ("0", "1", "2", "3", "4"):
        return int(text)
    return 0 if technical.find("open-string") is not None else note.finger
