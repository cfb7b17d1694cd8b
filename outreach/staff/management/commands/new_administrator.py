"""`manage.py new_administrator`: a way in from the machine when nobody else has one."""

import argparse
import sys
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from outreach.staff import people


class Command(BaseCommand):
    help = "Admit an administrator and print a one-time password, whoever is locked out."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--username", help="Name to sign in with; asked for when not given.")
        parser.add_argument("--name", help="Full name; asked for when not given.")

    def handle(self, *, username: str | None, name: str | None, **options: Any) -> None:
        username = username or self._ask("Name to sign in with", "--username")
        name = name or self._ask("Full name", "--name")
        try:
            member, password = people.admit_administrator(username=username, full_name=name)
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        self.stdout.write(f"Sign-in name: {member.username}")
        self.stdout.write(f"One-time password: {password}")
        self.stdout.write("It is shown only here. The first sign-in asks for a password of one's own.")

    def _ask(self, what: str, option: str) -> str:
        if not sys.stdin.isatty():
            raise CommandError(f"Give {option}; there is nobody here to ask.")
        return input(f"{what}: ")
