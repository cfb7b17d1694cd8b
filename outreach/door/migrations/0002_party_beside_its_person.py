"""Those who came along stand beside the person they came with, no longer in the workshop's count of the room."""

from django.db import migrations
from django.db.models import Sum

ARRIVALS = ("arrived", "walked_in")


def beside_the_person(apps, _schema_editor):
    _move(apps, beside=True)


def in_the_count(apps, _schema_editor):
    _move(apps, beside=False)


def _move(apps, *, beside):
    registrations = apps.get_model("workshops", "Registration").objects
    outcomes = apps.get_model("door", "EventOutcome").objects.filter(event__kind__in=ARRIVALS, beyond__gt=0)
    for table in apps.get_model("door", "DoorTable").objects.select_related("workshop"):
        here = outcomes.filter(registration__workshop=table.workshop, state__in=("applied", "known"))
        by_place = here.order_by().values_list("registration").annotate(along=Sum("beyond"))
        moved = 0
        for number, along in by_place:
            lines = registrations.filter(pk=number, state__in=("attended", "walk_in"))
            moved += along * lines.update(came_with=along if beside else 0)
        if moved:
            _count(table, -moved if beside else moved)


def _count(table, change):
    workshop = table.workshop
    table.counted_unlisted = max(table.counted_unlisted + change, 0)
    table.save(update_fields=["counted_unlisted"])
    workshop.headcount_unlisted = max(workshop.headcount_unlisted + change, 0)
    workshop.save(update_fields=["headcount_unlisted"])


class Migration(migrations.Migration):
    dependencies = [
        ("door", "0001_initial"),
        ("workshops", "0009_who_came_along"),
    ]

    operations = [migrations.RunPython(beside_the_person, in_the_count)]
