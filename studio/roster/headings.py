"""What a column holds, proposed by its heading as people write it in several languages."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from studio.web.search import folded

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise


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


WORDS: dict[Kind, StrOrPromise] = {
    Kind.NOTHING: _("left out"),
    Kind.GIVEN: _("student: first name"),
    Kind.FAMILY_NAME: _("student: family name"),
    Kind.FULL: _("student: whole name"),
    Kind.HOUSEHOLD: _("family: its name"),
    Kind.BORN: _("student: day of birth"),
    Kind.SIZE: _("student: violin"),
    Kind.STARTED: _("student: first day with you"),
    Kind.NOTES: _("student: notes for you alone"),
    Kind.GUARDIAN: _("guardian: whole name"),
    Kind.GUARDIAN_GIVEN: _("guardian: first name"),
    Kind.GUARDIAN_FAMILY: _("guardian: family name"),
    Kind.RELATION: _("guardian: relation"),
    Kind.EMAIL: _("guardian: e-mail"),
    Kind.PHONE: _("guardian: phone"),
    Kind.GUARDIAN_2: _("second guardian: whole name"),
    Kind.GUARDIAN_2_GIVEN: _("second guardian: first name"),
    Kind.GUARDIAN_2_FAMILY: _("second guardian: family name"),
    Kind.RELATION_2: _("second guardian: relation"),
    Kind.EMAIL_2: _("second guardian: e-mail"),
    Kind.PHONE_2: _("second guardian: phone"),
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
# no words: what other people write
_HEADINGS = """
given: givenname firstname forename studentfirstname studentgivenname childfirstname vorname
  vornamekind vornamedeskindes vornameschuler vornameschulerin prenom prenomeleve prenomenfant
  nombrealumno nomeproprio primeironome voornaam fornamn rufname first given
family-name: familyname lastname surname studentlastname studentsurname studentfamilyname
  childlastname nachname nachnamekind nachnamedeskindes nachnameschuler nachnameschulerin
  familienname zuname nomdefamille nomeleve apellido apellidos apelido sobrenome cognome
  achternaam efternamn last
full: name student studentname fullname pupil pupilname child childname childsname schuler
  schulerin schueler schuelerin schulername schulerinname kind kindname namekind namedeskindes
  nameschuler nameschulerin vorundnachname vorundzuname vornamenachname nachnamevorname
  namevorname nomprenom nometprenom nomcomplet eleve nombrecompleto nombreyapellidos alumno
  nomecompleto aluno nomeecognome allievo leerling naam elev namn nom nombre nome
household: family household familie famille familia famiglia gezin familj
born: birthdate dateofbirth birthday dob born studentbirthdate geburtsdatum geburtstag geboren
  geborenam geb gebam gebdatum gebtag datedenaissance naissance nele fechadenacimiento nacimiento
  datadenascimento nascimento datadinascita nascita geboortedatum fodelsedatum fodelsedag
size: violin violinsize size instrumentsize instrument geige geigengrosse grosse groesse
  geigengroesse instrumentengrosse instrumentengroesse instrumentgrosse violingrosse
  grossedergeige grossegeige violon taille tailleviolon taledeviolin tamano tamanho misura viool
  maat fiol storlek violino violine
started: started start startdate since firstlesson firstday joined beginn begin seit
  unterrichtsbeginn unterrichtseit erstestunde erstertag eintritt eintrittsdatum anfang debut
  depuis inicio desde inizio startdatum
notes: notes note comments comment remarks notizen notiz bemerkung bemerkungen anmerkung
  anmerkungen hinweis hinweise kommentar sonstiges remarques notas observaciones observacoes
  opmerkingen anteckningar
guardian: guardian guardianname parent parents parentname parentguardian parentguardianname
  contact contactname emergencycontact mother father mothersname fathersname mothername fathername
  eltern elternteil mutter vater erziehungsberechtigte erziehungsberechtigter sorgeberechtigte
  sorgeberechtigter bezugsperson kontaktperson kontakt ansprechpartner ansprechpartnerin
  notfallkontakt nameeltern elternname namedereltern namemutter namedermutter namevater
  namedesvaters eltern1 elternteil1 bezugsperson1 erziehungsberechtigte1 erziehungsberechtigter1
  parentresponsable responsable mere pere tutor madre padre encarregadodeeducacao encarregado mae
  pai genitore ouder moeder vader vardnadshavare foralder mamma pappa carer guardian1 parent1
  parent1name contact1
guardian-given: guardianfirstname guardiangivenname parentfirstname parent1firstname
  guardian1firstname contactfirstname vornameeltern vornamedereltern vornameelternteil
  vornamebezugsperson vornamemutter vornamevater prenomparent
guardian-family: guardianlastname guardianfamilyname guardiansurname parentlastname parentsurname
  parent1lastname guardian1lastname contactlastname nachnameeltern nachnamedereltern
  nachnameelternteil nachnamebezugsperson nachnamemutter nachnamevater nomparent
relation: relation relationship relationtostudent beziehung verhaltnis verwandtschaft lien
  parentesco parentela relatie relation1
email: email emailaddress mail parentemail guardianemail contactemail emailadresse mailadresse
  epost epostadress correo correoelectronico courriel adressemail adresseemail emaileltern
  emaildereltern maileltern emailmutter emailvater mailmutter mailvater emailbezugsperson
  emailparent emailguardian motheremail fatheremail mothersemail fathersemail email1 parent1email
  guardian1email
phone: phone phonenumber telephone tel mobile mobilephone cell cellphone parentphone guardianphone
  contactphone telefon telefonnummer telefonnr telnr handy handynummer handynr mobil mobilnummer
  mobilnr mobiltelefon festnetz telefoneltern teleltern telefonmutter telefonvater handyeltern
  handymutter handyvater mobilmutter mobilvater telefonbezugsperson telefon1 handy1 telefono movil
  telemovel celular cellulare telefoon mobiel gsm portable numero motherphone fatherphone phone1
  parent1phone guardian1phone
guardian-2: guardian2 parent2 guardian2name parent2name contact2 secondguardian secondparent
  otherparent eltern2 elternteil2 bezugsperson2 erziehungsberechtigte2 erziehungsberechtigter2
  zweitebezugsperson
guardian-2-given: parent2firstname guardian2firstname
guardian-2-family: parent2lastname guardian2lastname
relation-2: relation2 relationship2
email-2: email2 parent2email guardian2email secondemail
phone-2: phone2 parent2phone guardian2phone secondphone telefon2 handy2 mobil2
"""
HEADINGS = {
    Kind(kind): words.split()
    for kind, words in re.findall(r"^(\S+): (.+(?:\n  .+)*)", _HEADINGS, re.MULTILINE)
}
SECOND_NAMES = {Kind.GUARDIAN_2, Kind.GUARDIAN_2_GIVEN, Kind.GUARDIAN_2_FAMILY}
KNOWN = {word: kind for kind, words in HEADINGS.items() for word in words}


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
    """A "name" beside a first name is the family name: lists in several languages have it so.

    A second number or address without a second guardian's name would be nobody's: left out.
    """
    if Kind.GIVEN in found and Kind.FULL in found and Kind.FAMILY_NAME not in found:
        found = [Kind.FAMILY_NAME if kind is Kind.FULL else kind for kind in found]
    if SECOND_NAMES.isdisjoint(found):
        nobodys = {Kind.RELATION_2, Kind.EMAIL_2, Kind.PHONE_2}
        found = [Kind.NOTHING if kind in nobodys else kind for kind in found]
    return found


def _are_mails(cells: Sequence[str]) -> bool:
    written = [cell for cell in cells if cell]
    return bool(written) and sum("@" in cell for cell in written) * 2 > len(written)
