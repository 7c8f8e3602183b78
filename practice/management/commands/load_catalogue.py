"""Brings the shared works and explore ideas up to the data files of this version."""

from typing import Any

from django.core.management.base import BaseCommand

from practice.repertoire.catalogue import load_catalogue


class Command(BaseCommand):
    help = "Load the starter catalogue of works and explore ideas; safe to run again."

    def handle(self, *args: Any, **options: Any) -> None:
        works, ideas = load_catalogue()
        if options["verbosity"] > 0:
            self.stdout.write(f"{works} works and {ideas} ideas new or changed.")
