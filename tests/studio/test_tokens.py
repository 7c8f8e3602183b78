"""The colours of static/css/tokens.css keep WCAG contrast in both themes."""

import re
from pathlib import Path

import pytest

TOKENS = (Path(__file__).resolve().parents[2] / "static/css/tokens.css").read_text("utf-8")

# Ratios published in the W3C ACT rule afw4f7 ("Text has minimum contrast"), examples passed 1, 5,
# 8, 10 and failed 1, 8; the rule cuts its figures short, it does not round them.
PUBLISHED = [
    ("#000000", "#FFFFFF", 21.0),
    ("#333333", "#FFFFFF", 12.6),
    ("#0000EE", "#FFFFFF", 9.39),
    ("#000000", "#666666", 3.6),
    ("#777777", "#EEEEEE", 3.85),
    ("#AAAAAA", "#FFFFFF", 2.3),
]
AA_TEXT, AA_PARTS = 4.5, 3.0  # WCAG 2.2, 1.4.3 and 1.4.11
GROUNDS = ["horsehair", "spruce", "varnish-wash"]


def luminance(colour: str) -> float:
    """Relative luminance by the formula of WCAG 2.2."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def colours(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([\w-]+):\s*(#[0-9A-F]{6})", block))


LIGHT = colours(TOKENS[: TOKENS.index("@media")])
DARK = LIGHT | colours(TOKENS[TOKENS.index("@media") : TOKENS.index(':root[data-theme="dark"]')])
FORCED_DARK = LIGHT | colours(TOKENS[TOKENS.index(':root[data-theme="dark"]') :])


@pytest.mark.parametrize(("front", "back", "ratio"), PUBLISHED)
def test_formula_gives_the_published_ratios(front: str, back: str, ratio: float) -> None:
    assert ratio <= contrast(front, back) < ratio + 0.1


def test_a_forced_dark_theme_is_the_same_as_the_preferred_one() -> None:
    assert DARK == FORCED_DARK
    assert DARK != LIGHT


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", ["ebony", "ebony-2", "varnish"])
def test_every_ink_is_readable_on_every_ground(
    theme: dict[str, str], ground: str, ink: str
) -> None:
    assert contrast(theme[ink], theme[ground]) >= AA_TEXT


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(
    ("ink", "ground"),
    [("on-varnish", "varnish"), ("rosin-ink", "rosin"), ("horsehair", "ebony")],
)
def test_buttons_and_notes_are_readable(theme: dict[str, str], ink: str, ground: str) -> None:
    assert contrast(theme[ink], theme[ground]) >= AA_TEXT


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
def test_the_edge_of_a_control_stands_out(theme: dict[str, str], ground: str) -> None:
    assert contrast(theme["gut-wound"], theme[ground]) >= AA_PARTS
    assert contrast(theme["varnish"], theme[ground]) >= AA_PARTS
