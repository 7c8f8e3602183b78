"""What pages of other areas show of the calendar."""

from __future__ import annotations

from django import template

from studio.lessons import addresses
from studio.people.models import Family

register = template.Library()


@register.inclusion_tag("lessons/family_calendar.html")
def family_calendar(family: Family) -> dict[str, object]:
    """`{% family_calendar family %}`: the code of its calendar address, or the way to make one."""
    return {"family": family, "link": addresses.family_link(family)}
