"""The real server as a process of its own, on the database of the test, so that it can be stopped and started."""

import contextlib
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from django.db import connection

ROOT = Path(__file__).parents[2]
SERVE = """
import sys
import django
from django.conf import settings
database, port = sys.argv[1:]
settings.DATABASES["default"]["NAME"] = database
django.setup()
from django.core.management import call_command
call_command("serve", port=int(port), no_worker=True)
"""
PATIENCE_SECONDS = 90


class ServerProcess:
    """`manage.py serve` on a port of this machine."""

    def __init__(self) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        database = str(connection.settings_dict["NAME"])
        environment = os.environ | {"DJANGO_SETTINGS_MODULE": "outreach.site.settings"}
        self._process = subprocess.Popen(
            [sys.executable, "-c", SERVE, database, str(self.port)],
            env=environment,
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        deadline = time.monotonic() + PATIENCE_SECONDS
        while not self.answers():
            if self._process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError(f"The server did not start on port {self.port}.")
            time.sleep(0.2)

    def stop(self) -> None:
        """Kill it as a power cut would, and wait until nothing answers any more."""
        if self._process is not None:
            self._process.kill()
            self._process.wait(timeout=30)
            self._process = None

    def answers(self) -> bool:
        with contextlib.suppress(urllib.error.URLError, OSError):
            return urllib.request.urlopen(f"{self.base}/door/worker.js", timeout=5).status == 200
        return False
