"""What printed pages of the calendar ask."""

from __future__ import annotations

from django import template

from studio.lessons.term_print import SIZES

register = template.Library()


@register.simple_tag
def size_class(size: int, smaller: int) -> str:
    """The class of a page that begins at a size and has to be so many steps smaller."""
    return SIZES[min(size + smaller, len(SIZES) - 1)]
