"""Pages to read: the first hour, and how the program is kept running."""

from __future__ import annotations

import sys
from pathlib import Path

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.views.decorators.http import require_safe

from studio.web.http import StudioRequest

SECTION = {"section": "settings"}
UNITS = {
    "linux": "help/units/systemd-user.txt",
    "mac": "help/units/launchd.txt",
    "windows": "help/units/windows.txt",
    "server": "help/units/systemd-server.txt",
    "nginx": "help/units/nginx.txt",
    "caddy": "help/units/caddy.txt",
}


@require_safe
def first_hour(request: StudioRequest) -> HttpResponse:
    return render(request, "help/first_hour.html", SECTION)


@require_safe
def running(request: StudioRequest) -> HttpResponse:
    context = {"units": units(settings.BASE_DIR)}
    return render(request, "help/running.html", SECTION | context)


def units(base: Path) -> dict[str, str]:
    """The texts for the systems a studio runs on, with the places of this installation."""
    place = {"base": base, "python": sys.executable, "host": "studio.example"}
    # strip() makes plain text of what the template calls safe: a page shows it as it is.
    return {
        name: f"{render_to_string(template, place).strip()}\n" for name, template in UNITS.items()
    }
