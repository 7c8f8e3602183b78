"""Signing in, and the first questions a new studio answers."""

from typing import Any

from django import forms
from django.contrib.auth import password_validation
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from studio.access.models import Studio
from studio.web.model_form import ModelForm


def account_name(email: str) -> str:
    """Under which name an account is kept: the address without case."""
    return email.strip().lower()


class SignInForm(forms.Form):
    email = forms.CharField(
        label="E-mail",
        max_length=150,
        widget=forms.TextInput(
            attrs={"type": "email", "autocomplete": "username", "autofocus": True}
        ),
    )
    password = forms.CharField(
        max_length=512,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def clean_email(self) -> str:
        return account_name(self.cleaned_data["email"])


class StudioForm(ModelForm[Studio]):
    """The studio itself; also the form of a signed-in teacher who has none yet."""

    clock_24h = forms.TypedChoiceField(
        label="Clock",
        choices=[("yes", "16:30"), ("no", "4:30 pm")],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )

    class Meta:
        model = Studio
        fields = ["name", "teacher", "zone", "paper", "clock_24h", "week_start"]
        labels = {
            "name": "Studio",
            "teacher": "Your name, as you sign",
            "zone": "Time zone",
            "paper": "Paper in your printer",
            "week_start": "Your week starts on",
        }
        help_texts = {"teacher": "Printed at the foot of each assignment sheet."}
        error_messages = {
            "name": {"required": "Give the studio a name. Your own name will do."},
            "teacher": {"required": "Write the name your students know you by."},
        }
        widgets = {
            "zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
            "paper": forms.RadioSelect,
        }


class FirstRunForm(StudioForm):
    """The studio together with the account that opens it."""

    email = forms.EmailField(
        label="E-mail",
        max_length=150,
        help_text="Only to sign in. Nothing is ever sent to it.",
        widget=forms.EmailInput(attrs={"autocomplete": "username"}),
    )
    password = forms.CharField(
        max_length=512,
        strip=False,
        help_text="At least ten characters. Three words in a row are easy to keep.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    password_again = forms.CharField(
        label="The password once more",
        max_length=512,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean_email(self) -> str:
        name = account_name(self.cleaned_data["email"])
        if User.objects.filter(username=name).exists():
            raise ValidationError(f"{name} already opens a studio here. Sign in with it instead.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        password = cleaned.get("password")
        if password:
            user = User(username=cleaned.get("email", ""), first_name=cleaned.get("teacher", ""))
            try:
                password_validation.validate_password(password, user)
            except ValidationError as error:
                self.add_error("password", error)
            if password != cleaned.get("password_again"):
                self.add_error("password_again", "The two passwords differ. Type both again.")
        return cleaned

    @transaction.atomic
    def open_studio(self) -> User:
        """Make account and studio, both or neither."""
        email = self.cleaned_data["email"]
        owner = User.objects.create_user(email, email, self.cleaned_data["password"])
        self.instance.owner = owner
        self.save()
        return owner
