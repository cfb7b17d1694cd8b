import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("followup", "0010_answers_by_postcard_after_reminders"),
        ("households", "0004_consent"),
    ]

    operations = [
        migrations.CreateModel(
            name="Invitation",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("opened_on", models.DateField(verbose_name="asked on")),
                ("opened_at", models.DateTimeField()),
                ("closes_on", models.DateField(verbose_name="can be answered until")),
                (
                    "channel",
                    models.CharField(
                        choices=[
                            ("email", "e-mail"),
                            ("call", "call"),
                            ("letter", "letter"),
                            ("none", "no way known"),
                        ],
                        max_length=10,
                        verbose_name="by",
                    ),
                ),
                ("reminders_sent", models.PositiveSmallIntegerField(default=0, verbose_name="reminders")),
                ("last_asked_at", models.DateTimeField(verbose_name="last asked")),
                ("settled_at", models.DateTimeField(blank=True, null=True)),
                (
                    "settled_because",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("answered", "answered"),
                            ("not_to_ask", "asked not to be asked"),
                            ("moved", "moved out"),
                            ("over", "its time is over"),
                        ],
                        max_length=10,
                    ),
                ),
                ("said", models.JSONField(blank=True, default=dict, editable=False)),
            ],
            options={
                "ordering": ["-opened_at", "-id"],
            },
        ),
        migrations.AddField(
            model_name="invitation",
            name="answer",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="followup.answer",
            ),
        ),
        migrations.AddField(
            model_name="invitation",
            name="counted_under",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="households.household"
            ),
        ),
        migrations.AddField(
            model_name="invitation",
            name="household",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="households.household"
            ),
        ),
        migrations.AddField(
            model_name="invitation",
            name="wave",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="followup.wave"
            ),
        ),
        migrations.AddIndex(
            model_name="invitation",
            index=models.Index(fields=["counted_under", "wave"], name="invitation_of_household"),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.UniqueConstraint(
                fields=("household", "wave"),
                name="invitation_one_per_wave",
                violation_error_message="This household has been asked in this wave already.",
            ),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.CheckConstraint(
                condition=models.Q(("closes_on__gte", models.F("opened_on"))),
                name="invitation_closes_after_it_opened",
                violation_error_message="The last day for an answer is not before the day of asking.",
            ),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.CheckConstraint(
                condition=models.Q(("last_asked_at__gte", models.F("opened_at"))),
                name="invitation_asked_in_order",
                violation_error_message="A household is reminded only after it was asked.",
            ),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("settled_at__isnull", True), ("settled_because", "")),
                    models.Q(("settled_at__isnull", False), models.Q(("settled_because", ""), _negated=True)),
                    _connector="OR",
                ),
                name="invitation_settled_for_a_reason",
                violation_error_message="Say when and why a household is not reminded any more.",
            ),
        ),
    ]
