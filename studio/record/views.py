"""The page on which a teacher reads what was done in her studio."""

from __future__ import annotations

from ipaddress import ip_address
from typing import TYPE_CHECKING, Final

from django.core.paginator import Paginator
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from studio.access.rights import is_alone
from studio.record.models import RecordEntry, What
from studio.web.http import StudioRequest

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

ON_A_PAGE: Final = 50
SHOWN: Final[dict[str, tuple[StrOrPromise, tuple[What, ...]]]] = {
    "sign-ins": (
        _("Sign-ins"),
        (What.SIGNED_IN, What.SIGN_IN_FAILED, What.SIGNED_OUT, What.STUDIO_OPENED),
    ),
    "addresses": (_("Private addresses"), (What.LINK_MADE, What.LINK_RENEWED, What.LINK_REVOKED)),
    "backups": (
        _("Backups"),
        (
            What.BACKUP_MADE,
            What.BACKUP_DOWNLOADED,
            What.BACKUP_BROUGHT,
            What.RESTORED,
            What.UPGRADED,
        ),
    ),
    "data": (
        _("Data in, out, erased"),
        (What.IMPORTED, What.IMPORT_UNDONE, What.EXPORTED, What.ERASED),
    ),
    "settings": (
        _("Settings"),
        (What.SETTINGS_CHANGED, What.PASSWORD_CHANGED, What.PASSWORD_REFUSED),
    ),
    "reports": (_("Reports"), (What.REPORT_GIVEN,)),
}


@require_safe
def record(request: StudioRequest) -> HttpResponse:
    show = request.GET.get("show", "")
    hers = Q(studio=request.studio)
    if is_alone():
        hers |= Q(studio=None)
    found = RecordEntry.objects.filter(hers).select_related("family", "student")
    if show in SHOWN:
        found = found.filter(what__in=SHOWN[show][1])
    page = Paginator(found, ON_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": [{"entry": entry, "whence": whence(entry.address)} for entry in page],
        "show": show if show in SHOWN else "",
        "filters": [(value, label) for value, (label, _kinds) in SHOWN.items()],
    }
    return render(request, "record/record.html", context)


def whence(address: str | None) -> str:
    """Where a request came from, in words."""
    if not address:
        return ""
    if ip_address(address).is_loopback:
        return gettext("on this computer")
    return gettext("from {address}").format(address=address)
