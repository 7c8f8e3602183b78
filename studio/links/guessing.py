"""How often somebody may come with a private link that opens nothing."""

from __future__ import annotations

from django.http import Http404, HttpRequest

from studio.access import throttle
from studio.access.limits import Limit

WRONG_LINKS = Limit(tries=20, seconds=15 * 60)


class TooManyGuesses(Exception):
    """This address has come with too many wrong links; `seconds` until the next try."""

    def __init__(self, seconds: int) -> None:
        self.seconds = seconds
        # no words: each page that catches it has its own
        super().__init__(f"Wait {seconds} seconds.")


def wrong_link(request: HttpRequest) -> Http404:
    """Count a wrong, old or revoked link and return the answer to raise: the same for all three.

    Raises TooManyGuesses when the address has none left.
    """
    wait = throttle.spend("link", request.META["REMOTE_ADDR"], WRONG_LINKS)
    if wait:
        raise TooManyGuesses(wait)
    # no words: the page of 404 has its own
    return Http404("No page has this address.")
