"""Documents that take longer than a request should: a large filing's workbook that recomputes, and the pack."""

import tempfile
from typing import Any

from django.core.files import File
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.filings.documents.files import live_file_name, pack_name
from outreach.filings.documents.live.book import NothingToRecompute, write_live_workbook
from outreach.filings.documents.live.period_rows import handouts
from outreach.filings.documents.rows import write_rows
from outreach.filings.models import Filing
from outreach.filings.pack.writing import write_pack
from outreach.staff.jobs import Progress, job

# Up to so many answers and handouts it is written while the person waits.
FEW_ANSWERS = 2_000


def is_long(filing: Filing) -> bool:
    """Its workbook that recomputes has too many rows for a request."""
    return filing.answer_count > FEW_ANSWERS or handouts(filing).count() > FEW_ANSWERS


def stored_as(filing: Filing) -> str:
    """Where the last one is kept: the records behind a filing may still be mended."""
    return f"filings/{filing.software_version}/{live_file_name(filing)}"


@job(
    "filings.live_workbook",
    title=gettext_lazy("Writing the workbook that recomputes"),
    refusals=(NothingToRecompute,),
)
def live_workbook(progress: Progress, *, filing_id: int) -> dict[str, Any]:
    """Write it to the storage, in place of an earlier one."""
    filing = Filing.objects.get(pk=filing_id)

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Writing answers"))

    with tempfile.TemporaryFile() as made:
        write_live_workbook(filing, made, watch)
        made.seek(0)
        default_storage.delete(stored_as(filing))
        default_storage.save(stored_as(filing), File(made))
    return {"url": reverse("filing_live_file", args=[filing_id]), "words": _("Written.")}


def pack_stored_as(filing: Filing) -> str:
    """Where the last pack is kept: paperwork and exceptions behind a filing may still be added to."""
    return f"filings/{filing.software_version}/{pack_name(filing)}"


@job("filings.pack", title=gettext_lazy("Packing the filing with what stands behind it"))
def pack(progress: Progress, *, filing_id: int) -> dict[str, Any]:
    """Write the auditor's pack to the storage, in place of an earlier one."""
    filing = Filing.objects.get(pk=filing_id)
    progress.step(0, of=1, words=_("Packing"))
    with tempfile.TemporaryFile() as made:
        write_pack(filing, made)
        made.seek(0)
        progress.step(1, of=1)
        default_storage.delete(pack_stored_as(filing))
        default_storage.save(pack_stored_as(filing), File(made))
    return {"url": reverse("filing_pack_file", args=[filing_id]), "words": _("Packed.")}


def rows_stored_as(filing: Filing, *, with_contact_data: bool) -> str:
    """Where the last workbook of records is kept until it is fetched; each version has its own place."""
    return f"filings/rows/{filing.pk}-{'with' if with_contact_data else 'without'}-contact-data.xlsx"


@job("filings.rows", title=gettext_lazy("Writing the records of the period"))
def rows(progress: Progress, *, filing_id: int, with_contact_data: bool) -> dict[str, Any]:
    """Write the workbook of records to the storage, in place of an earlier one."""
    filing = Filing.objects.get(pk=filing_id)

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Writing records"))

    stored = rows_stored_as(filing, with_contact_data=with_contact_data)
    with tempfile.TemporaryFile() as made:
        write_rows(filing, made, with_contact_data=with_contact_data, watch=watch)
        made.seek(0)
        default_storage.delete(stored)
        default_storage.save(stored, File(made))
    name = "filing_named_rows_file" if with_contact_data else "filing_rows_file"
    return {"url": reverse(name, args=[filing_id]), "words": _("Written.")}
