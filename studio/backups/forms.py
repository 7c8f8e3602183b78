"""A file brought from elsewhere, and the password before everything is replaced."""

from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from studio.access.forms import LONGEST_PASSWORD, AskingForm, NewPasswordForm, password_field
from studio.web.uploads import UploadField

MOST_UPLOADED = 1024**3


class BringForm(forms.Form):
    file = UploadField(
        _("A backup from another computer, or one you downloaded"),
        accept=".zip,.age",
        largest=MOST_UPLOADED,
        otherwise=_("Restore it from the command line."),
        help_text=_("Ends in .zip or .zip.age. You see what it would change before anything does."),
    )

    passphrase = forms.CharField(
        label=_("Its passphrase, if it is locked"),
        max_length=LONGEST_PASSWORD,
        required=False,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "off"}),
    )


class ConfirmForm(AskingForm, forms.Form):
    """Whoever found the studio open on a table does not know this."""

    old_password = password_field(_("Your password"), "current-password")

    def __init__(self, *args: object, user: User, **kwargs: object) -> None:
        self.user = user
        super().__init__(*args, **kwargs)
        self.fields["old_password"].error_messages["required"] = gettext("Type your password.")

    def clean_old_password(self) -> str:
        typed: str = self.cleaned_data["old_password"]
        if not self.user.check_password(typed):
            raise ValidationError(gettext("That is not your password. Capital letters count."))
        return typed


class PassphraseForm(AskingForm, NewPasswordForm):
    """What a backup is to be locked with. The program keeps it nowhere."""

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        self.user = user
        super().__init__(*args, **kwargs)
        again = self.fields["password_again"]
        self.fields["password"].label = gettext("Passphrase")
        self.fields["password"].error_messages["required"] = gettext("Choose a passphrase.")
        again.error_messages["required"] = gettext("Type the passphrase once more.")

    def owner(self) -> User:
        return self.user
