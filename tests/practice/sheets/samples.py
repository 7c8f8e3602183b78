"""Invented sheets of every kind, with drawn stand-ins for engraved music."""

from dataclasses import replace

from practice.sheets.data import (
    Card,
    Code,
    Day,
    DayKind,
    Exercise,
    Paper,
    Picture,
    Piece,
    Row,
    Scale,
    Session,
    SheetData,
    Spot,
    Stave,
    Style,
)


def music(width_mm: float, height_mm: float, alt: str) -> Picture:
    """Five lines and a few heads, built as engraved music is: glyphs by name, lines with width."""
    width, top = round(width_mm * 90), round(height_mm * 90 / 2 - 360)
    lines = "".join(
        f'<path d="M0 {top + 180 * n} L{width} {top + 180 * n}" stroke-width="13"'
        ' stroke="#201A15" />'
        for n in range(5)
    )
    heads = "".join(
        f'<use href="#E0A4" transform="translate({x}, {top + 360}) scale(0.72, 0.72)" />'
        for x in range(600, width - 300, 800)
    )
    return Picture(
        alt,
        f'<svg width="{width_mm}mm" height="{height_mm}mm" xmlns="http://www.w3.org/2000/svg"'
        f' viewBox="0 0 {width} {round(height_mm * 90)}" fill="#201A15" stroke="none"><defs>'
        '<g id="E0A4"><path transform="scale(1,-1)" d="M0 -42c0 92 116 174 213 174c62 0 112 -33'
        ' 112 -92c0 -88 -109 -173 -213 -173c-81 0 -112 48 -112 91z" /></g></defs>'
        f"<g>{lines}{heads}</g></svg>",
        float(width_mm),
        float(height_mm),
    )


def row(mark: str, name: str, detail: str, *minutes: int) -> Row:
    return Row(mark, name, tuple(each or None for each in minutes), detail)


DAYS = (
    Day("Thu", "26"),
    Day("Fri", "27"),
    Day("Sat", "28"),
    Day("Sun", "29", DayKind.OFF),
    Day("Mon", "30"),
    Day("Tue", "1"),
    Day("Wed", "2", DayKind.LESSON),
)
TWO_SESSIONS = (
    Session(
        "Before school",
        (
            row("stretch", "Stretch", "arms, neck, thumbs", 1, 1, 2, 0, 1, 1, 1),
            row("warm-up", "Warm-up", "open strings, slides", 3, 3, 4, 0, 3, 3, 3),
            row("scale", "Scale + arpeggio", "G major", 6, 6, 9, 0, 6, 6, 6),
        ),
    ),
    Session(
        "After school",
        (
            row("warm-up", "Warm up again", "four long bows", 2, 2, 2, 0, 2, 2, 0),
            row("etude", "Etude", "Wohlfahrt no. 2", 3, 3, 4, 0, 3, 3, 0),
            row("spots", "Spots", "bars 3, 7 and 5", 5, 6, 7, 0, 6, 5, 0),
            row("run-through", "Run-through", "Minuet, start to end", 2, 0, 3, 0, 0, 2, 0),
            row("favourite", "Favourite", "Ode to Joy", 1, 2, 2, 0, 2, 1, 0),
            row("explore", "Explore", "two voices", 2, 2, 2, 0, 2, 2, 0),
        ),
    ),
)
THREE_SESSIONS = (
    replace(TWO_SESSIONS[0], name="Morning"),
    Session(
        "After school",
        (
            row("warm-up", "Warm up again", "third-finger slides", 3, 3, 3, 0, 3, 3, 0),
            row("etude", "Etude", "Kreutzer no. 10", 10, 10, 12, 0, 10, 10, 0),
            row("spots", "Spots", "4 bars, see the back", 12, 12, 15, 0, 12, 12, 0),
        ),
        rests=(5, 5, 5, None, 5, 5, None),
        rest_hint="rest after 25 min",
    ),
    Session(
        "Evening",
        (
            row("warm-up", "Warm up again", "long bows", 2, 2, 2, 0, 2, 2, 0),
            row("run-through", "Run-through", "Seitz, third movement", 8, 0, 10, 0, 8, 0, 0),
            row("favourite", "Favourite", "The Keel Row", 3, 4, 4, 0, 3, 4, 0),
            row("explore", "Explore", "harmonics only", 4, 4, 5, 0, 4, 4, 0),
        ),
    ),
)
ONE_SESSION = (
    Session(
        "After breakfast",
        (
            row("stretch", "Stretch", "tall as a tree", 1, 1, 1, 0, 1, 1, 1),
            row("warm-up", "Warm-up", "open strings", 1, 1, 2, 0, 1, 1, 1),
            row("scale", "Scale", "A major", 1, 1, 1, 0, 1, 1, 1),
            row("exercise", "Book", "number 14", 2, 2, 3, 0, 2, 2, 0),
            row("run-through", "All of it", "Hot Cross Buns", 1, 1, 1, 0, 1, 1, 0),
            row("favourite", "Favourite", "Frère Jacques", 1, 1, 1, 0, 1, 1, 0),
            row("explore", "Explore", "bird sounds", 1, 1, 1, 0, 1, 1, 1),
        ),
    ),
)
SCALE = Scale(
    "G major",
    "two octaves, third week in this key.",
    (
        Stave(music(186, 25, "G major, two octaves up, with fingers")),
        Stave(
            music(186, 25, "Long, two, two: G, A B, C D"),
            "The bowing: long, two, two",
            "It is bar 3 of your Minuet.",
            "Keep climbing to the top, then come down the same way.",
        ),
        Stave(music(186, 27, "G major arpeggio"), "Arpeggio, three in a bow"),
    ),
)
MINUET = Piece(
    "Minuet in G",
    "Petzold",
    spots=(
        Spot(
            "3",
            cue="C is a low 2.",
            instruction="Put it down before the bow turns. First E: 4th finger.",
            pegs=(60, 63, 66, 69, 72, 80),
            picture=music(58, 18, "Bar 3: E, C D, E F sharp"),
        ),
        Spot(
            "7",
            cue="Elbow leads.",
            instruction="Let it drop to the D string a little early.",
            pegs=(66, 69, 72, 76, 80),
            picture=music(58, 17, "Bar 7: F sharp, G A, B, G"),
        ),
    ),
)
GAVOTTE = Piece(
    "Gavotte",
    "Gossec",
    spots=(
        Spot("5", cue="Long, tiny.", instruction="Say it, clap it, bow it.", pegs=(52, 56, 60)),
        Spot(
            "102–103",
            "bars",
            "Two up-bows.",
            "Stop the bow between them.",
            (72, 76, 80, 84, 92),
            music(58, 17, "Bars 102 to 103"),
        ),
    ),
)
READER = SheetData(
    student="Imani",
    teacher="Marisol",
    span="Thursday 26 November to Wednesday 2 December",
    short_span="26 Nov to 2 Dec",
    days=DAYS,
    sessions=TWO_SESSIONS,
    next_lesson=("Wednesday 2 Dec", "4:15"),
    listen_for="The *ring*. When your G, D and A are exactly in tune, the open string hums along.",
    favourite=Card("Ode to Joy.", "You finished this one. Play it for somebody, or for nobody."),
    explore=Card("Two voices.", "The G string asks a question, the E string answers."),
    scale=SCALE,
    etude=Card("Wohlfahrt, op. 45 no. 2,", "lines 1 and 2. Middle of the bow, quiet wrist."),
    pieces=(MINUET,),
)
PRE_READER = replace(
    READER,
    student="Łucja",
    style=Style.PRE_READER,
    sessions=ONE_SESSION,
    scale=None,
    etude=None,
    pieces=(),
    exercises=(
        Exercise("scale", "A major", text="one octave, up and down"),
        Exercise("exercise", "Exercise", "14", "Sing it first. Then play it.", label="number"),
        Exercise("spots", "Hot Cross Buns", "3", "Two fingers down together.", label="bar"),
        Exercise("run-through", "Hot Cross Buns", text="From the beginning.", times=1),
    ),
)
CODE = Code(
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 2"><path d="M0 0h1v2h-1z"/></svg>',
    "this week on a phone",
    "http://studio.invalid/h/abc",
)
FULL = replace(
    READER,
    student="Nguyễn Bảo Châu",
    sessions=THREE_SESSIONS,
    pieces=(MINUET, GAVOTTE),
    codes=(CODE,),
)
ALL_WORDS = 'Let the bow arm *fall* before each crossing, and listen for the "quiet" moment. '
OVERFULL = replace(
    FULL,
    student="Maximiliane-Anastasia",
    listen_for=(ALL_WORDS * 8).strip(),
    next_lesson=("Wednesday 23 September", "16:15 to 17:00", "online, link by mail"),
    favourite=Card("The Merry Widow of Somewhere Far Away.", "Play it for somebody. " * 3),
    explore=Card("Upside down.", "Take the last four notes and turn them over, slower. " * 4),
    also=(Card("Also:", "Bring the red folder, the shoulder rest and the new E string."),),
    sessions=tuple(
        replace(
            session,
            rows=tuple(
                replace(each, detail=f"{each.name}: a detail far too long for such a narrow row")
                for each in session.rows
            ),
        )
        for session in THREE_SESSIONS
    ),
    pieces=tuple(
        replace(
            piece,
            title=f"{piece.title} from a Suite in the Old Style for Violin and Keyboard",
            spots=tuple(
                replace(spot, instruction="Play the two notes before it as a loop, slowly. " * 4)
                for spot in piece.spots
            ),
        )
        for piece in (MINUET, GAVOTTE)
    ),
)
KINDS = {"reader": READER, "pre-reader": PRE_READER, "full": FULL, "overfull": OVERFULL}
SHEETS = {
    f"{kind}-{paper.value}": replace(data, paper=paper)
    for kind, data in KINDS.items()
    for paper in Paper
}
