"""The pack as a zip: its members, and a list of contents with the digest of each."""

import hashlib
import zipfile
from datetime import datetime
from typing import BinaryIO

from django.utils import timezone

from outreach.filings.models import Filing
from outreach.filings.pack.members import Member, members
from outreach.staff import zip_entries

GUIDE = """{title}

This pack holds a filing and what stands behind it. Nothing in it needs the programme's software.

How to check it
1. verification.txt says whether the figures come out the same when they are computed again.
2. one-household.txt follows one answer to the headline; a pocket calculator will do.
3. The workbook ending in -recomputing.xlsx does the same for every answer: change a factor or an answer in it,
   and the tonnes follow.
4. lines.csv has one row a household under a random number. Counting and adding up its rows gives inputs.json.
5. exceptions.csv has every bin outside the rule, with the reason and who allowed it.
6. paperwork.csv lists the sheets and lists that the records came from; they lie under paperwork/ as they were
   taken in, and hold names and addresses. Keep them accordingly.

The figures are estimates from what households told the programme, not measurements.

Submitted {submitted}. Factor set {factor_set}. Software {software}.
Digest of the inputs {inputs}
Digest of the report {report}

Contents, each with its SHA-256
{contents}
"""


def write_pack(filing: Filing, target: BinaryIO) -> None:
    """Write the zip. Instants inside are that of the filing, so that the same pack has the same bytes."""
    contents = []
    with zipfile.ZipFile(target, "w", compression=zipfile.ZIP_DEFLATED) as pack:
        for member in members(filing):
            _put(pack, member.name, member.content, filing.submitted_at)
            contents.append(_listed(member))
        _put(pack, "READ-ME-FIRST.txt", _guide(filing, contents).encode(), filing.submitted_at)


def _put(pack: zipfile.ZipFile, name: str, content: bytes, at: datetime) -> None:
    pack.writestr(zip_entries.entry(name, at), content)


def _listed(member: Member) -> str:
    return f"{hashlib.sha256(member.content).hexdigest()}  {member.name}\n    {member.about}"


def _guide(filing: Filing, contents: list[str]) -> str:
    return GUIDE.format(
        title=filing.title,
        submitted=f"{timezone.localtime(filing.submitted_at):%Y-%m-%d %H:%M}",
        factor_set=filing.factor_set,
        software=filing.software_version,
        inputs=filing.inputs_sha256,
        report=filing.report_sha256,
        contents="\n".join(contents),
    )
