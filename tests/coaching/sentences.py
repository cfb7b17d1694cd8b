"""Every sentence of the coaching pages that a resident may read, gathered from where each is written."""

import ast
import re
from pathlib import Path

from django.utils.translation.template import templatize

from diversion.factors.published import Status
from outreach.coaching.families import Reason
from outreach.coaching.published import published

ROOT = Path(__file__).resolve().parents[2]
MARKS = {"_", "gettext", "gettext_lazy"}
# What only people who sign in read. Their templates are in templates/coaching/staff.
FOR_STAFF = {
    "advice_pages",
    "apps",
    "dossier",
    "help_filters",
    "help_forms",
    "help_pages",
    "help_step_pages",
    "helping",
    "message_kinds",
    "rules_pages",
    "sheet_pages",
    "symptoms",
}


def of_templates() -> set[str]:
    """What `{% translate %}`, `{% blocktranslate %}` and `_("…")` hold."""
    files = [ROOT / "templates" / "public.html", *(ROOT / "templates" / "coaching").glob("*.html")]
    found = set()
    for file in files:
        code = templatize(file.read_text(encoding="utf-8"))
        for literal in re.findall(r"""gettext\((u?(?:'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"))\)""", code):
            found.add(ast.literal_eval(literal.removeprefix("u")))
        found |= set(re.findall(r'_\("([^"]+)"\)', file.read_text(encoding="utf-8")))
    return found


def of_modules() -> set[str]:
    """What is given to gettext in the app's Python."""
    found = set()
    app = ROOT / "outreach" / "coaching"
    for file in (*app.glob("*.py"), *(app / "papers").glob("*.py"), *(app / "templatetags").glob("*.py")):
        if file.stem in FOR_STAFF:
            continue
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            is_marked = (
                isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MARKS
            )
            if is_marked and isinstance(node.args[0], ast.Constant):
                found.add(node.args[0].value)
    return found


def of_tables() -> set[str]:
    """Names, rules, reasons, and how far a number was checked."""
    table = published()
    sayings = [*table.little_or_none, *table.left_out]
    sayings += [one.limit for one in table.feedstocks.values() if one.limit]
    names = {one.name for one in table.feedstocks.values()}
    return names | {one.sentence for one in sayings} | set(map(str, Reason)) | set(map(str, Status))


def every_sentence() -> set[str]:
    """All of them."""
    return of_templates() | of_modules() | of_tables()
