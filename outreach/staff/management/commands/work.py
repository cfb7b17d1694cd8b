"""`manage.py work`: do queued jobs until told to stop."""

import argparse
import signal
import threading
from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand

from outreach.staff import working


class Command(BaseCommand):
    help = "Do queued jobs as they come. Stop it with Ctrl-C; a job under way goes back to the queue."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="Do what is queued now, then stop.")
        parser.add_argument(
            "--lease",
            type=float,
            default=working.LEASE.total_seconds(),
            metavar="SECONDS",
            help="After so long without a sign of life another worker takes a job over (default %(default)s).",
        )

    def handle(self, *, once: bool, lease: float, **options: Any) -> None:
        if once:
            count = working.run_queued(lease=timedelta(seconds=lease), has_heart=True)
            self.stdout.write(f"Jobs done: {count}")
            return
        stop = threading.Event()
        for name in (signal.SIGINT, signal.SIGTERM):
            signal.signal(name, lambda *_: stop.set())
        self.stdout.write("Waiting for jobs. Ctrl-C stops.")
        working.run_until(stop, lease=timedelta(seconds=lease))
