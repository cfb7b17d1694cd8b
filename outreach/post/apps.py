from django.apps import AppConfig


class PostConfig(AppConfig):
    name = "outreach.post"
    label = "post"

    def ready(self) -> None:
        from outreach.staff import guard

        guard.append_only(
            "post.TextVersion", sentence="A wording is never changed or removed. Write a new one beside it."
        )
