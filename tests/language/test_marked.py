"""Whatever somebody may read is marked for translation: looked for in the sources themselves."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest

from tests.test_rules import BASE, SOURCES, TEMPLATES, name_of

CALLS = {"_", "gettext", "gettext_lazy", "gettext_noop", "ngettext", "ngettext_lazy", "pgettext"}
CALLS |= {"pgettext_lazy", "npgettext", "npgettext_lazy"}
# For whoever runs or mends the program, who reads them in a terminal or a log.
NOT_SHOWN = ("studio/running/", "studio/management/", "practice/management/")
# Invented people's own words: data like a real studio's.
INVENTED = ("practice/example/",)
NOT_WORDS = re.compile(
    r"^(SELECT|INSERT|UPDATE|DELETE|PRAGMA|CREATE|DROP|BEGIN|VACUUM|LOCK)\b|^<(svg|html)\b"
)
BUGS = {"AssertionError", "NotImplementedError", "RuntimeError", "TypeError", "ValueError"}
BUGS |= {"KeyError", "LookupError", "ImproperlyConfigured"}
# Beside a literal that looks like words and is none.
EXEMPT = "# no words:"
SENTENCE = re.compile(r"[A-Za-z’]{2,},? [A-Za-z{“]|\} [a-z]{2,}|^[A-Z][a-z]{2,}[.:…]?$")
# Tags of XML and the attributes in them.
MARKUP = re.compile(r"""<[^<>]*>|[\w.:]+="[^"]*\"""")
SHOWN_ATTRIBUTES = {"alt", "title", "aria-label", "aria-description", "placeholder", "label"}
UNSEEN_VALUES = {"radio", "checkbox", "hidden"}
# A text in quotes, with what says that it is translated or a pattern of a date.
ARGUMENT = re.compile(r"""(_\(|\|(?:date|day|time):)?["']([^"']*)["']""")
UNITS = {"min", "mm", "cm", "Hz", "kB", "MB", "GB", "vCard", "CSV", "XLSX", "PDF", "QR"}


class Strings(ast.NodeVisitor):
    """Literals that look like words and stand in no call that translates."""

    def __init__(self, lines: list[str]) -> None:
        self.lines, self.found = lines, list[str]()

    def visit_Call(self, node: ast.Call) -> None:
        name = ast.unparse(node.func).rpartition(".")[2]
        if name in CALLS:
            return
        if ast.unparse(node.func) in {"re.compile", "logger.warning", "logger.exception"}:
            return
        self.generic_visit(node)

    def visit_Raise(self, node: ast.Raise) -> None:
        name = ast.unparse(node.exc.func) if isinstance(node.exc, ast.Call) else ""
        if name.rpartition(".")[2] not in BUGS:
            self.generic_visit(node)

    def visit_Expr(self, node: ast.Expr) -> None:
        if not isinstance(node.value, ast.Constant):  # a docstring
            self.generic_visit(node)

    def visit_Assert(self, node: ast.Assert) -> None:
        """For programmers."""

    def visit_Assign(self, node: ast.Assign) -> None:
        if ast.unparse(node.targets[0]) != "__all__":
            self.generic_visit(node)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        """Types may stand in quotes."""
        for each in (*node.decorator_list, node.args, *node.body):
            self.visit(each)

    def visit_arg(self, node: ast.arg) -> None:
        """A type too."""

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value:
            self.visit(node.value)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        self.visit(node.value)

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        text = ""
        for part in node.values:
            if isinstance(part, ast.Constant):
                text += str(part.value)
            else:
                text += "{}"
                self.visit(part)
                self.unseen(part)
        self.look(text, node)

    def visit_FormattedValue(self, node: ast.FormattedValue) -> None:
        self.visit(node.value)

    def visit_Constant(self, node: ast.Constant) -> None:
        if isinstance(node.value, str):
            self.look(node.value, node)

    def unseen(self, part: ast.expr) -> None:
        """`xgettext` does not look inside f-strings."""
        for node in ast.walk(part):
            if not isinstance(node, ast.Call) or ast.unparse(node.func) not in CALLS:
                continue
            if any(isinstance(each, ast.Constant) for each in node.args):
                self.found.append(f"{part.lineno}: inside an f-string: {ast.unparse(node)}")

    def look(self, text: str, node: ast.expr) -> None:
        if not SENTENCE.search(MARKUP.sub("", text)) or NOT_WORDS.match(text):
            return
        around = self.lines[max(node.lineno - 2, 0) : node.end_lineno]
        if not any(EXEMPT in line for line in around):
            self.found.append(f"{node.lineno}: {text}")


class Shown(HTMLParser):
    """What a template shows outside its tags and variables."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.silent += tag in {"style", "script", "code"}
        # The value of a box to tick or of a hidden field is sent, not shown.
        shows_value = tag == "input" and dict(attrs).get("type") not in UNSEEN_VALUES
        for name, value in attrs:
            if name in SHOWN_ATTRIBUTES or (name == "value" and shows_value):
                self.look(value or "", name)

    def handle_endtag(self, tag: str) -> None:
        self.silent -= tag in {"style", "script", "code"}

    def handle_data(self, data: str) -> None:
        if not self.silent:
            self.look(data, "text")

    def look(self, text: str, where: str) -> None:
        words = set(re.findall(r"[^\W\d_]{2,}", text)) - UNITS
        if words:
            self.found.append(f"{where}: {' '.join(text.split())}")


def unmarked_in_template(source: str) -> Iterator[str]:
    left = re.sub(r"{#.*?#}|{% comment %}.*?{% endcomment %}", "", source, flags=re.DOTALL)
    left = re.sub(r"{% block (?:page_class|width) %}[^{]*{% endblock %}", "", left)  # classes
    left = re.sub(
        r"{% blocktrans(?:late)? .*?{% endblocktrans(?:late)? %}|{% blocktranslate %}.*?"
        r"{% endblocktranslate %}",
        "\x01",
        left,
        flags=re.DOTALL,
    )
    tags = re.findall(r"{%\s*(\w+)(.*?)%}|{{(.*?)}}", left)
    for tag, arguments, variable in tags:
        if "pluralize" in variable:
            yield f"pluralize, which knows English alone: {variable}"
        if tag in {"translate", "trans", "load", "extends", "url", "static", "mark"}:
            continue
        for before, text in ARGUMENT.findall(arguments + variable):
            if not before and re.search(r"^[A-Z][a-z]{2,}|[a-z]{2,} [a-z]", text):
                yield f"argument: {text}"
    parser = Shown()
    parser.feed(re.sub(r"{%.*?%}|{{.*?}}", "\x01", left, flags=re.DOTALL))
    yield from parser.found


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_templates(path: Path) -> None:
    found = list(unmarked_in_template(path.read_text(encoding="utf-8")))
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "path",
    [each for each in SOURCES if not name_of(each).startswith((*NOT_SHOWN, *INVENTED))],
    ids=name_of,
)
def test_sources(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    looking = Strings(text.splitlines())
    looking.visit(ast.parse(text))
    assert not looking.found, "\n".join(looking.found)


@pytest.mark.parametrize("path", sorted((BASE / "static" / "js").glob("*.js")), ids=name_of)
def test_scripts_hold_no_words(path: Path) -> None:
    """They show what the page gives them, as `data-` attributes."""
    text = path.read_text(encoding="utf-8")
    literals = re.findall(
        r'"([^"\n]*)"|`([^`]*)`', re.sub(r"^\s*//.*$|^\s*\*.*$", "", text, flags=re.M)
    )
    assert [one for pair in literals for one in pair if re.search(r"[A-Z][a-z]+ [a-z]", one)] == []


@pytest.mark.parametrize(
    "source",
    [
        "<p>Some words</p>",
        '<p aria-label="Go on"></p>',
        '{% include "a.html" with label="Save it" %}',
        "{{ name|default:'Nobody' }}",
        "{{ n }} lesson{{ n|pluralize }}",
        "{% blocktranslate %}in{% endblocktranslate %} and out",
    ],
)
def test_the_search_finds(source: str) -> None:
    assert list(unmarked_in_template(source))


@pytest.mark.parametrize(
    "source",
    [
        'f"{name} has no turn"',
        "f\"{_('Etude')}: {name}\"",
        'x = "Write a name."',
        'raise Refused("Not that one.")',
    ],
)
def test_the_search_finds_in_sources(source: str) -> None:
    looking = Strings([source])
    looking.visit(ast.parse(source))
    assert looking.found
