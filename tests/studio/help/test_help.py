"""The texts to copy are what their programs read; the guide leads where it says."""

from __future__ import annotations

import configparser
import plistlib
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.test import Client
from PIL import Image

from studio.help.views import units
from studio.running.bootstrap import BASE

DATA = Path(".data")
BASES = [Path("/srv/my studio"), Path("/Users/m/Büro & Co/studio")]


@pytest.mark.parametrize("base", BASES)
@pytest.mark.parametrize("name", ["linux", "server"])
def test_a_unit_of_systemd(base: Path, name: str) -> None:
    unit = configparser.ConfigParser(strict=False, interpolation=None)
    unit.optionxform = str  # type: ignore[assignment,method-assign]
    unit.read_string(units(base, base / DATA)[name])
    assert unit["Service"]["WorkingDirectory"] == str(base)
    assert unit["Service"]["ExecStart"].endswith(("manage.py open", "manage.py open --port 8000"))
    assert unit["Service"]["KillSignal"] == "SIGINT"


def test_the_server_says_what_a_proxy_needs() -> None:
    text = units(BASES[0], BASES[0] / DATA)["server"]
    for line in ("STUDIO_HTTPS=yes", "STUDIO_PROXY=127.0.0.1", "STUDIO_HOSTS=studio.example"):
        assert f"Environment={line}" in text


def test_a_data_folder_elsewhere_goes_into_every_text() -> None:
    """Without it the computer would start with an empty studio."""
    data = Path("/media/stick/hers & 50 %")
    own, elsewhere = units(BASE, BASE / DATA), units(BASE, data)
    assert all("STUDIO_DATA" not in own[name] for name in ("linux", "mac", "windows"))
    unit = configparser.ConfigParser(interpolation=None)
    unit.read_string(elsewhere["linux"])
    assert unit["Service"]["Environment"] == '"STUDIO_DATA=/media/stick/hers & 50 %%"'
    agent = plistlib.loads(elsewhere["mac"].encode())
    assert agent["EnvironmentVariables"] == {"STUDIO_DATA": str(data)}
    assert elsewhere["windows"].splitlines()[0] == f'setx STUDIO_DATA "{data}"'


@pytest.mark.parametrize("home", ["/home/maren/studio", "/root/studio"])
def test_a_server_does_not_start_from_a_home_it_may_not_read(home: str) -> None:
    text = units(Path(home), Path(home) / DATA)["server"]
    assert "ProtectHome=yes" in text
    assert "WorkingDirectory=/opt/studio\n" in text


@pytest.mark.parametrize("base", BASES)
def test_an_agent_of_launchd(base: Path) -> None:
    agent = plistlib.loads(units(base, base / DATA)["mac"].encode())
    assert agent["ProgramArguments"] == [sys.executable, f"{base}/manage.py", "open"]
    assert agent["RunAtLoad"] is True


def test_a_task_of_windows() -> None:
    text = units(BASES[0], BASES[0] / DATA)["windows"]
    assert text.startswith('schtasks /Create /TN "Studio manager" /SC ONLOGON')
    assert f'\\"{sys.executable}\\"' in text


@pytest.mark.parametrize("header", ["X-Forwarded-Host", "X-Forwarded-For", "X-Forwarded-Proto"])
def test_nginx_sends_what_is_believed(header: str) -> None:
    """A visitor's own X-Forwarded-For is replaced, not added to."""
    text = units(BASES[0], BASES[0] / DATA)["nginx"]
    assert f"proxy_set_header {header} " in text
    assert "$proxy_add_x_forwarded_for" not in text
    assert text.count("{") == text.count("}")


def test_caddy_sends_the_host() -> None:
    assert "header_up X-Forwarded-Host {host}" in units(BASES[0], BASES[0] / DATA)["caddy"]


@pytest.mark.skipif(shutil.which("systemd-analyze") is None, reason="needs systemd")
def test_systemd_finds_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "studio.service"
    path.write_text(units(BASE, BASE / DATA)["linux"])
    done = subprocess.run(
        ["systemd-analyze", "verify", "--user", path], capture_output=True, text=True, check=False
    )
    assert "studio.service" not in done.stderr


@pytest.mark.parametrize("page", ["/help/first-hour/", "/help/running/"])
def test_every_address_of_a_page_opens_and_every_picture_has_its_size(
    signed_in: Client, page: str
) -> None:
    text = signed_in.get(page).content.decode()
    for where in set(re.findall(r'<a [^>]*href="(/[^"]*)"', text)):
        assert signed_in.get(where).status_code in {200, 302}, where
    shown = r'src="/static/([^"?]+)[^"]*" alt="[^"]+" width="(\d+)" height="(\d+)"'
    pictures = re.findall(shown, text)
    assert len(pictures) == text.count("<img ")
    for name, width, height in pictures:
        with Image.open(BASE / "static" / name) as picture:
            assert picture.size == (int(width), int(height)), name


def test_a_text_is_shown_as_it_is(signed_in: Client) -> None:
    text = signed_in.get("/help/running/").content.decode()
    assert "&lt;key&gt;RunAtLoad&lt;/key&gt;&lt;true/&gt;" in text


def test_settings_lead_to_both(signed_in: Client) -> None:
    text = signed_in.get("/settings/").content.decode()
    assert "/help/first-hour/" in text
    assert "/help/running/" in text
