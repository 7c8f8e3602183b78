"""Thanks to those who played: the teacher's words with each first name put in."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from practice.recitals.models import Performance, Programme, Thanks
from practice.recitals.order import names_of, performances_of, players_of
from studio.people.models import Student

NAME = "[name]"
# no words: a value
TRADITIONAL = "Traditional"  # as the catalogue names what nobody composed


@dataclass(frozen=True)
class Thanked:
    """One player's page. `own` are words meant for this player alone, "" where there are none."""

    student: Student
    name: str
    works: tuple[str, ...]
    own: str
    words: str

    @property
    def paragraphs(self) -> list[str]:
        return [line.strip() for line in self.words.splitlines() if line.strip()]


def thanked(programme: Programme) -> list[Thanked]:
    """Every player in the order of the programme. Two queries."""
    rows = performances_of(programme)
    names = names_of(rows)
    own = dict(Thanks.objects.filter(programme=programme).values_list("student", "words"))
    return [
        Thanked(
            student,
            names[student.pk],
            tuple(
                _titled(each) for each in rows if student.pk in (each.student_id, each.partner_id)
            ),
            own.get(student.pk, ""),
            (own.get(student.pk) or programme.thanks).replace(NAME, student.given_name),
        )
        for student in players_of(rows)
    ]


def _titled(each: Performance) -> str:
    work = each.work
    if not work.composer or work.composer == TRADITIONAL:
        return work.short_title
    return _("{title} by {composer}").format(title=work.short_title, composer=work.told_composer)


@transaction.atomic
def keep(programme: Programme, thanks: str, own: dict[int, str]) -> None:
    """Words for all, and by student id those for one; empty ones are gone."""
    programme.thanks = thanks
    programme.save(update_fields=["thanks"])
    Thanks.objects.filter(programme=programme).delete()
    Thanks.objects.bulk_create(
        Thanks(programme=programme, student_id=pk, words=words)
        for pk, words in own.items()
        if words
    )
