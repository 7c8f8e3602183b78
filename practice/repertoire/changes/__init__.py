"""What may change in a student's repertoire, and what is refused.

Every function takes the day from its caller, works in one transaction, and raises `Refused`
with a sentence for the teacher when the trade's rules forbid the change.
"""

from practice.repertoire.changes.exercises import (
    move_etude,
    move_scale,
    set_bowings,
    set_fingering,
    set_scale_tempo,
)
from practice.repertoire.changes.pieces import (
    add_favourite,
    finish_piece,
    give_piece,
    put_back,
    retire_favourite,
    set_aside,
    set_stage,
)
from practice.repertoire.changes.refused import Refused
from practice.repertoire.changes.spots import (
    add_spot,
    change_spot,
    put_spot_first,
    set_spot_state,
    solve_spot,
    step_tempo,
)

__all__ = [
    "Refused",
    "add_favourite",
    "add_spot",
    "change_spot",
    "finish_piece",
    "give_piece",
    "move_etude",
    "move_scale",
    "put_back",
    "put_spot_first",
    "retire_favourite",
    "set_aside",
    "set_bowings",
    "set_fingering",
    "set_scale_tempo",
    "set_spot_state",
    "set_stage",
    "solve_spot",
    "step_tempo",
]
