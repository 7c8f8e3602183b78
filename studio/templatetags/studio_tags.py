"""Tags of every page: the marks, the four strings, the head's links, minutes by day."""

from collections.abc import Sequence
from typing import Any

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from studio.web import marks
from studio.web.week_bars import WeekBars
from studio.web.week_bars import week_bars as measured

register = template.Library()

FOUR_STRINGS = (
    '<svg class="strings" viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true"'
    ' focusable="false" fill="currentColor"><path d="M0 0h100v2.6H0zM0 4.2h100v1.9H0z'
    'M0 7.6h100v1.3H0zM0 10.4h100v.8H0z"/></svg>'
)


@register.simple_tag
def mark(name: str, css_class: str = "") -> SafeString:
    """`{% mark "scale" %}` or `{% mark "scale" "small" %}`; the word must stand beside it."""
    # Safe as it is: the strokes are our own files, the class comes from a template.
    # no words: classes
    return SafeString(marks.svg(name, css_class=f"mark {css_class}".strip()))


@register.simple_tag
def strings() -> SafeString:
    """The four strings, G thick to E thin: the one ornament, under every page head."""
    return SafeString(FOUR_STRINGS)


@register.simple_tag(takes_context=True)
def nav_link(context: template.Context, url_name: str, label: str, section: str) -> str:
    """A link of the head; nothing while the program has no page of that name.

    The link to this very page is `aria-current="page"`; one whose address this page's begins with,
    or whose key the page gives as `section`, is `aria-current="true"`.
    """
    try:
        address = reverse(url_name)
    except NoReverseMatch:
        return ""
    request = context.get("request")
    here = request.path if request is not None else ""
    if here == address:
        current = format_html(' aria-current="{}"', "page")
    elif context.get("section") == section or (address != "/" and here.startswith(address)):
        current = format_html(' aria-current="{}"', "true")
    else:
        current = SafeString("")
    return format_html('<li><a href="{}"{}>{}</a></li>', address, current, label)


@register.inclusion_tag("parts/week_bars.html")
def week_bars(
    plan: Sequence[int | None],
    done: Sequence[int | None],
    days: Sequence[str],
    large: bool = False,
) -> dict[str, WeekBars]:
    """`{% week_bars plan done days %}`: minutes of each day, planned hollow, logged solid."""
    return {"week": measured(plan, done, days, large)}


@register.filter
def is_checkbox(field: Any) -> bool:
    """Whether a form field is one tick, whose label stands after it."""
    return getattr(field.field.widget, "input_type", "") == "checkbox" and not field.use_fieldset
