"""A file taken in, and what of a family's data is taken out."""

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.backups.forms import MOST_UPLOADED
from studio.web.forms import PlainForm
from studio.web.uploads import UploadField


class TakeInForm(forms.Form):
    file = UploadField(
        _("An export of a studio"),
        accept=".zip",
        largest=MOST_UPLOADED,
        otherwise=_("Take it in from the command line."),
        help_text=_("A file ending in .zip, made by “Everything as one file”."),
    )


class FamilyFileForm(PlainForm, forms.Form):
    notes = forms.BooleanField(
        label=_("Also what I wrote for myself alone: notes, things to check, drafts of reports"),
        required=False,
        initial=True,
        help_text=_(
            "Where a family may ask for its data, its own file usually holds your notes too."
        ),
    )
