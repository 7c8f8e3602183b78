import datetime as dt
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from practice.example import build
from practice.example.build import Written
from practice.management.commands import example_studio
from studio import clock
from studio.models import Family, Studio
from tests import factories
from tests.conftest import FrozenClock

NOTHING = Written(24, 0, 0, 0, 0, 0)


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Studio, dt.date, dict[str, int]]]:
    """What the command asks for, instead of the minutes-long row writing."""
    found: list[tuple[Studio, dt.date, dict[str, int]]] = []

    def note(studio: Studio, today: dt.date, **sizes: int) -> Written:
        found.append((studio, today, sizes))
        return NOTHING

    monkeypatch.setattr(example_studio, "build_example", note)
    return found


Asked = list[tuple[Studio, dt.date, dict[str, int]]]


@pytest.mark.django_db
def test_an_empty_database_gets_a_teacher_and_her_studio(asked: Asked, frozen: FrozenClock) -> None:
    call_command("example_studio", verbosity=0)
    studio = Studio.objects.get()
    assert asked == [(studio, clock.today(studio), {"seed": 440, "students": 24, "years": 0})]
    assert studio.owner.username == "maeve@lanternlane.example"
    assert not studio.owner.has_usable_password()


@pytest.mark.django_db
def test_today_is_the_studios_not_the_servers(asked: Asked, frozen: FrozenClock) -> None:
    owner = factories.StudioFactory.create(zone="Pacific/Kiritimati").owner
    frozen.set(dt.datetime(2026, 11, 25, 23, 0, tzinfo=dt.UTC))
    call_command("example_studio", owner=owner.username, verbosity=0)
    assert asked[0][1] == dt.date(2026, 11, 26)


def test_a_teacher_without_a_studio_gets_one(asked: Asked, db: None) -> None:
    owner = factories.UserFactory.create()
    call_command("example_studio", owner=owner.username, verbosity=0)
    assert asked[0][0].owner == owner


def refused(**options: object) -> str:
    with pytest.raises(CommandError) as trouble:
        call_command("example_studio", verbosity=0, **options)
    return str(trouble.value)


def test_a_studio_with_families_is_left_alone(asked: Asked, family: Family) -> None:
    said = refused(owner=family.studio.owner.username)
    assert said == (
        "Achterberg Violin Studio has families or terms of its own. The example stays out of it."
    )
    assert not asked


def test_a_studio_with_a_term_is_left_alone(asked: Asked, db: None) -> None:
    term = factories.TermFactory.create()
    assert "has families or terms" in refused(owner=term.studio.owner.username)


def test_with_a_teacher_in_the_database_it_asks_for_whom(asked: Asked, studio: Studio) -> None:
    assert "--owner" in refused()
    assert not asked


@pytest.mark.parametrize(
    ("options", "value"),
    [
        ({"students": 23}, "23"),
        ({"students": 500}, "500"),
        ({"years": -1}, "-1"),
        ({"years": 300}, "300"),
        ({"owner": "nobody@example.org"}, "nobody@example.org"),
    ],
)
def test_a_value_that_cannot_be_is_named(
    asked: Asked, db: None, options: dict[str, object], value: str
) -> None:
    assert value in refused(**options)
    assert not User.objects.exists()


def test_nothing_is_left_behind_when_it_breaks_off(
    db: None, frozen: FrozenClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_off(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(build, "_save_timetable", break_off)
    with pytest.raises(KeyboardInterrupt):
        call_command("example_studio", stdout=StringIO())
    assert not Studio.objects.exists()
    assert not User.objects.exists()
