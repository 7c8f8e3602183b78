"""Numbers inside sentences, with the sign their language puts before the tenths."""

from studio.language import pgettext


def number(value: float, pattern: str) -> str:
    """`number(7.5, "+.1f")`: "+7.5", and "+7,5" in German; patterns are those of `format`."""
    return format(value, pattern).replace(".", pgettext("sign before the tenths", "."))
