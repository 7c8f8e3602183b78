"""Signing in, the first questions a new studio answers, and its settings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.conf import settings
from django.contrib.auth import password_validation
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext, gettext_noop
from django.utils.translation import gettext_lazy as _

from studio.access.models import Studio, zone_names
from studio.web.forms import PlainForm
from studio.web.model_form import ModelForm
from studio.web.search import folded

if TYPE_CHECKING:
    from django_stubs_ext import StrOrPromise

LONGEST_PASSWORD = 512
MISSING = {
    "name": _("Give the studio a name; your own will do."),
    "teacher": _("Write the name your students know you by."),
    "zone": _("Say where you teach, for example Europe/Lisbon."),
    "email": _("Write the e-mail address you will sign in with."),
    "password": _("Choose a password."),
    "password_again": _("Type the password once more."),
    "old_password": _("Type the password until now."),
}

# Sentences of Django's that our catalogs say in words of their own.
SAID_OTHERWISE = (
    gettext_noop("The password is too similar to the %(verbose_name)s."),
    gettext_noop("This password is too common."),
)


def account_name(email: str) -> str:
    """Under which name an account is kept: the address without case."""
    return email.strip().lower()


def password_field(
    label: StrOrPromise, autocomplete: str, help_text: StrOrPromise = ""
) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=LONGEST_PASSWORD,
        strip=False,
        help_text=help_text,
        widget=forms.PasswordInput(attrs={"autocomplete": autocomplete}),
    )


class AskingForm(PlainForm):
    """Asks for what is missing in the words of the question."""

    def phrase(self) -> None:
        super().phrase()
        for name in MISSING.keys() & self.fields.keys():
            self.fields[name].error_messages["required"] = MISSING[name]


class SignInForm(PlainForm, forms.Form):
    email = forms.CharField(
        label=_("E-mail"),
        max_length=150,
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = password_field(_("Password"), "current-password")

    def clean_email(self) -> str:
        return account_name(self.cleaned_data["email"])


# For passwords and passphrases alike; Django's own sentences speak of passwords.
REFUSED = {
    "password_too_short": _("This one is too short: at least 10 characters."),
    "password_too_common": _("This one is too common: it is among those that are tried first."),
    "password_too_similar": _("This one is too similar to your name or address."),
}


class NewPasswordForm(forms.Form):
    """A password, typed twice. `owner()` says whose it must not resemble."""

    password = password_field(
        _("Password"),
        "new-password",
        _("At least ten characters. Three words in a row are easy to keep."),
    )
    password_again = password_field(_("The same once more"), "new-password")

    def owner(self) -> User:
        raise NotImplementedError

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean() or self.cleaned_data
        password, again = cleaned.get("password"), cleaned.get("password_again")
        if password:
            try:
                password_validation.validate_password(password, self.owner())
            except ValidationError as refused:
                for error in refused.error_list:
                    self.add_error("password", REFUSED.get(error.code or "", error))
        if password and again and password != again:
            self.add_error("password_again", gettext("The two differ. Type both again."))
        return cleaned


class StudioForm(AskingForm, ModelForm[Studio]):
    """What a studio must say before its first page can be shown."""

    clock_24h = forms.TypedChoiceField(
        label=_("Clock"),
        choices=[("yes", "16:30"), ("no", _("4:30 pm"))],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )

    locale = forms.ChoiceField(
        label=_("Language"), choices=settings.LANGUAGES, widget=forms.RadioSelect
    )

    class Meta:
        model = Studio
        fields = ["locale", "name", "teacher", "zone", "paper", "clock_24h", "week_start"]
        labels = {
            "name": _("Name of the studio"),
            "teacher": _("Your name, as you sign"),
            "zone": _("Time zone"),
            "paper": _("Paper"),
            "week_start": _("The week starts on"),
        }
        help_texts = {
            "teacher": _("It stands at the foot of every assignment sheet."),
            "zone": _("Start to type the nearest large city."),
        }
        widgets = {
            "zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
            "paper": forms.RadioSelect,
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["clock_24h"] = "yes" if self.instance.clock_24h else "no"

    def clean_zone(self) -> str:
        """The city alone will do where only one zone ends with it."""
        typed: str = self.cleaned_data["zone"]
        city = folded(typed.strip().replace(" ", "_"))  # Zürich is Europe/Zurich
        found = [name for name in zone_names() if folded(name.rpartition("/")[2]) == city]
        return found[0] if typed not in zone_names() and len(found) == 1 else typed


class FirstRunForm(NewPasswordForm, StudioForm):
    """The studio together with the account that opens it."""

    field_order = (*StudioForm.Meta.fields, "email", "password", "password_again")

    email = forms.EmailField(
        label=_("E-mail"),
        max_length=150,
        help_text=_("Only to sign in. Nothing is ever sent to it."),
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )

    def owner(self) -> User:
        return User(
            username=self.cleaned_data.get("email", ""),
            first_name=self.cleaned_data.get("teacher", ""),
            last_name=self.cleaned_data.get("name", ""),
        )

    def clean_email(self) -> str:
        name = account_name(self.cleaned_data["email"])
        if User.objects.filter(username=name).exists():
            sentence = gettext("{name} already opens a studio here. Sign in with it instead.")
            raise ValidationError(sentence.format(name=name))
        return name

    @transaction.atomic
    def open_studio(self) -> User:
        """Make account and studio, both or neither."""
        email = self.cleaned_data["email"]
        self.instance.owner = User.objects.create_user(email, email, self.cleaned_data["password"])
        self.save()
        return self.instance.owner


class SettingsForm(StudioForm):
    """What a teacher may change at any time; another zone moves lessons and has its own page."""

    class Meta(StudioForm.Meta):
        fields = [
            *(name for name in StudioForm.Meta.fields if name != "zone"),
            "note_names",
            "rest_after",
            "rest_minutes",
            "growth_limit_percent",
            "steady_lessons",
            "a4_hz",
            "own_link_age",
        ]
        labels = {
            **StudioForm.Meta.labels,
            "note_names": _("Names of notes"),
            "rest_after": _("Rest after so many minutes"),
            "rest_minutes": _("Minutes of rest"),
            "growth_limit_percent": _("Growth of a week’s minutes, in per cent, before a caution"),
            "steady_lessons": _("Lessons in a row at which a thing is steady"),
            "a4_hz": _("Your A, in hertz"),
            "own_link_age": _("Age from which a child has a home page of its own"),
        }
        help_texts = {
            **StudioForm.Meta.help_texts,
            "rest_after": _(
                "A longer session shows a rest. A habit of the trade, no medical figure."
            ),
            "rest_minutes": _("It counts as no practice."),
            "growth_limit_percent": _("Over the mean of the last four weeks. It blocks nothing."),
            "steady_lessons": _("The Bench counts them; whether to move on is yours to decide."),
            "note_names": _("In keys, under notes and wherever one is named."),
            "a4_hz": _("From 415 to 446; most tune to 440, many orchestras to 442."),
            "own_link_age": _("The code on its sheet then shows no sister or brother."),
        }


class PasswordForm(AskingForm, NewPasswordForm):
    """A new password for whoever knows the old one."""

    field_order = ("old_password", "password", "password_again")

    old_password = password_field(_("The password until now"), "current-password")

    def __init__(self, user: User, *args: Any, **kwargs: Any) -> None:
        self.user = user
        super().__init__(*args, **kwargs)

    def owner(self) -> User:
        return self.user

    def clean_old_password(self) -> str:
        old: str = self.cleaned_data["old_password"]
        if not self.user.check_password(old):
            raise ValidationError(
                gettext("That is not the password until now. Capital letters count.")
            )
        return old
