"""What is emptied of records requests when people are forgotten. Zips in which words were released go as well."""

from functools import partial

from django.core.files.storage import default_storage
from django.db import transaction

from outreach.disclosure.models import Disclosure
from outreach.households.forgetting import ForgetHandler
from outreach.households.forgetting_rows import Rows
from outreach.households.whom import Whom


class Zips:
    """Files made with released words lie ready no longer; the list of what went out, with digests, stays."""

    covers: frozenset[str] = frozenset()

    def forget(self, whom: Whom) -> dict[str, int]:
        with_words = Disclosure.objects.filter(records_request__released__isnull=False).distinct()
        there = [
            name for name in with_words.values_list("stored_as", flat=True) if default_storage.exists(name)
        ]
        for name in there:
            transaction.on_commit(partial(default_storage.delete, name))
        return {"disclosure.files": len(there)} if there else {}


HANDLERS: dict[str, ForgetHandler] = {
    "records requests": Rows("disclosure.RecordsRequest", masks=["requester", "asked_for"]),
    "handovers": Rows("disclosure.Handover", masks=["to_whom"]),
    "disclosed files": Zips(),
}
