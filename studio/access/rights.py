"""Who may open a studio in this installation."""

from ipaddress import ip_address

from django.conf import settings
from django.http import HttpRequest

from studio.access.models import Studio


def is_this_computer(request: HttpRequest) -> bool:
    """Whether the visitor sits at the computer the program runs on."""
    try:
        return ip_address(request.META["REMOTE_ADDR"]).is_loopback
    except ValueError:
        return False


def may_open_studio(request: HttpRequest) -> bool:
    """The first studio is for whoever sits at this computer, not for the fastest in the house."""
    if request.user.is_authenticated:
        return not hasattr(request.user, "studio")
    if settings.MORE_STUDIOS:
        return True
    return is_this_computer(request) and not Studio.objects.exists()
