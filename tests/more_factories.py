"""More rows for tests: private links, times of the teacher's own, bowings, reports."""

from __future__ import annotations

import datetime as dt
import hashlib

import factory
from factory.django import DjangoModelFactory

from practice import models as practice
from studio import models as studio
from tests.factories import FamilyFactory, StudentFactory, StudioFactory, TermFactory


class HomeLinkFactory(DjangoModelFactory[studio.HomeLink]):
    """A family's home page; `tokens.issue` gives it a secret that works."""

    class Meta:
        model = studio.HomeLink

    family = factory.SubFactory(FamilyFactory)
    opens = studio.HomeLink.Opens.FAMILY
    token_hash = factory.Sequence(lambda n: hashlib.sha256(b"%d" % n).hexdigest())


class BusyTimeFactory(DjangoModelFactory[studio.BusyTime]):
    class Meta:
        model = studio.BusyTime

    studio = factory.SubFactory(StudioFactory)
    what = "Orchestra"
    starts = dt.datetime(2026, 11, 25, 9, 0, tzinfo=dt.UTC)
    ends = dt.datetime(2026, 11, 25, 11, 0, tzinfo=dt.UTC)


class BowingFactory(DjangoModelFactory[practice.Bowing]):
    class Meta:
        model = practice.Bowing

    studio = factory.SubFactory(StudioFactory)
    name = "rocking"
    pattern = factory.LazyFunction(lambda: {"code": "2/4 (8 8) 4"})


class ReportFactory(DjangoModelFactory[practice.Report]):
    class Meta:
        model = practice.Report

    student = factory.SubFactory(StudentFactory)
    term = factory.SubFactory(TermFactory)
    words = "Imani has found a ringing sound on the open strings."
