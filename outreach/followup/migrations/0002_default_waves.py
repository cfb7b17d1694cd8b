"""The waves a programme starts with: 3, 6, 12 and 24 months after the handout."""

from django.db import migrations

DEFAULT_WAVES = [(3, "3 months"), (6, "6 months"), (12, "1 year"), (24, "2 years")]


def add_default_waves(apps, schema_editor):
    wave = apps.get_model("followup", "Wave")
    wave.objects.bulk_create(wave(months_after=months, name=name) for months, name in DEFAULT_WAVES)


def leave_waves(apps, schema_editor):
    """Answers may point at them, and the table goes with the migration before this one."""


class Migration(migrations.Migration):
    dependencies = [("followup", "0001_initial")]

    operations = [migrations.RunPython(add_default_waves, leave_waves)]
