"""Several words in one sentence, as a language lists them."""

from collections.abc import Sequence

from studio.language import pgettext


def listed(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"; nothing of nothing."""
    if len(words) < 2:
        return "".join(words)
    pattern = pgettext("a list: all but the last, and the last", "{words} and {last}")
    return pattern.format(words=", ".join(words[:-1]), last=words[-1])
