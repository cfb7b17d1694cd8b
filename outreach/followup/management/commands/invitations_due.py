"""`manage.py invitations_due`: ask and remind whoever is due now. For cron or a timer; two at once do no harm."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from outreach.followup import reminding


class Command(BaseCommand):
    help = "Open waves for households that are due, queue reminders. The worker of `serve` does it by itself."

    def handle(self, **options: Any) -> None:
        done = reminding.ask_due(timezone.now())
        self.stdout.write(f"Asked: {done.asked}. Reminded: {done.reminded}. Let be: {done.settled}.")
