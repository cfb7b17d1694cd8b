"""`manage.py serve`: the site and one worker in one process, for a single machine."""

import argparse
import signal
import sys
import threading
from ipaddress import ip_address
from typing import Any

import waitress
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application

from outreach.staff import working


class Command(BaseCommand):
    help = "Serve the site with one worker inside. Ctrl-C stops both."
    requires_migrations_checks = True

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="Address to listen on (default %(default)s).")
        parser.add_argument("--port", type=int, default=8000, help="Port (default %(default)s).")
        parser.add_argument("--threads", type=int, default=8, help="Requests at once (default %(default)s).")
        parser.add_argument("--no-worker", action="store_true", help="Where `manage.py work` runs beside it.")

    def handle(self, *, host: str, port: int, threads: int, no_worker: bool, **options: Any) -> None:
        if settings.IS_LOCAL and not _is_this_machine_only(host):
            raise CommandError(
                f"{host} can be reached from elsewhere. Set LOAMBOOK_HOSTS to the names this server answers to, "
                "so that cookies are only sent over TLS."
            )
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
        try:
            server = waitress.create_server(
                get_wsgi_application(), host=host, port=port, threads=threads, **_proxy_options()
            )
        except OSError as error:
            raise CommandError(
                f"Cannot listen on {host}:{port}: {error.strerror}. Try another --port."
            ) from error
        stop = threading.Event()
        worker = None if no_worker else working.run_inside(stop)
        self.stdout.write(f"Serving on http://{host}:{port}/. Ctrl-C stops.")
        try:
            server.run()
        finally:
            stop.set()
            if worker:
                worker.join(timeout=30)


def _is_this_machine_only(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _proxy_options() -> dict[str, Any]:
    """Where a proxy on this machine ends TLS, take the visitor's address and scheme from it alone."""
    if not settings.IS_BEHIND_PROXY:
        return {}
    return {
        "trusted_proxy": "127.0.0.1",
        "trusted_proxy_headers": "x-forwarded-for x-forwarded-proto",
        "clear_untrusted_proxy_headers": True,
        "log_untrusted_proxy_headers": True,
    }
