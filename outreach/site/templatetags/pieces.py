"""The pieces that need a body or the address of the page; the others are plain includes."""

from typing import Any, cast

from django import template
from django.http import HttpRequest
from django.middleware.csrf import get_token
from django.template import Context
from django.utils.functional import Promise
from django.utils.html import format_html
from django.utils.safestring import SafeString

from outreach.site.marks import Shape
from outreach.site.marks import shape_of as shape_of_state
from outreach.site.navigation import places_for
from outreach.staff import shortcuts
from outreach.staff.models import StaffMember
from outreach.staff.roles import admits

register = template.Library()


def _render(context: Context, name: str, **values: Any) -> SafeString:
    page = cast(template.Template, context.template)
    return page.engine.get_template(name).render(context.new(values))


def _request(context: Context) -> HttpRequest:
    return cast(HttpRequest, context.request)  # type: ignore[attr-defined]  # pages have a RequestContext


@register.simple_block_tag(takes_context=True)
def leaf(
    context: Context, content: str, heading: str = "", note: str = "", id: str = "", level: int = 2
) -> SafeString:
    """A sheet on the page: {% leaf heading="Stock" note="…" id="stock" level=2 %}…{% endleaf %}."""
    values = {"heading": heading, "note": note, "id": id, "level": level}
    return _render(context, "pieces/leaf.html", body=content, **values)


@register.simple_block_tag(takes_context=True)
def notice(context: Context, content: str, kind: str = "info", heading: str = "") -> SafeString:
    """A sentence that stands out: kind info, done, soon or wrong."""
    return _render(context, "pieces/notice.html", body=content, kind=kind, heading=heading)


@register.simple_block_tag(takes_context=True)
def roll(
    context: Context,
    content: str,
    caption: str,
    show_caption: bool = False,
    wide: bool = False,
    id: str = "",
) -> SafeString:
    """A table; `caption` says what it lists. `wide` where the cells of few columns are long."""
    values = {
        "caption": caption,
        "show_caption": show_caption,
        "id": id,
        "breadth": "wide" if wide else _breadth(content),
    }
    return _render(context, "pieces/roll.html", body=content, **values)


def _breadth(content: str) -> str:
    """How much room the columns want before each row is stacked instead."""
    columns = content.count('<th scope="col"')
    return "few" if columns <= 3 else "some" if columns <= 7 else "wide"


@register.inclusion_tag("pieces/column.html", takes_context=True)
def column(
    context: Context, word: str, unit: str = "", sort: str = "", number: bool = False, by: str = "order"
) -> dict[str, Any]:
    """One heading cell; with `sort` it links to the same page in that order, kept in `?order=`."""
    now = _request(context).GET.get(by, "") if sort else ""
    direction = {sort: "ascending", f"-{sort}": "descending"}.get(now, "") if sort else ""
    wanted = f"-{sort}" if direction == "ascending" else sort
    query = ""
    if sort:
        parameters = _request(context).GET.copy()
        parameters[by] = wanted
        parameters.pop("page", None)
        query = parameters.urlencode()
    return {"word": word, "unit": unit, "number": number, "query": query, "direction": direction}


@register.inclusion_tag("pieces/crumb.html")
def crumb(word: str, url: str = "") -> dict[str, str]:
    """One station of the trail; the last has no address."""
    return {"word": word, "url": url}


@register.inclusion_tag("pieces/places.html", takes_context=True)
def places(context: Context) -> dict[str, Any]:
    """The index at the head of the page."""
    return {"places": list(places_for(_request(context)))}


@register.inclusion_tag("pieces/record_buttons.html", takes_context=True)
def record_buttons(context: Context, page: str, number: int) -> dict[str, Any]:
    """Buttons that higher apps put on the page of a record, for those who may follow them."""
    role = getattr(_request(context).user, "role", "")
    shown = shortcuts.shown_on(page, role)
    return {"buttons": [{"words": one.words, "url": one.url_about(number)} for one in shown]}


@register.simple_tag(takes_context=True)
def csrf_field(context: Context) -> SafeString:
    """The hidden CSRF field, also where `{% include … only %}` keeps the token out of the context."""
    token = get_token(context.request)  # type: ignore[attr-defined]
    return format_html('<input type="hidden" name="csrfmiddlewaretoken" value="{}">', token)


@register.filter
def shape_of(state: str) -> Shape:
    """The shape and ink of a state, for pieces/mark.html and pieces/timeline.html."""
    return shape_of_state(state)


@register.filter
def in_order(steps: str | Promise | list[Any], now: int) -> list[dict[str, Any]]:
    """Steps ('Choose|Check|Done', or a list) as done, now and to come; `now` counts from 1."""
    words = str(steps).split("|") if isinstance(steps, str | Promise) else steps
    return [
        {
            "word": getattr(step, "word", None) or (step.get("word") if isinstance(step, dict) else step),
            "url": step.get("url", "") if isinstance(step, dict) else "",
            "is_done": number < now,
            "is_now": number == now,
        }
        for number, step in enumerate(words, start=1)
    ]


@register.filter
def nth(values: list[Any], index: int) -> Any:
    """The value at that place, counting from 0; what a chart's table needs to label its cells."""
    return values[index] if index < len(values) else ""


@register.filter
def open_to(address: str, member: StaffMember) -> str:
    """The address where its page lets this person in, else ''; nobody is led to a closed door."""
    return address if address and admits(address, member.role) else ""


@register.simple_tag(takes_context=True)
def here(context: Context) -> str:
    """The address of this page without its query."""
    return _request(context).path
