"""`manage.py forget`: forget a person or a household by number."""

import argparse
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from outreach.households import forgetting
from outreach.households.forgotten_models import Forgotten
from outreach.households.models import Household, Participant


class Command(BaseCommand):
    help = "Remove a person or a household everywhere; counts stay. It cannot be undone."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        whom = parser.add_mutually_exclusive_group(required=True)
        whom.add_argument("--person", type=int, metavar="NUMBER", help="as in the address of their page")
        whom.add_argument("--household", type=int, metavar="NUMBER", help="with everybody in it")
        parser.add_argument("--yes", action="store_true", help="say that you mean it")

    def handle(self, *args: Any, **options: Any) -> None:
        if not options["yes"]:
            raise CommandError("This cannot be undone. Say --yes if you mean it.")
        try:
            whom = _whom(options["person"], options["household"])
            act = forgetting.forget(**whom, why=Forgotten.Schedule.ASKED, by=None, at=timezone.now())
        except (Participant.DoesNotExist, Household.DoesNotExist) as missing:
            raise CommandError("Nobody has that number. Look at the address of their page.") from missing
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        self.stdout.write("Forgotten. Changed:")
        for name, count in sorted(act.destroyed.items()):
            self.stdout.write(f"  {name}: {count}")


def _whom(person: int | None, household: int | None) -> dict[str, Any]:
    if person is not None:
        return {"participant": Participant.objects.get(pk=person)}
    return {"household": Household.objects.get(pk=household or 0)}
