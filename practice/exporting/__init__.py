"""How the models of practice travel; see studio/export/rules.py."""

from __future__ import annotations

from django.db.models import Model

from practice.exporting import in_hand, weeks

LEFT_OUT: dict[type[Model], str] = {}
RULES = (*in_hand.RULES, *weeks.RULES)
