"""`ModelForm[Student]`: Django's class takes its model in brackets for the type checker only."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.forms import ModelForm as ModelForm
else:
    from django import forms

    class ModelForm(forms.ModelForm):
        def __class_getitem__(cls, model):
            return cls
