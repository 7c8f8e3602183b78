"""Which engravings a sheet carries, as specs that are drawn while printing."""

from __future__ import annotations

from practice.plans.hand import Hand, HandScale, HandSpot
from practice.sheets import data as sheet


def bowing_staves(scale: HandScale, hand: Hand) -> tuple[sheet.Stave, ...]:
    return ()


def spot_picture(spot: HandSpot) -> sheet.Picture | None:
    return None
