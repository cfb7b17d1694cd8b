"""The open files have a folder with names; whoever is forgotten meanwhile must not stay in it."""

from functools import partial

from django.core.files.storage import default_storage
from django.db import transaction

from outreach.ending.jobs import STORED_AS
from outreach.households.whom import Whom


class OpenFiles:
    """The zip that lies ready to be fetched; it is written anew when asked for."""

    covers: frozenset[str] = frozenset()

    def forget(self, whom: Whom) -> dict[str, int]:
        if not default_storage.exists(STORED_AS):
            return {}
        transaction.on_commit(partial(default_storage.delete, STORED_AS))
        return {"ending.open_files": 1}


HANDLERS = {"open files": OpenFiles()}
