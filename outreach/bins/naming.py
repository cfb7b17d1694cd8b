"""The name of a bin model in the one spelling in which two are compared."""

from outreach.places.folding import fold


def bin_model_key(name: str) -> str:
    """'Mesh  bin', 'MESH BIN' and 'mesh bin' are one model."""
    return " ".join(fold(name).upper().split())
