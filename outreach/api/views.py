"""Reading filings as data: the list with the page's filters, and each whole."""

from django_filters.rest_framework import DjangoFilterBackend
from rest_framework.generics import ListAPIView, RetrieveAPIView

from outreach.api.permissions import IsReader
from outreach.api.serializers import FilingReportSerializer, FilingSerializer
from outreach.filings.filters import FilingFilter
from outreach.filings.models import Filing


class FilingList(ListAPIView[Filing]):
    """Filings, the latest period first."""

    queryset = Filing.objects.with_names().without_contents()
    serializer_class = FilingSerializer
    permission_classes = (IsReader,)
    filter_backends = (DjangoFilterBackend,)
    filterset_class = FilingFilter


class FilingDetail(RetrieveAPIView[Filing]):
    """One filing with its report and its inputs, as they were frozen."""

    queryset = Filing.objects.with_names()
    serializer_class = FilingReportSerializer
    permission_classes = (IsReader,)
