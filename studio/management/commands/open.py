"""`manage.py open`: the studio on this computer, or in the house with --lan."""

import argparse
import webbrowser
from threading import Event, Thread
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand
from django.urls import reverse

from studio.backups import keeping
from studio.record.models import What
from studio.record.noting import note_everywhere
from studio.running import data_folder, first_start, presence, serving
from studio.running.environment import BadEnvironment
from studio.web import pdf

WARM_UP_AFTER = 5  # seconds


class Command(BaseCommand):
    help = "Open the studio. Set-up happens by itself on the first start."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--example", action="store_true", help="fill an invented studio")
        parser.add_argument("--port", type=port_number, default=8000, help="8000 unless said")
        parser.add_argument("--lan", action="store_true", help="open it to the house network")
        parser.add_argument("--browser", action="store_true", help="also open the browser")

    def handle(self, *, example: bool, port: int, lan: bool, browser: bool, **_: Any) -> None:
        if settings.HTTPS and not settings.TRUSTED_PROXY:
            wanted = "nothing in front speaks https: set STUDIO_PROXY to the address of the proxy"
            raise BadEnvironment("STUDIO_HTTPS", "yes", wanted)
        data_folder.make(settings.DATA_DIR)
        host = serving.EVERYWHERE if lan else serving.LOOPBACK
        with serving.listen(host, port) as listening, presence.at_work(settings.DATA_DIR):
            if first_start.prepare_database(keeping.before_upgrade):
                note_everywhere(What.UPGRADED)
                self.stdout.write("The database is ready.")
            here = f"http://{serving.LOOPBACK}:{port}"
            self.tell_example(here, fresh=self.fill(example))
            self.tell_addresses(here, port, lan)
            if browser:
                webbrowser.open(here)
            self.serve(listening)

    def fill(self, example: bool) -> bool:
        """Fill the example into an empty database; whether that was done."""
        if not example:
            return False
        if not first_start.has_studio():
            self.stdout.write("Inventing a studio …")
            first_start.fill_example(settings.DATA_DIR)
            return True
        if not first_start.note_of(settings.DATA_DIR).exists():
            self.stdout.write(
                "This folder holds a studio of its own; the example stays out of it. To see the "
                "example beside it: STUDIO_DATA=example python3 manage.py open --example"
            )
        return False

    def tell_example(self, here: str, *, fresh: bool) -> None:
        sign_in = first_start.example_sign_in(settings.DATA_DIR)
        if sign_in is None:
            return
        if fresh:
            self.stdout.write(f"Sign in as {sign_in.email} with {sign_in.password}")
        self.stdout.write(f"The example's sign-in is kept in {sign_in.note}")
        ticket = reverse("access:use_ticket", args=[sign_in.token])
        self.stdout.write(f"Straight in, once, within 15 minutes:\n  {here}{ticket}")

    def tell_addresses(self, here: str, port: int, lan: bool) -> None:
        self.stdout.write(f"The studio is open at\n  {here}/")
        house = serving.house_address() if lan else None
        if house:
            settings.ALLOWED_HOSTS.append(house)
            settings.HOUSE_ADDRESS = f"http://{house}:{port}"
            self.stdout.write(
                f"On a phone or tablet in this house:\n  http://{house}:{port}/\n"
                "Pages travel unencrypted there; use it only in a network you trust."
            )
        elif lan:
            self.stdout.write("No house network was found; only this computer can reach it.")
        self.stdout.write("Ctrl+C closes it.")
        self.stdout.flush()

    def serve(self, listening: Any) -> None:
        from studio.wsgi import application

        closing = Event()
        daily = keeping.keep_daily(closing)
        warming = Thread(target=warm_up_later, args=[closing], name="warm-up", daemon=True)
        warming.start()
        try:
            serving.serve(application, listening, settings.TRUSTED_PROXY)
        finally:
            closing.set()
            daily.join()
            warming.join()
        self.stdout.write("\nThe studio is closed.")


def warm_up_later(closing: Event) -> None:
    """After the first pages, which would share the processor with it."""
    if not closing.wait(WARM_UP_AFTER):
        pdf.warm_up()


def port_number(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"{text!r} is no port; choose a number up to 65535.")
    return int(text)
