"""The pieces keep their promises wherever they are used."""

import re
from pathlib import Path
from types import SimpleNamespace

import pytest
from django import forms
from django.apps import apps
from django.contrib.auth.models import AnonymousUser
from django.template import engines
from django.test import RequestFactory
from django.utils.translation import gettext_lazy

from outreach.site.marks import SHAPES, UNKNOWN, shape_of

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"
PAGES = sorted(TEMPLATES.rglob("*.html"))
SPRITE = TEMPLATES.parent / "outreach" / "site" / "static" / "look" / "marks.svg"
STATE_FIELDS = {"state", "outcome"}


def rendered(source: str, address: str = "/", **values) -> str:
    request = RequestFactory().get(address)
    request.user = AnonymousUser()
    text = "{% load figures pieces %}" + source
    return engines["django"].from_string(text).render(values, request)


class OneField(forms.Form):
    seats = forms.IntegerField(help_text="People.", min_value=1)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(TEMPLATES)))
def test_no_template_carries_style_or_script_of_its_own(page):
    text = page.read_text()

    assert not re.search(
        r"\sstyle=|<style|\son[a-z]+=|<script(?![^>]*\ssrc=)(?! type=\"application/ld\+json\">)", text
    )


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(TEMPLATES)))
def test_every_cell_of_a_roll_names_its_column_for_narrow_screens(page):
    cells = re.findall(r"<td\b[^>]*>", page.read_text())

    assert [cell for cell in cells if "data-label=" not in cell and "blank" not in cell] == []


def test_every_state_of_every_record_has_a_shape_of_its_own():
    for model in apps.get_models():
        for field in model._meta.get_fields():
            if not model.__module__.startswith("outreach.") or field.name not in STATE_FIELDS:
                continue
            # A relation of that name, such as an event's outcome, has no states of its own.
            states = [value for value, _ in getattr(field, "choices", None) or [] if value]
            assert set(states) <= set(SHAPES), f"Draw the states of {model._meta.label}.{field.name}"
            symbols = [shape_of(state).symbol for state in states]
            assert len(symbols) == len(set(symbols)), f"Two states of {model._meta.label} look alike"


def test_every_state_named_in_a_template_is_drawn():
    named = {
        state for page in PAGES for state in re.findall(r'mark\.html" with state="(\w+)"', page.read_text())
    }

    assert named <= set(SHAPES)


def test_every_shape_is_drawn():
    drawn = set(re.findall(r'symbol id="([a-z-]+)"', SPRITE.read_text()))

    assert {shape.symbol for shape in [*SHAPES.values(), UNKNOWN]} <= drawn


def test_a_mark_shows_its_word_beside_the_shape():
    html = rendered('{% include "pieces/mark.html" with state="walk_in" word="walk-in" only %}')

    assert "#arrow-in" in html
    assert "walk-in</span>" in html


def test_a_field_is_tied_to_its_label_help_and_error():
    form = OneField({"seats": "0"})

    html = rendered("{{ form }}", form=form)

    assert '<label for="id_seats">' in html
    assert 'aria-invalid="true"' in html
    described = re.search(r'aria-describedby="([^"]+)"', html)
    assert described is not None
    assert all(f'id="{name}"' in html for name in described[1].split())


def test_a_form_that_was_refused_begins_with_what_to_mend():
    html = rendered(
        '{% include "pieces/form.html" with form=form method="get" only %}', form=OneField({"seats": "0"})
    )

    assert html.index("Not saved yet") < html.index("<label")
    assert 'href="#id_seats"' in html


def test_a_heading_that_sorts_turns_the_order_round_and_keeps_the_filters():
    source = '{% column "Date" sort="held_on" %}'

    at_rest = rendered(source, "/?city=alder&page=3")
    ascending = rendered(source, "/?city=alder&order=held_on")

    assert 'href="?city=alder&amp;order=held_on"' in at_rest
    assert 'aria-sort="ascending"' in ascending
    assert "order=-held_on" in ascending


def test_a_body_keeps_its_markup_and_escapes_what_people_typed():
    html = rendered("{% leaf heading=name %}<p>{{ name }}</p>{% endleaf %}", name="<b>Wren</b>")

    assert "<p>&lt;b&gt;Wren&lt;/b&gt;</p>" in html
    assert "<b>Wren" not in html


def test_steps_say_which_is_done_and_which_is_now():
    html = rendered('{% include "pieces/steps.html" with steps="Choose|Check|Done" now=2 only %}')

    assert html.count('class="done"') == 1
    assert re.search(r'aria-current="step">(?:(?!<li).)*Check', html, re.S)


def test_steps_may_be_one_translated_string():
    html = rendered(
        '{% include "pieces/steps.html" with steps=steps now=1 only %}',
        steps=gettext_lazy("Choose|Check|Done"),
    )

    assert html.count("<li") == 3


def test_the_numbers_of_a_chart_stand_in_a_table_below_it():
    html = rendered(
        '{% include "pieces/chart.html" with caption="Tonnes" image_url="/c.svg" '
        "columns=columns rows=rows only %}",
        columns=["Quarter", "Tonnes"],
        rows=[["2025-Q1", "4.1"]],
    )

    assert '<th scope="row">2025-Q1</th>' in html
    assert 'data-label="Tonnes">4.1<' in html


@pytest.mark.parametrize(
    ("source", "shown"),
    [
        ("{{ 1234|grouped }}", "1,234"),
        ("{{ 1234.56|grouped:1 }}", "1,234.6"),
        ("{{ minus|grouped }}", "−5"),
        ("{{ nothing|grouped }}", "–"),
        ('{{ 12|with_unit:"t" }}', "12\u00a0t"),
        ("{{ 12345|money }}", "$123.45"),
        ("{{ minus|money }}", "−$0.05"),
        ("{{ 264979|litres }}", "265\u00a0L"),
        ("{{ 3785|litres }}", "3.8\u00a0L"),
        ("{{ 0|litres }}", "0\u00a0L"),
    ],
)
def test_figures_are_written_as_people_read_them(source, shown):
    assert rendered(source, minus=-5, nothing=None) == shown


def test_a_pager_keeps_the_filters():
    page = SimpleNamespace(
        has_other_pages=True,
        has_previous=False,
        has_next=True,
        next_page_number=2,
        start_index=1,
        end_index=50,
    )

    html = rendered('{% include "pieces/pager.html" with page=page only %}', "/?city=alder", page=page)

    assert 'href="?city=alder&amp;page=2"' in html


def test_a_refused_field_is_told_in_our_own_words_what_to_do():
    form = OneField({"seats": "0"})

    assert form.errors["seats"] == ["Must be 1 or more."]
    assert OneField({}).errors["seats"] == ["Nothing is filled in here yet."]


def test_filters_ask_for_the_list_without_the_filters_of_before():
    filters = SimpleNamespace(form=OneField(), data={})

    html = rendered(
        '{% include "pieces/filters.html" with filter=filter target="#rows" only %}',
        "/bins/?seats=4",
        filter=filters,
    )

    assert 'hx-get="/bins/"' in html


@pytest.mark.parametrize(("required", "words"), [(True, "choose one"), (False, "–")])
def test_an_empty_choice_is_words_not_a_row_of_dashes(required, words):
    field = forms.ChoiceField(choices=[("", "---------"), ("a", "A")], required=required)
    form = type("Choosing", (forms.Form,), {"place": field})()

    html = rendered("{{ form }}", form=form)

    assert f">{words}</option>" in html
    assert "---------" not in html
