"""Start with one subsidised bin per household, ever, and with the ends of the ledger."""

from datetime import date

from django.db import migrations

ENDS = {
    "suppliers": "Suppliers",
    "households": "Households",
    "scrap": "Scrap",
    "count": "Count differences",
}


def make_first_rule(apps, schema_editor):
    apps.get_model("bins", "RuleVersion").objects.get_or_create(
        jurisdiction=None, in_force_from_on=date(2000, 1, 1), defaults={"slots": 1, "window": "ever"}
    )


def make_ends(apps, schema_editor):
    places = apps.get_model("bins", "StockPlace").objects
    for kind, name in ENDS.items():
        places.get_or_create(kind=kind, defaults={"name": name})


class Migration(migrations.Migration):
    dependencies = [("bins", "0001_initial")]

    operations = [
        migrations.RunPython(make_first_rule, migrations.RunPython.noop),
        migrations.RunPython(make_ends, migrations.RunPython.noop),
    ]
