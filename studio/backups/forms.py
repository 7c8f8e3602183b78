"""A file brought from elsewhere, and the password before everything is replaced."""

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from studio.access.forms import AskingForm, password_field

MOST_UPLOADED = 1024**3


class BringForm(forms.Form):
    file = forms.FileField(
        label="A backup from another computer, or one you downloaded",
        help_text="A file ending in .zip. You see what it would change before anything does.",
        widget=forms.FileInput(attrs={"accept": ".zip"}),
        error_messages={
            "required": "Choose a file.",
            "empty": "The file is empty.",
            "missing": "The file did not arrive. Choose it again.",
        },
    )

    def clean_file(self) -> UploadedFile:
        file: UploadedFile = self.cleaned_data["file"]
        if (file.size or 0) > MOST_UPLOADED:
            raise ValidationError(
                f"“{file.name}” is larger than 1 GB. Restore it from the command line."
            )
        return file


class ConfirmForm(AskingForm, forms.Form):
    """Whoever found the studio open on a table does not know this."""

    old_password = password_field("Your password", "current-password")

    def __init__(self, *args: object, user: User, **kwargs: object) -> None:
        self.user = user
        super().__init__(*args, **kwargs)
        self.fields["old_password"].error_messages["required"] = "Type your password."

    def clean_old_password(self) -> str:
        typed: str = self.cleaned_data["old_password"]
        if not self.user.check_password(typed):
            raise ValidationError("That is not your password. Capital letters count.")
        return typed
