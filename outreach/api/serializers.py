"""The shape of what the API answers; nothing is computed here."""

from rest_framework import serializers

from outreach.filings.models import Filing
from outreach.places.models import Jurisdiction


class FilingSerializer(serializers.ModelSerializer[Filing]):
    """A filing as a list shows it."""

    jurisdiction = serializers.StringRelatedField[Jurisdiction]()
    is_superseded = serializers.BooleanField(read_only=True)
    report_url = serializers.HyperlinkedIdentityField(view_name="api_filing")

    class Meta:
        model = Filing
        fields: tuple[str, ...] = (
            "id",
            "title",
            "jurisdiction",
            "period",
            "first_day_on",
            "last_day_on",
            "cut_off_on",
            "submitted_at",
            "is_superseded",
            "restates",
            "factor_set",
            "software_version",
            "report_sha256",
            "report_url",
        )


class FilingReportSerializer(FilingSerializer):
    """The same with everything the filing says and what it was computed from."""

    class Meta(FilingSerializer.Meta):
        fields = (*FilingSerializer.Meta.fields, "settings", "report", "inputs", "reasons")
