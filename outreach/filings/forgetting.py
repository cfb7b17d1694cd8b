"""Packs hold copies of paperwork: whoever is forgotten must not stay in one. A pack is made anew when asked."""

from functools import partial

from django.core.files.storage import default_storage
from django.db import transaction

from outreach.filings.jobs import pack_stored_as, rows_stored_as
from outreach.filings.models import Filing
from outreach.households.whom import Whom


class Packs:
    """The auditor's packs that lie ready. Filings themselves hold nothing personal and stay untouched."""

    covers: frozenset[str] = frozenset()

    def forget(self, whom: Whom) -> dict[str, int]:
        filings = list(Filing.objects.all())
        names = [pack_stored_as(filing) for filing in filings]
        names += [rows_stored_as(filing, with_contact_data=True) for filing in filings]
        there = [name for name in names if default_storage.exists(name)]
        for name in there:
            transaction.on_commit(partial(default_storage.delete, name))
        return {"filings.pack": len(there)} if there else {}


HANDLERS = {"packs": Packs()}
