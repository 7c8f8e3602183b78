"""The studio goes to another time zone: the teacher says what moves."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from studio import clock
from studio.access.models import validate_zone, zone_names
from studio.lessons.booking import Refused
from studio.lessons.calendar_views import SECTION
from studio.lessons.change_views import GET_OR_POST
from studio.lessons.forms import missing
from studio.lessons.models import Lesson
from studio.lessons.zone_move import move_zone
from studio.record.models import What
from studio.record.noting import note
from studio.web.forms import PlainForm, answer, posted
from studio.web.http import StudioRequest


class ZoneForm(PlainForm, forms.Form):
    zone = forms.CharField(
        label=_("New time zone"),
        max_length=64,
        validators=[validate_zone],
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "zones"}),
    )
    keep = forms.ChoiceField(
        label=_("What happens to lessons still to come?"),
        choices=[
            ("wall", _("They stay at their time of day: I teach where I now live")),
            (
                "instant",
                _("They stay when they are for the families: my clock shows another time"),
            ),
        ],
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, now: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        missing(self, "keep", _("Say what happens to lessons still to come."))
        self.now = now

    def clean_zone(self) -> str:
        zone: str = self.cleaned_data["zone"]
        if zone == self.now:
            words = gettext("The studio is in {zone} already.")
            raise ValidationError(words.format(zone=zone))
        return zone


@require_http_methods(GET_OR_POST)
def zone(request: StudioRequest) -> HttpResponse:
    now, studio = clock.now(), request.studio
    old = studio.zone
    form = ZoneForm(**posted(request), now=old, initial={"zone": request.GET.get("to", "")})
    if form.is_valid():
        new = form.cleaned_data["zone"]
        try:
            with transaction.atomic():
                changed = move_zone(
                    studio, new, now, keep_instants=form.cleaned_data["keep"] == "instant"
                )
                noted = ngettext(
                    "time zone; {n} lesson changed with it",
                    "time zone; {n} lessons changed with it",
                    changed,
                )
                note(request, What.SETTINGS_CHANGED, noted.format(n=changed))
        except Refused as reason:
            studio.zone = old
            form.add_error("zone", str(reason))
        else:
            words = ngettext(
                "The studio is in {zone} now; {n} lesson changed with it.",
                "The studio is in {zone} now; {n} lessons changed with it.",
                changed,
            )
            messages.success(request, words.format(zone=new, n=changed))
            return redirect("lessons:calendar")
    coming = Lesson.objects.of(studio).filter(
        date__gte=clock.today(studio), status=Lesson.Status.PLANNED
    )
    context = {"form": form, "old": old, **_example(request, coming.first()), **SECTION}
    context["coming"] = coming.count()
    context["zones"] = sorted(name for name in zone_names() if "/" in name and name[:4] != "Etc/")
    return render(request, "lessons/zone.html", context, status=answer(form))


def _example(request: StudioRequest, lesson: Lesson | None) -> dict[str, object]:
    """The next lesson as it would be in the zone asked for, to make the question plain."""
    wanted = request.GET.get("to") or request.POST.get("zone") or ""
    try:
        validate_zone(wanted)
    except ValidationError:
        return {}
    if lesson is None:
        return {}
    return {
        "example": lesson,
        "wanted": wanted,
        "would_be": lesson.begins(ZoneInfo(request.studio.zone)).astimezone(ZoneInfo(wanted)),
    }
