"""Filings and drafts are about a period of any clock, and lines about a slice of a quarter.

What was filed before is of whole quarters: its code stays as it was, and its lines get no days of their own. The
guard of the append-only tables, which goes with a rebuilt table on SQLite, is made again after every migrate.
"""

from django.db import migrations, models
from django.db.models import Q

CODE = r"^([0-9]{4}(-Q[1-4])?|FY[0-9]{4}(-Q[1-4])?|[0-9]{4}-[0-9]{2}-[0-9]{2}/[0-9]{4}-[0-9]{2}-[0-9]{2})$"
ONCE = "This period is already filed. File a restatement with its reasons."
ONCE_EVERYWHERE = "This period is already filed for all jurisdictions. File a restatement with its reasons."


WITHOUT_GUARD_MEANWHILE = ("filings_filing", "filings_filingline")


def take_the_guard_away(apps, schema_editor):
    """SQLite's triggers name columns that are renamed or come here; it would refuse to alter the tables."""
    if schema_editor.connection.vendor == "sqlite":
        for table in WITHOUT_GUARD_MEANWHILE:
            for word in ("update", "delete", "insert"):
                schema_editor.execute(f"DROP TRIGGER IF EXISTS {table}_{word}_refused")


class Migration(migrations.Migration):
    dependencies = [
        ("filings", "0004_keep_browns_of_each_line"),
    ]

    operations = [
        # In either direction before anything else; after every migrate the guard is made again.
        migrations.RunPython(take_the_guard_away, migrations.RunPython.noop),
        migrations.RemoveConstraint(model_name="filingdraft", name="draft_quarter_written_so"),
        migrations.RemoveConstraint(model_name="filingdraft", name="draft_one_per_quarter"),
        migrations.RemoveConstraint(model_name="filing", name="filing_first_of_its_quarter"),
        migrations.RemoveConstraint(model_name="filing", name="filing_first_of_its_quarter_everywhere"),
        migrations.RemoveConstraint(model_name="filingline", name="filing_line_once"),
        migrations.AlterModelOptions(name="filingdraft", options={"ordering": ["-begun_at"]}),
        migrations.AlterModelOptions(
            name="filing", options={"ordering": ["-last_day_on", "-first_day_on", "-submitted_at"]}
        ),
        migrations.AlterModelOptions(
            name="filingline", options={"ordering": ["filing", "quarter", "span", "number"]}
        ),
        migrations.RenameField(model_name="filingdraft", old_name="quarter", new_name="period"),
        migrations.AlterField(
            model_name="filingdraft",
            name="period",
            field=models.CharField(max_length=21, verbose_name="period"),
        ),
        migrations.RenameField(model_name="filing", old_name="quarter", new_name="period"),
        migrations.AlterField(model_name="filing", name="period", field=models.CharField(max_length=21)),
        migrations.AddField(
            model_name="filingline",
            name="span",
            field=models.CharField(blank=True, default="", max_length=21),
        ),
        migrations.AddConstraint(
            model_name="filingdraft",
            constraint=models.CheckConstraint(
                condition=Q(period__regex=CODE),
                name="draft_period_written_so",
                violation_error_message=(
                    "Write a period as 2025-Q2, 2025, FY2026-Q1, FY2026 or 2025-02-15/2026-02-14."
                ),
            ),
        ),
        migrations.AddConstraint(
            model_name="filingdraft",
            constraint=models.UniqueConstraint(
                fields=["jurisdiction", "period"],
                name="draft_one_per_period",
                violation_error_message="A draft for this period is already open. Go on with that one.",
            ),
        ),
        migrations.AddConstraint(
            model_name="filing",
            constraint=models.UniqueConstraint(
                fields=["jurisdiction", "first_day_on", "last_day_on"],
                condition=Q(restates__isnull=True),
                name="filing_first_of_its_period",
                violation_error_message=ONCE,
            ),
        ),
        migrations.AddConstraint(
            model_name="filing",
            constraint=models.UniqueConstraint(
                fields=["first_day_on", "last_day_on"],
                condition=Q(restates__isnull=True, jurisdiction__isnull=True),
                name="filing_first_of_its_period_everywhere",
                violation_error_message=ONCE_EVERYWHERE,
            ),
        ),
        migrations.AddConstraint(
            model_name="filingline",
            constraint=models.UniqueConstraint(
                fields=["filing", "quarter", "span", "number"],
                name="filing_line_once",
                violation_error_message="This line is already kept.",
            ),
        ),
        migrations.RunPython(migrations.RunPython.noop, take_the_guard_away),
    ]
