"""Documents that take longer than a request should: the workbook that recomputes, of a large filing."""

import tempfile
from typing import Any

from django.core.files import File
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.filings.documents.files import live_file_name
from outreach.filings.documents.live.book import NothingToRecompute, write_live_workbook
from outreach.filings.models import Filing
from outreach.staff.jobs import Progress, job

# Up to so many answers it is written while the person waits.
FEW_ANSWERS = 2_000


def stored_as(filing: Filing) -> str:
    """Where the workbook is kept once it has been made; a filing never changes, so neither does this."""
    return f"filings/{filing.software_version}/{live_file_name(filing)}"


@job(
    "filings.live_workbook",
    title=gettext_lazy("Writing the workbook that recomputes"),
    refusals=(NothingToRecompute,),
)
def live_workbook(progress: Progress, *, filing_id: int) -> dict[str, Any]:
    """Write it to the storage; made before, it stays."""
    filing = Filing.objects.get(pk=filing_id)

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Writing answers"))

    if not default_storage.exists(stored_as(filing)):
        with tempfile.TemporaryFile() as made:
            write_live_workbook(filing, made, watch)
            made.seek(0)
            default_storage.save(stored_as(filing), File(made))
    return {"url": reverse("filing_live_file", args=[filing_id]), "words": _("Written.")}
