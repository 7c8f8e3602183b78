"""What a column holds, proposed by its heading as people write it in several languages."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum

from studio.web.search import folded


class Kind(StrEnum):
    """What a column can be; the value is what the form posts."""

    NOTHING = ""
    GIVEN = "given"
    FAMILY_NAME = "family-name"
    FULL = "full"
    HOUSEHOLD = "household"
    BORN = "born"
    SIZE = "size"
    STARTED = "started"
    NOTES = "notes"
    GUARDIAN = "guardian"
    GUARDIAN_GIVEN = "guardian-given"
    GUARDIAN_FAMILY = "guardian-family"
    RELATION = "relation"
    EMAIL = "email"
    PHONE = "phone"
    GUARDIAN_2 = "guardian-2"
    GUARDIAN_2_GIVEN = "guardian-2-given"
    GUARDIAN_2_FAMILY = "guardian-2-family"
    RELATION_2 = "relation-2"
    EMAIL_2 = "email-2"
    PHONE_2 = "phone-2"


WORDS: dict[Kind, str] = {
    Kind.NOTHING: "left out",
    Kind.GIVEN: "student: first name",
    Kind.FAMILY_NAME: "student: family name",
    Kind.FULL: "student: whole name",
    Kind.HOUSEHOLD: "family: its name",
    Kind.BORN: "student: day of birth",
    Kind.SIZE: "student: violin",
    Kind.STARTED: "student: first day with you",
    Kind.NOTES: "student: notes for you alone",
    Kind.GUARDIAN: "guardian: whole name",
    Kind.GUARDIAN_GIVEN: "guardian: first name",
    Kind.GUARDIAN_FAMILY: "guardian: family name",
    Kind.RELATION: "guardian: relation",
    Kind.EMAIL: "guardian: e-mail",
    Kind.PHONE: "guardian: phone",
    Kind.GUARDIAN_2: "second guardian: whole name",
    Kind.GUARDIAN_2_GIVEN: "second guardian: first name",
    Kind.GUARDIAN_2_FAMILY: "second guardian: family name",
    Kind.RELATION_2: "second guardian: relation",
    Kind.EMAIL_2: "second guardian: e-mail",
    Kind.PHONE_2: "second guardian: phone",
}
SECOND = {
    kind: Kind(f"{kind.value.replace('guardian', 'guardian-2')}")
    if kind.value.startswith("guardian")
    else Kind(f"{kind.value}-2")
    for kind in (
        Kind.GUARDIAN,
        Kind.GUARDIAN_GIVEN,
        Kind.GUARDIAN_FAMILY,
        Kind.RELATION,
        Kind.EMAIL,
        Kind.PHONE,
    )
}
# Headings without case, accents and signs; English, German, French, Spanish, Portuguese, Italian,
# Dutch and Swedish, as registration lists commonly have them (common practice, no source).
HEADINGS: dict[Kind, str] = {
    Kind.GIVEN: "givenname firstname forename studentfirstname studentgivenname childfirstname "
    "vorname vornamekind vornamedeskindes prenom prenomeleve prenomenfant nombrealumno "
    "nomeproprio primeironome voornaam fornamn rufname first given",
    Kind.FAMILY_NAME: "familyname lastname surname studentlastname studentsurname "
    "studentfamilyname childlastname nachname nachnamekind familienname zuname nomdefamille "
    "nomeleve apellido apellidos apelido sobrenome cognome achternaam efternamn last",
    Kind.FULL: "name student studentname fullname pupil pupilname child childname childsname "
    "schuler schulerin schulername kind nameschuler nomprenom nometprenom nomcomplet eleve "
    "nombrecompleto nombreyapellidos alumno nomecompleto aluno nomeecognome allievo leerling "
    "naam elev namn nom nombre nome",
    Kind.HOUSEHOLD: "family household familie famille familia famiglia gezin familj",
    Kind.BORN: "birthdate dateofbirth birthday dob born studentbirthdate geburtsdatum geburtstag "
    "geboren gebdatum datedenaissance naissance nele fechadenacimiento nacimiento "
    "datadenascimento nascimento datadinascita nascita geboortedatum fodelsedatum fodelsedag",
    Kind.SIZE: "violin violinsize size instrumentsize instrument geige geigengrosse grosse "
    "instrumentengrosse violon taille tailleviolon taledeviolin tamano tamanho misura viool "
    "maat fiol storlek violino violine",
    Kind.STARTED: "started start startdate since firstlesson firstday joined beginn begin seit "
    "unterrichtsbeginn debut depuis inicio desde inizio startdatum",
    Kind.NOTES: "notes note comments comment remarks notizen bemerkung bemerkungen anmerkung "
    "remarques notas observaciones observacoes opmerkingen anteckningar",
    Kind.GUARDIAN: "guardian guardianname parent parents parentname parentguardian "
    "parentguardianname contact contactname emergencycontact mother father mothersname "
    "fathersname mothername fathername eltern elternteil mutter vater erziehungsberechtigte "
    "erziehungsberechtigter sorgeberechtigte parentresponsable responsable mere pere tutor "
    "madre padre encarregadodeeducacao encarregado mae pai genitore ouder moeder vader "
    "vardnadshavare foralder mamma pappa carer guardian1 parent1 parent1name contact1",
    Kind.GUARDIAN_GIVEN: "guardianfirstname guardiangivenname parentfirstname parent1firstname "
    "guardian1firstname contactfirstname vornameeltern vornameelternteil prenomparent",
    Kind.GUARDIAN_FAMILY: "guardianlastname guardianfamilyname guardiansurname parentlastname "
    "parentsurname parent1lastname guardian1lastname contactlastname nachnameeltern "
    "nachnameelternteil nomparent",
    Kind.RELATION: "relation relationship relationtostudent beziehung verhaltnis lien parentesco "
    "parentela relatie relation1",
    Kind.EMAIL: "email emailaddress mail parentemail guardianemail contactemail emailadresse "
    "mailadresse epost epostadress correo correoelectronico courriel adressemail adresseemail "
    "emaileltern emailparent emailguardian motheremail fatheremail mothersemail fathersemail "
    "email1 parent1email guardian1email",
    Kind.PHONE: "phone phonenumber telephone tel mobile mobilephone cell cellphone parentphone "
    "guardianphone contactphone telefon telefonnummer handy handynummer mobil mobilnummer "
    "telefono movil telemovel celular cellulare telefoon mobiel gsm portable numero "
    "motherphone fatherphone phone1 parent1phone guardian1phone",
    Kind.GUARDIAN_2: "guardian2 parent2 guardian2name parent2name contact2 secondguardian "
    "secondparent otherparent",
    Kind.GUARDIAN_2_GIVEN: "parent2firstname guardian2firstname",
    Kind.GUARDIAN_2_FAMILY: "parent2lastname guardian2lastname",
    Kind.RELATION_2: "relation2 relationship2",
    Kind.EMAIL_2: "email2 parent2email guardian2email secondemail",
    Kind.PHONE_2: "phone2 parent2phone guardian2phone secondphone",
}
KNOWN = {word: kind for kind, words in HEADINGS.items() for word in words.split()}


def proposed(headings: Sequence[str], columns: Sequence[Sequence[str]] = ()) -> list[Kind]:
    """What each column seems to be; each kind once, a guardian's second ones for a second guardian.

    A column whose heading says nothing is a guardian's e-mail if most of it looks like one.
    """
    taken: set[Kind] = set()
    found = []
    for place, heading in enumerate(headings):
        kind = KNOWN.get(re.sub(r"[\W_]+", "", folded(heading)), Kind.NOTHING)
        if kind is Kind.NOTHING and place < len(columns) and _are_mails(columns[place]):
            kind = Kind.EMAIL
        if kind in taken:
            kind = SECOND.get(kind, Kind.NOTHING)
        if kind in taken:
            kind = Kind.NOTHING
        taken.add(kind)
        found.append(kind)
    return _settled(found)


def _settled(found: list[Kind]) -> list[Kind]:
    """A "name" beside a first name is the family name: lists in several languages have it so."""
    if Kind.GIVEN in found and Kind.FULL in found and Kind.FAMILY_NAME not in found:
        return [Kind.FAMILY_NAME if kind is Kind.FULL else kind for kind in found]
    return found


def _are_mails(cells: Sequence[str]) -> bool:
    written = [cell for cell in cells if cell]
    return bool(written) and sum("@" in cell for cell in written) * 2 > len(written)
