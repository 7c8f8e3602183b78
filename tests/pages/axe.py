"""Accessibility check of an open page by axe-core, whose rules are the outside standard here."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page


def complaints(page: Page) -> list[str]:
    """One line for each place axe complains about: rule, what it means, where it stands.

    Best-practice rules count as well; an empty list is the only pass.
    """
    found = Axe().run(page).response["violations"]
    return [
        f"{rule['id']}: {rule['help']}: {' '.join(map(str, node['target']))}"
        for rule in found
        for node in rule["nodes"]
    ]


def assert_accessible(page: Page) -> None:
    """Checks the page as it stands now, in the light and in the dark theme."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert complaints(page) == [], f"{page.url} in the {scheme} theme"
