"""The site's secret key: made at the first run and kept beside the database."""

import os
import secrets
from pathlib import Path


def secret_key_in(folder: Path) -> str:
    """Return the key kept in folder, making it on the first call.

    Two processes that start together agree: the file is created whole or not at all.
    """
    path = folder / "secret_key"
    if not path.exists():
        draft = folder / f"secret_key.{os.getpid()}"
        draft.write_text(secrets.token_urlsafe(64), encoding="ascii")
        draft.chmod(0o600)
        try:
            os.link(draft, path)
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    return path.read_text(encoding="ascii")
