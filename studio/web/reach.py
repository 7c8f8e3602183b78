"""Addresses that somebody else's phone can open."""

from __future__ import annotations

from urllib.parse import urljoin

from django.conf import settings
from django.http import HttpRequest
from django.http.request import split_domain_port

THIS_COMPUTER = frozenset({"127.0.0.1", "localhost", "[::1]"})


def whole(request: HttpRequest, path: str) -> str:
    """The path as a whole address: of the house network where the teacher sits at 127.0.0.1."""
    if _is_this_computer(request) and settings.HOUSE_ADDRESS:
        return urljoin(settings.HOUSE_ADDRESS, path)
    return request.build_absolute_uri(path)


def is_reachable(request: HttpRequest) -> bool:
    """Whether `whole` gives an address that opens anywhere but on this computer."""
    return bool(settings.HOUSE_ADDRESS) or not _is_this_computer(request)


def _is_this_computer(request: HttpRequest) -> bool:
    return split_domain_port(request.get_host())[0] in THIS_COMPUTER
