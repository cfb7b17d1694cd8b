from django.apps import AppConfig


class StaffConfig(AppConfig):
    name = "outreach.staff"
    label = "staff"

    def ready(self) -> None:
        from django.core import checks
        from django.db.models.signals import post_migrate, pre_save
        from django.utils.module_loading import autodiscover_modules

        from outreach.staff import audit, guard

        pre_save.connect(audit.complete, sender=self.get_model("AuditEntry"))
        post_migrate.connect(guard.make_triggers)
        checks.register(guard.look, checks.Tags.database)
        # Each app classes its fields in `privacy.py` and lists its background work in `jobs.py`.
        autodiscover_modules("privacy", "own_privacy", "jobs")
