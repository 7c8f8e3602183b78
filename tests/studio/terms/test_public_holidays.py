import datetime as dt

import pytest
from django.utils import translation

from studio.terms.public_holidays import between, countries, regions

YEAR = [(dt.date(2027, 1, 1), dt.date(2027, 12, 31))]


@pytest.mark.parametrize(
    ("country", "region", "day"),
    [
        ("PT", "", "2027-12-08"),  # Immaculate Conception, fixed by law in Portugal
        ("US", "", "2027-11-25"),  # Thanksgiving: fourth Thursday of November
        ("DE", "BY", "2027-11-01"),  # All Saints' Day, in Bavaria
        ("NO", "", "2027-05-17"),  # Constitution Day
    ],
)
def test_days_that_are_public_holidays_by_law(country: str, region: str, day: str) -> None:
    assert dt.date.fromisoformat(day) in dict(between(country, region, YEAR))


def test_a_regions_own_day_is_not_the_whole_countrys() -> None:
    assert dt.date(2027, 11, 1) not in dict(between("DE", "", YEAR))
    assert "BY" in regions("DE")


def test_only_days_inside_the_stretches_are_offered_in_order() -> None:
    stretches = [
        (dt.date(2026, 12, 1), dt.date(2026, 12, 20)),
        (dt.date(2027, 4, 20), dt.date(2027, 5, 2)),
    ]
    found = [day.isoformat() for day, _ in between("PT", "", stretches)]
    assert found == ["2026-12-01", "2026-12-08", "2027-04-25", "2027-05-01"]


@pytest.mark.parametrize("country", ["", "XX", "../etc", "pt"])
def test_an_unknown_country_has_none(country: str) -> None:
    assert between(country, "", YEAR) == []
    assert regions(country) == []


def test_countries_are_named_in_words_and_sorted() -> None:
    names = [name for _, name in countries()]
    assert ("PT", "Portugal") in countries()
    assert ("GB", "United Kingdom") in countries()
    assert names == sorted(names)
    assert len(names) > 100


@pytest.mark.parametrize(
    ("language", "country", "name"),
    [
        ("en", "DE", "Christmas Day"),
        ("de", "DE", "Erster Weihnachtstag"),
        ("de", "CH", "Weihnachten"),
        ("de", "PT", "Dia de Natal"),  # the list has no German for it: as the neighbours call it
        ("en", "PT", "Christmas Day"),
        ("de", "NZ", "Christmas Day"),  # in one language only
    ],
)
def test_days_are_named_in_the_language_of_the_studio_or_of_the_country(
    language: str, country: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever language the computer speaks."""
    monkeypatch.setenv("LANGUAGE", "fr")
    with translation.override(language):
        assert dict(between(country, "", YEAR))[dt.date(2027, 12, 25)].startswith(name)


def test_no_stretch_means_no_offer() -> None:
    assert between("PT", "", []) == []
