import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("followup", "0011_invitations"),
        ("households", "0004_consent"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="FollowUpCall",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "reply",
                    models.CharField(
                        choices=[
                            ("no_reply", "no reply"),
                            ("answered", "answered"),
                            ("not_to_call", "asked not to be called"),
                            ("may_call", "may be called again"),
                        ],
                        max_length=12,
                        verbose_name="what came of it",
                    ),
                ),
                ("called_at", models.DateTimeField(verbose_name="called")),
            ],
            options={
                "ordering": ["-called_at", "-id"],
            },
        ),
        migrations.AddField(
            model_name="followupcall",
            name="called_by",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to=settings.AUTH_USER_MODEL
            ),
        ),
        migrations.AddField(
            model_name="followupcall",
            name="counted_under",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="households.household"
            ),
        ),
        migrations.AddField(
            model_name="followupcall",
            name="household",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT, related_name="+", to="households.household"
            ),
        ),
        migrations.AddIndex(
            model_name="followupcall",
            index=models.Index(fields=["counted_under", "called_at"], name="follow_up_call_of_household"),
        ),
        migrations.AddConstraint(
            model_name="followupcall",
            constraint=models.UniqueConstraint(
                fields=("household", "called_at"),
                name="follow_up_call_once",
                violation_error_message="This call is on record already.",
            ),
        ),
    ]
