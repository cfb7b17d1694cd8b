from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("followup", "0009_waves_that_remind"),
    ]

    operations = [
        migrations.AddField(
            model_name="answer",
            name="reminders",
            field=models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="reminders before it"),
        ),
        migrations.AlterField(
            model_name="answer",
            name="channel",
            field=models.CharField(
                choices=[
                    ("paper", "paper form"),
                    ("export", "survey export"),
                    ("phone", "phone"),
                    ("door", "at a workshop"),
                    ("link", "e-mail link"),
                    ("postcard", "postcard"),
                    ("site_check", "at a site check"),
                ],
                max_length=10,
                verbose_name="how it came",
            ),
        ),
    ]
