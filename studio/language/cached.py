"""What is remembered, once for each language and way of naming notes."""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import ParamSpec, TypeVar

from studio.language import note_names, pgettext

P = ParamSpec("P")
R = TypeVar("R")


def spoken() -> tuple[str, str]:
    """The language's own code and what notes are called: equal means the same words."""
    return pgettext("code of this language", "en"), note_names()


def cached_as_spoken(maxsize: int) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """`lru_cache` for functions whose result holds words."""

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        @lru_cache(maxsize=maxsize)
        def once(_spoken: tuple[str, str], *args: P.args, **kwargs: P.kwargs) -> R:
            return function(*args, **kwargs)

        @wraps(function)
        def as_spoken(*args: P.args, **kwargs: P.kwargs) -> R:
            return once(spoken(), *args, **kwargs)  # type: ignore[arg-type]

        return as_spoken

    return decorate
