"""Widgets that write their HTML without a template: the Bench has some sixty controls, and
Django's own renderer would take most of the page's time."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString


class Text(forms.TextInput):
    """What a teacher writes may run from right to left."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__({"dir": "auto", **(attrs or {})})

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        given = {**self.attrs, **(attrs or {}), "name": name, "type": self.input_type}
        shown = self.format_value(value)
        if shown is not None:
            given["value"] = shown
        return format_html("<input{}>", flatatt(given))


class Lines(forms.Textarea):
    """One line of text that is shown whole: the box grows with it."""

    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        given = {"dir": "auto", "rows": 1, **(attrs or {}), "name": name}
        given |= {key: each for key, each in self.attrs.items() if key not in ("cols", "rows")}
        return format_html("<textarea{}>{}</textarea>", flatatt(given), value or "")


class Figures(Text):
    """Text with a keyboard of figures."""

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        figures = {"dir": "ltr", "inputmode": "numeric", "autocomplete": "off"}
        super().__init__({**figures, **(attrs or {})})


class Select(forms.Select):
    def render(
        self, name: str, value: Any, attrs: dict[str, Any] | None = None, renderer: Any = None
    ) -> SafeString:
        chosen = set(self.format_value(value))
        options = format_html_join(
            "",
            '<option value="{}"{}>{}</option>',
            (
                (key, SafeString(" selected") if key in chosen else "", label)
                for key, label in ((str(key or ""), label) for key, label in self.choices)
            ),
        )
        given = {**self.attrs, **(attrs or {}), "name": name}
        return format_html("<select{}>{}</select>", flatatt(given), options)
