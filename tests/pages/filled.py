"""A page's form as a browser would send it back: every control with the value it shows."""

from __future__ import annotations

from html.parser import HTMLParser


class _Form(HTMLParser):
    def __init__(self, wanted: str) -> None:
        super().__init__()
        self.wanted, self.inside = wanted, False
        self.values: dict[str, list[str]] = {}
        self.select: str | None = None
        self.options: list[tuple[str, bool]] = []
        self.textarea: str | None = None
        self.text = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attributes}
        if tag == "form":
            self.inside = given.get("id") == self.wanted
        elif not self.inside:
            return
        elif tag == "input" and given.get("name") and "disabled" not in given:
            if given.get("type") in ("radio", "checkbox") and "checked" not in given:
                return
            usual = "on" if given.get("type") == "checkbox" else ""
            self.values.setdefault(given["name"], []).append(given.get("value", usual))
        elif tag == "select":
            self.select, self.options = given["name"], []
        elif tag == "option" and self.select:
            self.options.append((given.get("value", ""), "selected" in given))
        elif tag == "textarea":
            self.textarea, self.text = given["name"], ""

    def handle_data(self, data: str) -> None:
        self.text += data if self.textarea else ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.inside = False
        elif tag == "select" and self.select:
            first = self.options[:1]
            chosen = [value for value, selected in self.options if selected]
            self.values[self.select] = chosen or [value for value, _ in first]
            self.select = None
        elif tag == "textarea" and self.textarea:
            self.values[self.textarea] = [self.text.removeprefix("\n")]
            self.textarea = None


def filled(html: bytes | str, form: str) -> dict[str, list[str]]:
    """Names and values of the form with that id, ready for `client.post`."""
    reader = _Form(form)
    reader.feed(html.decode() if isinstance(html, bytes) else html)
    return reader.values
