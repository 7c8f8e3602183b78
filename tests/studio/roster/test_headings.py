"""Columns are known by their headings, however the list is written."""

from __future__ import annotations

import pytest

from studio.roster.headings import HEADINGS, WORDS, Kind, proposed

G, F, B = Kind.GIVEN, Kind.FAMILY_NAME, Kind.BORN


@pytest.mark.parametrize(
    ("headings", "kinds"),
    [
        (["First Name", "Last Name", "DOB", "Parent", "Email", "Phone"],
         [G, F, B, Kind.GUARDIAN, Kind.EMAIL, Kind.PHONE]),
        (["Nachname", "Vorname", "Geburtsdatum", "E-Mail", "Handy"],
         [F, G, B, Kind.EMAIL, Kind.PHONE]),
        (["Name, Vorname", "geb. am", "Geigengröße", "Mutter", "E-Mail Mutter", "Handy Mutter",
          "Vater", "E-Mail Vater", "Handy Vater", "Unterricht seit", "Anmerkungen", "PLZ, Ort"],
         [Kind.FULL, B, Kind.SIZE, Kind.GUARDIAN, Kind.EMAIL, Kind.PHONE, Kind.GUARDIAN_2,
          Kind.EMAIL_2, Kind.PHONE_2, Kind.STARTED, Kind.NOTES, Kind.NOTHING]),
        (["Vorname Schüler/in", "Nachname Schüler/in", "Geburtstag", "Größe", "Vorname der Eltern",
          "Nachname der Eltern", "Telefonnr.", "Mobil", "Verhältnis"],
         [G, F, B, Kind.SIZE, Kind.GUARDIAN_GIVEN, Kind.GUARDIAN_FAMILY, Kind.PHONE, Kind.NOTHING,
          Kind.RELATION]),
        (["Name", "Vorname", "Erziehungsberechtigte/r 1", "Erziehungsberechtigte/r 2"],
         [F, G, Kind.GUARDIAN, Kind.GUARDIAN_2]),
        (["Nom", "Prénom", "Date de naissance", "Courriel", "Téléphone"],
         [F, G, B, Kind.EMAIL, Kind.PHONE]),
        (["APELLIDOS", "Nombre completo", "Correo electrónico"], [F, Kind.FULL, Kind.EMAIL]),
        (["student_name", "violin size", "parent 1", "parent 2", "email", "e-mail", "email 3"],
         [Kind.FULL, Kind.SIZE, Kind.GUARDIAN, Kind.GUARDIAN_2, Kind.EMAIL, Kind.EMAIL_2,
          Kind.NOTHING]),
        (["Name", "Shoe size", ""], [Kind.FULL, Kind.NOTHING, Kind.NOTHING]),
    ],
)  # fmt: skip
def test_headings_in_several_languages(headings: list[str], kinds: list[Kind]) -> None:
    assert proposed(headings) == kinds


def test_a_second_number_without_a_second_guardian_is_nobodys() -> None:
    assert proposed(["Parent", "Phone", "Mobile"]) == [Kind.GUARDIAN, Kind.PHONE, Kind.NOTHING]


def test_a_column_full_of_addresses_needs_no_heading() -> None:
    assert proposed(["?"], [["a@example.org", "", "b@example.org"]]) == [Kind.EMAIL]


def test_each_kind_has_words_and_no_heading_means_two_things() -> None:
    assert set(WORDS) == set(Kind)
    words = [word for of in HEADINGS.values() for word in of]
    assert len(words) == len(set(words))
