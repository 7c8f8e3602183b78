"""The German catalog: nothing missing, nothing stale, and compiled as it is written.

`makemessages` needs GNU gettext; where that is not installed, the sources are not asked.
"""

from __future__ import annotations

import gettext
import re
import shutil
import subprocess
import sys
from pathlib import Path

import polib
import pytest

from studio.running.checks import clean_environment
from tests.test_rules import BASE

MESSAGES = Path("studio") / "locale" / "de" / "LC_MESSAGES"
WRITTEN = polib.pofile(str(BASE / MESSAGES / "django.po"))
Key = tuple[str | None, str]
BLANKS = re.compile(r"%\(\w+\)[sd]|{\w*(?::[^}]*)?}")


def keys(catalog: polib.POFile) -> set[Key]:
    return {(entry.msgctxt, entry.msgid) for entry in catalog if not entry.obsolete}


@pytest.mark.skipif(shutil.which("xgettext") is None, reason="needs GNU gettext")
def test_every_message_of_the_sources_is_translated_and_no_other(tmp_path: Path) -> None:
    for name in ("studio", "practice", "templates"):
        shutil.copytree(BASE / name, tmp_path / name, ignore=shutil.ignore_patterns("*.pyc"))
    command = [sys.executable, "-m", "django", "makemessages", "-l", "de", "--no-obsolete"]
    environment = {
        **clean_environment(str(tmp_path / "data")),
        "DJANGO_SETTINGS_MODULE": "studio.settings",
    }
    done = subprocess.run(
        command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    found = polib.pofile(str(tmp_path / MESSAGES / "django.po"))
    assert len(keys(found)) > 3000
    left = [*found.untranslated_entries(), *found.fuzzy_entries()]
    assert [entry.msgid for entry in left] == []
    assert keys(WRITTEN) - keys(found) == set()


def test_what_is_filled_in_is_the_same() -> None:
    """Also where a plural's one leaves its number out."""
    wrong = []
    for entry in WRITTEN:
        meant = set(BLANKS.findall(entry.msgid_plural or entry.msgid))
        said = entry.msgstr_plural.values() if entry.msgid_plural else [entry.msgstr]
        last = list(said)[-1]
        if set(BLANKS.findall(last)) != meant or any(
            not set(BLANKS.findall(each)) <= meant for each in said
        ):
            wrong.append((entry.msgid, list(said)))
    assert wrong == []


def test_every_plural_has_both_forms_of_german() -> None:
    """Two forms, by the rule Django's own German has, which is that of the gettext manual."""
    import django

    theirs = Path(django.__file__).parent / "conf" / "locale" / "de" / "LC_MESSAGES" / "django.po"
    rule = polib.pofile(str(theirs)).metadata["Plural-Forms"].strip("; ")
    assert WRITTEN.metadata["Plural-Forms"].strip("; ") == rule
    many = [entry for entry in WRITTEN if entry.msgid_plural]
    assert len(many) > 50
    assert [
        e.msgid for e in many if set(e.msgstr_plural) != {0, 1} or "" in e.msgstr_plural.values()
    ] == []


def test_what_is_compiled_is_what_is_written() -> None:
    with (BASE / MESSAGES / "django.mo").open("rb") as file:
        compiled = gettext.GNUTranslations(file)
    for entry in WRITTEN:
        context = f"{entry.msgctxt}\x04" if entry.msgctxt else ""
        if entry.msgid_plural:
            for number in (1, 2):
                said = compiled.ngettext(context + entry.msgid, entry.msgid_plural, number)
                assert said == entry.msgstr_plural[number - 1]
        else:
            assert compiled.gettext(context + entry.msgid) == entry.msgstr


def test_no_english_quotation_marks() -> None:
    assert [e.msgid for e in WRITTEN if re.search(r"“[^“”„]*”|[a-zäöü]'[a-z]", e.msgstr)] == []
