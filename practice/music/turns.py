"""What may be added to a run, at its top and its foot, so that a bowing comes out even."""

from dataclasses import dataclass

from studio.language import gettext as _
from studio.language.lists import listed


@dataclass(frozen=True, slots=True)
class Turn:
    """How the run is played: notes over the top, top twice, foot below the tonic."""

    over: int = 0
    twice: bool = False
    under: bool = False

    def words(self, more: bool) -> str:
        """`more`: the run goes over the top already."""
        parts = []
        if self.over:
            goes = (_("go one note over the top"), _("go two notes over the top"))
            if more:
                goes = (_("go one note more over the top"), _("go two notes more over the top"))
            parts.append(goes[self.over - 1])
        if self.twice:
            parts.append(_("play the top note twice"))
        if self.under:
            parts.append(_("touch the note below before the last one"))
        said = listed(parts)
        return f"{said[:1].upper()}{said[1:]}." if said else ""


# The smallest change first.
TURNS = (
    Turn(),
    Turn(over=1),
    Turn(over=2),
    Turn(under=True),
    Turn(over=1, under=True),
    Turn(twice=True),
    Turn(over=2, under=True),
    Turn(twice=True, under=True),
)
