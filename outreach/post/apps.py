from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PostConfig(AppConfig):
    name = "outreach.post"
    label = "post"

    def ready(self) -> None:
        from outreach.places import set_up
        from outreach.post import sending
        from outreach.staff import guard, rounds, shortcuts

        rounds.every(sending.ROUND_EVERY, sending.ROUND, sending.round_of_mail)
        guard.append_only(
            "post.TextVersion", sentence="A wording is never changed or removed. Write a new one beside it."
        )
        set_up.register(
            _("Messages"),
            "messages",
            about=_("What goes to residents: what waits, was sent or was given up."),
        )
        set_up.register(
            _("Texts of messages"), "texts", about=_("How messages are worded, in English and Spanish.")
        )
        for page in ("workshops", "followup"):
            shortcuts.register(page, _("Messages"), "messages")
