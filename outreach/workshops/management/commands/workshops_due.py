"""`manage.py workshops_due`: do what is due for workshops now. For cron or a timer; two at once do no harm."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from outreach.workshops import due


class Command(BaseCommand):
    help = (
        "End offers, give unconfirmed places back, queue reminders. The worker of `serve` does it by itself."
    )

    def handle(self, **options: Any) -> None:
        done = due.settle_due(timezone.now())
        self.stdout.write(
            f"Offers over: {done.offers_over}. Places given back: {done.given_back}. Moved up: {done.moved_up}."
        )
