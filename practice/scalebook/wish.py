"""What a scale book is made from, as plain values: another process can make it from them."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from practice.figures.key_circle import KeyHeld, Known
from practice.music.bowings import pattern_from_json
from practice.music.how import PLAIN, How
from practice.reports.figures import key_held
from practice.sheets.bowed import Bowed

MOST_PAGES = 150  # all thirty keys with four ideas beside the scale


@dataclass(frozen=True)
class Wish:
    """What is to stand in the book."""

    keys: tuple[str, ...]
    octaves: int
    minor_form: str
    bowings: tuple[Bowed, ...]
    arpeggios: tuple[str, ...]

    @property
    def pages(self) -> int:
        return len(self.keys) * (1 + len(self.bowings) + len(self.arpeggios))


@dataclass(frozen=True)
class InHand:
    """The student's own scale: where the book comes to it, it is played as the sheet says."""

    key: str
    form: str
    octaves: int
    how: How


@dataclass(frozen=True)
class BookData:
    """`whose` is a first name, or the studio's where the book is for everybody (`shared`).
    `held` are the keys the circle marks; a shared book marks its own keys."""

    whose: str
    shared: bool
    teacher: str
    paper: str
    date: str
    wish: Wish
    held: tuple[KeyHeld, ...] = ()
    now: InHand | None = None

    @property
    def marked(self) -> tuple[KeyHeld, ...]:
        if not self.shared:
            return self.held
        chosen = (key_held(name, Known.LEARNT) for name in self.wish.keys)
        return tuple(filter(None, chosen))

    def how(self, key: str, form: str) -> How:
        """How a scale of the book is played."""
        wanted = key, form, self.wish.octaves
        now = self.now
        return now.how if now and (now.key, now.form, now.octaves) == wanted else PLAIN

    def to_json(self) -> dict[str, Any]:
        """Read back by `from_json`."""
        found = asdict(self)
        found["wish"]["bowings"] = [
            {**asdict(bowed), "pattern": bowed.pattern.as_json()} for bowed in self.wish.bowings
        ]
        return found

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> BookData:
        wish, now = data["wish"], data["now"]
        bowings = [
            Bowed(**{**bowed, "pattern": pattern_from_json(bowed["pattern"])})
            for bowed in wish["bowings"]
        ]
        held = [KeyHeld(**{**key, "known": Known(key["known"])}) for key in data["held"]]
        return cls(
            **{
                **data,
                "wish": Wish(
                    keys=tuple(wish["keys"]),
                    octaves=wish["octaves"],
                    minor_form=wish["minor_form"],
                    bowings=tuple(bowings),
                    arpeggios=tuple(wish["arpeggios"]),
                ),
                "held": tuple(held),
                "now": InHand(**{**now, "how": How(**now["how"])}) if now else None,
            }
        )
