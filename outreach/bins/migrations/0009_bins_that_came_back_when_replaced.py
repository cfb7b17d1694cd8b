"""A bin that came back when another replaced it says the day, as every bin that came back does.

Before, only the ledger knew. Places in the rule that this frees are given back by `check_records --mend`.
"""

from typing import Any

from django.db import migrations
from django.db.models import F, OuterRef, Subquery
from django.db.models.functions import Greatest


def say_the_day(apps: Any, _schema_editor: Any) -> None:
    handouts = apps.get_model("bins", "Handout").objects
    back = apps.get_model("bins", "StockMovement").objects.filter(handout=OuterRef("pk"), why="taken_back")
    came_back = handouts.filter(voided_at__isnull=True, returned_on__isnull=True).annotate(
        back_on=Subquery(back.order_by("moved_on").values("moved_on")[:1])
    )
    came_back.filter(back_on__isnull=False).update(returned_on=Greatest("handed_on", F("back_on")))


class Migration(migrations.Migration):
    dependencies = [("bins", "0008_pauses_known_from_outside")]

    operations = [migrations.RunPython(say_the_day, migrations.RunPython.noop, elidable=True)]
