"""The bytes of paperwork, kept by their digest under the uploads."""

from pathlib import Path

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from outreach.intake.models import PaperworkFile
from outreach.intake.opening import digest

FOLDER = "paperwork"


def keep(data: bytes) -> str:
    """Store bytes once, however often they come; return the name under which they lie."""
    sha256 = digest(data)
    name = f"{FOLDER}/{sha256[:2]}/{sha256}"
    if not default_storage.exists(name) or default_storage.size(name) != len(data):
        default_storage.delete(name)
        default_storage.save(name, ContentFile(data))
    return name


def bytes_of(file: PaperworkFile) -> bytes:
    with default_storage.open(file.stored_as) as stored:
        return bytes(stored.read())


def plain_name(name: str) -> str:
    """The file's own name without folders, as long as its column takes."""
    return Path(name.replace("\\", "/")).name[-255:]
