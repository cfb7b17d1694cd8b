"""The form in which a message is worded in one language."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from outreach.post import texts
from outreach.post.kinds import Kind, Text
from outreach.post.texts import Filled, Wording


class TextForm(forms.Form):
    """Subject and text of one kind of message in one language, begun from the wording that is in use."""

    subject = forms.CharField(label=_("Subject"), max_length=200)
    body = forms.CharField(label=_("Text"), widget=forms.Textarea(attrs={"rows": 16}), max_length=5_000)
    after = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    def __init__(self, data: Any, *, kind: Kind, language: str, shown: Wording | None = None) -> None:
        self.kind, self.language = kind, language
        self.in_use = texts.current(kind, language)
        text = (shown or self.in_use).text
        initial = {"subject": text.subject, "body": text.body, "after": self.in_use.version}
        super().__init__(data, initial=initial, prefix=language)

    @property
    def text(self) -> Text:
        """What was typed, or what the form begins from where that cannot be used."""
        if self.is_bound and self.is_valid():
            body = "\n".join(self.cleaned_data["body"].splitlines())
            return Text(self.cleaned_data["subject"], body)
        return Text(self.initial["subject"], self.initial["body"])

    @property
    def preview(self) -> Filled:
        """How it reads with sample values."""
        return texts.filled(self.text, self.kind.sample)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        typed = Text(cleaned.get("subject", "-"), cleaned.get("body", ""))
        try:
            texts.refuse_wrong_names(self.kind, self.language, typed)
        except ValidationError as problems:
            for field, sentences in problems.message_dict.items():
                if field in cleaned:
                    self.add_error(field, sentences)
        return cleaned
