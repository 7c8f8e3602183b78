"""Who may open a studio in this installation."""

from ipaddress import ip_address

from django.conf import settings
from django.http import HttpRequest
from django.http.request import split_domain_port

from studio.access.models import Studio

LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "[::1]"})


def is_this_computer(request: HttpRequest) -> bool:
    """Whether the visitor sits at the computer the program runs on, with no proxy between."""
    name, _ = split_domain_port(request.get_host())
    try:
        near = ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        near = False
    return near and name in LOOPBACK_NAMES


def may_open_studio(request: HttpRequest) -> bool:
    """The first studio is for whoever sits at this computer, not for the fastest in the house."""
    if request.user.is_authenticated:
        return not hasattr(request.user, "studio")
    if settings.MORE_STUDIOS:
        return True
    return is_this_computer(request) and not Studio.objects.exists()


def is_alone() -> bool:
    """Whether there is one studio here and no second may open."""
    return not settings.MORE_STUDIOS and Studio.objects.count() == 1
