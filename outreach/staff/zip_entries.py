"""Files of a zip that is handed out: packed small, and dated as the programme's clock has it."""

import zipfile
from datetime import datetime

from django.utils import timezone


def entry(name: str, at: datetime) -> zipfile.ZipInfo:
    """The entry of one file; a zip knows no time zone, so it gets the local time."""
    made = zipfile.ZipInfo(name, date_time=(*timezone.localtime(at).timetuple()[:6],))
    made.compress_type = zipfile.ZIP_DEFLATED
    return made
