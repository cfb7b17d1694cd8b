from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("followup", "0008_seeds_of_nine_digits"),
    ]

    operations = [
        migrations.AddField(
            model_name="wave",
            name="days_between",
            field=models.PositiveSmallIntegerField(default=10, verbose_name="days between reminders"),
        ),
        migrations.AddField(
            model_name="wave",
            name="days_open",
            field=models.PositiveSmallIntegerField(
                default=42, verbose_name="days in which it can be answered"
            ),
        ),
        migrations.AddField(
            model_name="wave",
            name="reminders",
            field=models.PositiveSmallIntegerField(default=2, verbose_name="reminders at most"),
        ),
        migrations.AddConstraint(
            model_name="wave",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("days_open__isnull", True), ("days_open__range", (7, 180)), _connector="OR"
                ),
                name="wave_days_open_sensible",
                violation_error_message="A wave can be answered for 7 to 180 days.",
            ),
        ),
        migrations.AddConstraint(
            model_name="wave",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("reminders__isnull", True), ("reminders__range", (0, 5)), _connector="OR"
                ),
                name="wave_reminders_sensible",
                violation_error_message="Remind a household at most 5 times, or not at all.",
            ),
        ),
        migrations.AddConstraint(
            model_name="wave",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("days_between__isnull", True), ("days_between__range", (3, 60)), _connector="OR"
                ),
                name="wave_days_between_sensible",
                violation_error_message="Leave 3 to 60 days between reminders.",
            ),
        ),
    ]
