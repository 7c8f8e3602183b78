"""A week that runs, and the link that opens it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from practice.models import Assignment
from studio.links import tokens
from studio.models import HomeLink, Student
from tests import factories
from tests.factories import DAY


@pytest.fixture
def week(student: Student) -> Assignment:
    """A week that runs: scale and two spots of one piece each day, explore today."""
    starts = DAY - dt.timedelta(days=2)
    plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    piece = factories.PieceInHandFactory.create(student=student)
    scale = factories.ScaleInHandFactory.create(student=student)
    spots = [factories.SpotFactory.create(piece=piece, first_bar=bar) for bar in (3, 7)]
    make = factories.ItemFactory.create
    for number in range(5):
        day = {"plan": plan, "date": starts + dt.timedelta(days=number)}
        make(**day, position=0, key="scale:1", part="scale", minutes=6, title="Scale", scale=scale)
        for place, spot in enumerate(spots):
            make(
                **day,
                position=1 + place,
                key=f"spot:{spot.pk}",
                part="spot",
                minutes=3,
                title=f"Spot, {spot.label}",
                piece=piece,
                spot=spot,
            )
        make(**day, position=9, key="explore", part="explore", minutes=2, title="Explore")
    return plan.assignment


@pytest.fixture
def link(student: Student) -> HomeLink:
    return HomeLink(opens=HomeLink.Opens.FAMILY, family=student.family, label="Tomás")


@pytest.fixture
def token(link: HomeLink) -> str:
    return tokens.issue(link)


@pytest.fixture
def phone(open_page: Callable[..., Page]) -> Page:
    """Over plain http in the house: no service worker there."""
    size = {"width": 390, "height": 844}
    return open_page(viewport=size, has_touch=True, is_mobile=True, service_workers="block")


@pytest.fixture
def safe_phone(open_page: Callable[..., Page]) -> Page:
    """Where the page is a secure context, as here on this computer or over https."""
    return open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
