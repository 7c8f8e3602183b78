"""`manage.py import_studio FILE --owner MAIL`: an export into an empty studio, or a new one."""

import argparse
from getpass import getpass
from pathlib import Path
from typing import Any

from django.contrib.auth import get_user_model, password_validation
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.management import BaseCommand
from django.db import transaction

from studio.access.forms import account_name
from studio.access.models import Studio
from studio.export import placing
from studio.export.packing import ExportTrouble
from studio.record.models import What
from studio.record.noting import note_command


class Command(BaseCommand):
    help = "Take an export into the empty studio of a teacher, or open a studio for her first."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file")
        parser.add_argument("--owner", required=True, help="the e-mail address she signs in with")

    def handle(self, *, file: str, owner: str, **_: Any) -> None:
        path = Path(file)
        if not path.is_file():
            raise ExportTrouble(f"{file} is no file.")
        with transaction.atomic():
            studio = self.studio(account_name(owner))
            manifest = placing.take_in(studio, path, path.name)
            note_command(studio, What.IMPORTED, path.name)
        for label, rows in manifest.rows.items():
            if rows:
                self.stdout.write(f"{label:<28}{rows:>9}")
        self.stdout.write(f"{studio.name} is in place. Hand out the private links anew.")

    def studio(self, owner: str) -> Studio:
        users = get_user_model().objects
        user = users.filter(username=owner).first() or self.opened(owner)
        found = Studio.objects.filter(owner=user).first()
        return found or Studio.objects.create(owner=user, name=owner, teacher=owner, zone="UTC")

    def opened(self, owner: str) -> User:
        """A new account with a password typed here."""
        self.stdout.write(f"{owner} is new here and gets a studio of her own.")
        password = getpass("A password for it: ")
        user = User(username=owner, email=owner)
        try:
            password_validation.validate_password(password, user)
        except ValidationError as error:
            raise ExportTrouble(" ".join(error.messages)) from error
        user.set_password(password)
        user.save()
        return user
