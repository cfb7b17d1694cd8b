"""Bin models, stock, handouts and stays as bare rows, valid by default."""

import datetime
import itertools

from outreach.bins.models import BinModel, BinOrder, Handout, RuleException, RuleVersion, Stay, StockPlace
from tests.factories.households import make_household

_numbers = itertools.count(1)
UTC = datetime.UTC


def make_bin_model(**differences) -> BinModel:
    fields = {"name": f"Mesh bin {next(_numbers)}", "family": "mesh", "litres": 416} | differences
    fields.setdefault("name_key", fields["name"].upper())
    return BinModel.objects.create(**fields)


def make_stock_place(**differences) -> StockPlace:
    return StockPlace.objects.create(**{"name": f"Store {next(_numbers)}"} | differences)


def make_order(**differences) -> BinOrder:
    fields = {
        "supplier": "Bins and Co",
        "quantity": 50,
        "ordered_on": datetime.date(2025, 1, 1),
        "due_on": datetime.date(2025, 2, 1),
    } | differences
    fields["bin_model"] = fields.get("bin_model") or make_bin_model()
    return BinOrder.objects.create(**fields)


def make_rule(**differences) -> RuleVersion:
    return RuleVersion.objects.create(**{"in_force_from_on": datetime.date(2020, 1, 1)} | differences)


def make_exception(**differences) -> RuleException:
    fields = {
        "kind": "second_bin",
        "about": "a second bin",
        "flagged_at": datetime.datetime(2025, 5, 9, tzinfo=UTC),
    }
    return RuleException.objects.create(**fields | differences)


def make_handout(**differences) -> Handout:
    fields = {
        "handed_on": datetime.date(2025, 5, 9),
        "happened_at": datetime.datetime(2025, 5, 9, 18, tzinfo=UTC),
        "entered_at": datetime.datetime(2025, 5, 9, 18, tzinfo=UTC),
        "allowance": "bin",
        "window_from_on": datetime.date(2020, 1, 1),
        "slot": 1,
        "slots": 1,
    } | differences
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    fields["bin_model"] = fields.get("bin_model") or make_bin_model()
    return Handout.objects.create(**fields)


def make_stay(**differences) -> Stay:
    fields = {"family": "mesh", "from_day": datetime.date(2025, 5, 9).toordinal()} | differences
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    return Stay.objects.create(**fields)
