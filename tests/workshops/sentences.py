"""Every sentence of sign-up that a resident may read, gathered from where each is written."""

import ast
import re
from pathlib import Path

from django.utils.translation.template import templatize

ROOT = Path(__file__).resolve().parents[2]
APP = ROOT / "outreach" / "workshops"
PAGES = [
    *(ROOT / "templates" / "workshops" / "public").glob("*.html"),
    *(ROOT / "templates" / "pieces" / "form").glob("*.html"),
    ROOT / "templates" / "pieces" / "filters.html",
]
MODULES = [
    *(APP / name for name in ("sayings.py", "sign_up_form.py", "sign_up_pages.py", "public_filter.py")),
    *(APP / name for name in ("signing_up.py", "changing.py", "answering_offers.py", "giving_back.py")),
    APP / "calendars.py",
    APP / "models" / "bookings.py",
]
MARKS = {"_", "gettext", "gettext_lazy"}
WITH_CONTEXT = {"pgettext", "pgettext_lazy"}
# What only the office reads, in modules that residents read from too.
FOR_THE_OFFICE = re.compile(
    r"^(e-mail|phone|reach them by|language|what would help them take part|dwelling|ground for a bin|signed up by"
    r"|composting before|where (food|yard).*go now|wants a bin|may be asked later.*|how they heard"
    r"|mark of the flyer|further people, not named|state|given back because|name as typed|typed an address.*"
    r"|booked|standby|cancelled|they gave it back|the office gave it back|not confirmed in time"
    r"|the offered place.*|they said no.*|joined with another booking|Say why the booking.*|A booking that was.*"
    r"|Someone else has that place.*|Give the place on standby, and only.*|These people are not on standby.*"
    r"|Workshops: counts|%\(booked\)d of.*|Join.*)$"
)


def of_pages() -> set[str]:
    found = set()
    for file in PAGES:
        code = templatize(file.read_text(encoding="utf-8"))
        for literal in re.findall(r"""gettext\((u?(?:'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"))[,)]""", code):
            found.add(ast.literal_eval(literal.removeprefix("u")))
        found |= set(re.findall(r'_\("([^"]+)"\)', file.read_text(encoding="utf-8")))
    return found


def of_modules() -> set[tuple[str, str]]:
    """Context, or nothing, and sentence."""
    found = set()
    for file in MODULES:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            texts = [one.value for one in node.args if isinstance(one, ast.Constant)]
            if node.func.id in MARKS and texts:
                found.add(("", texts[0]))
            elif node.func.id in WITH_CONTEXT:
                found.add((texts[0], texts[1]))
            elif node.func.id == "ngettext":
                found.add(("", texts[0]))
    return found


def every_sentence() -> set[tuple[str, str]]:
    """All of them, each with its context where it has one."""
    found = {("", one) for one in of_pages()} | of_modules()
    return {one for one in found if not FOR_THE_OFFICE.match(one[1])}
