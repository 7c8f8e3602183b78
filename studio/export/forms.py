"""A file taken in, and what of a family's data is taken out."""

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from studio.backups.forms import MOST_UPLOADED
from studio.web.forms import PlainForm


class TakeInForm(forms.Form):
    file = forms.FileField(
        label="An export of a studio",
        help_text="A file ending in .zip, made by “Everything as one file”.",
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
                f"“{file.name}” is larger than 1 GB. Take it in from the command line."
            )
        return file


class FamilyFileForm(PlainForm, forms.Form):
    notes = forms.BooleanField(
        label="Also what I wrote for myself alone: notes, things to check, drafts of reports",
        required=False,
        initial=True,
        help_text="Where a family may ask for its data, its own file usually holds your notes too.",
    )
