"""Why a file was not taken in. One class; the sentence says what is wrong, where, and what to do."""


class PaperworkRefused(Exception):
    """A file that cannot be read as paperwork. Nothing of it has been written."""

    def __init__(self, *, file: str, what: str, remedy: str) -> None:
        self.file, self.what, self.remedy = file, what, remedy
        super().__init__(f"{file}: {what} {remedy} Nothing was written.")
