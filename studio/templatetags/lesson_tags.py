"""What pages of other areas show of the calendar, and names in a row."""

from __future__ import annotations

from collections.abc import Iterable

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from studio.language.lists import listed
from studio.lessons import addresses
from studio.people.models import Family, Student

register = template.Library()


@register.inclusion_tag("lessons/family_calendar.html")
def family_calendar(family: Family) -> dict[str, object]:
    """`{% family_calendar family %}`: the code of its calendar address, or the way to make one."""
    return {"family": family, "link": addresses.family_link(family)}


@register.simple_tag
def names(first: str, others: Iterable[str]) -> SafeString:
    """`{% names student.given_name sharing %}`: "Ben and Cleo", each in its own direction."""
    said = [format_html("<bdi>{}</bdi>", name) for name in (first, *others)]
    # Safe as it is: each name is escaped, and what stands between them is ours.
    return SafeString(listed(said))


@register.simple_tag
def given_names(students: Iterable[Student]) -> SafeString:
    """`{% given_names slot.students.all %}`: as `names`."""
    first, *others = [student.given_name for student in students] or [""]
    return names(first, others)


@register.simple_tag
def full_names(students: Iterable[Student]) -> SafeString:
    """`{% full_names slot.students.all %}`: as `names`."""
    first, *others = [student.full_name for student in students] or [""]
    return names(first, others)
