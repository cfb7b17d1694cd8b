"""How often someone has used a form for the public, so that a script cannot use it without end."""

from datetime import datetime

from django.db import models


class SignUpTryQuerySet(models.QuerySet["SignUpTry"]):
    def of(self, key: str) -> "SignUpTryQuerySet":
        return self.filter(key=key)

    def since(self, at: datetime) -> "SignUpTryQuerySet":
        return self.filter(made_at__gt=at)

    def before(self, at: datetime) -> "SignUpTryQuerySet":
        return self.filter(made_at__lte=at)


class SignUpTry(models.Model):
    """One use of a public form by one address of the network or one contact, under a keyed digest; short-lived."""

    key = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    objects = SignUpTryQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["key", "made_at"], name="sign_up_try_by_key")]

    def __str__(self) -> str:
        return f"{self.key[:8]} at {self.made_at}"
