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
SYSTEMD = "help/units/systemd"  # a percent sign begins something there
HOMES = ("/home", "/root")
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
    base = settings.BASE_DIR
    texts = units(base, settings.DATA_DIR)
    context = {"units": texts, "server_base": on_a_server(base)}
    return render(request, "help/running.html", SECTION | context)


def units(base: Path, data: Path) -> dict[str, str]:
    """The texts for the systems a studio runs on, with the places of this installation."""
    return {name: _unit(name, base, data) for name in UNITS}


def _unit(name: str, base: Path, data: Path) -> str:
    places = {
        "base": on_a_server(base) if name == "server" else base,
        "python": sys.executable,
        "data": "" if data == base / ".data" else data,
    }
    if UNITS[name].startswith(SYSTEMD):
        places = {key: str(place).replace("%", "%%") for key, place in places.items()}
    text = render_to_string(UNITS[name], places | {"host": "studio.example"})
    # strip() makes plain text of what the template calls safe: a page shows it as it is.
    return f"{text.strip()}\n"


def on_a_server(base: Path) -> Path:
    """Where the program lies for an account of its own, which may not look into anybody's home."""
    return base if not any(base.is_relative_to(home) for home in HOMES) else Path("/opt/studio")
