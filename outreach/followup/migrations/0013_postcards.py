from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("followup", "0012_calls"),
    ]

    operations = [
        migrations.AddField(
            model_name="invitation",
            name="postcard_on",
            field=models.DateField(blank=True, null=True, verbose_name="postcard mailed on"),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("postcard_on__isnull", True),
                    ("postcard_on__gte", models.F("opened_on")),
                    _connector="OR",
                ),
                name="invitation_postcard_after_it_opened",
                violation_error_message="A postcard is mailed only after the household was asked.",
            ),
        ),
    ]
