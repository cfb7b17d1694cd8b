"""Addresses of filings."""

from django.urls import path

from outreach.filings import district_pages, downloads, forecast_pages, papers, row_downloads, views

urlpatterns = [
    path("", views.filings, name="filings"),
    path("ahead/", forecast_pages.year_ahead, name="year_ahead"),
    path("district/", district_pages.district_figures, name="district_figures"),
    path("begin/", views.begin, name="filing_begin"),
    path("drafts/<int:pk>/", views.draft, name="filing_draft"),
    path("drafts/<int:pk>/submit/", views.submit, name="filing_submit"),
    path("drafts/<int:pk>/discard/", views.discard, name="filing_discard"),
    path("<int:pk>/", views.filing, name="filing"),
    path("<int:pk>/working/", views.working, name="filing_working"),
    path("<int:pk>/verify/", views.verify, name="filing_verify"),
    path("<int:pk>/report/", papers.report_page, name="filing_report"),
    path("<int:pk>/report/pdf/", papers.report_pdf, name="filing_report_pdf"),
    path("<int:pk>/council/", papers.council, name="filing_council"),
    path("<int:pk>/council/pdf/", papers.council_pdf, name="filing_council_pdf"),
    path("<int:pk>/today/", views.today, name="filing_today"),
    path("<int:pk>/pdf/", downloads.pdf, name="filing_pdf"),
    path("<int:pk>/workbook/", downloads.workbook, name="filing_workbook"),
    path("<int:pk>/recomputing/", downloads.live_workbook, name="filing_live"),
    path("<int:pk>/recomputing/file/", downloads.live_file, name="filing_live_file"),
    path("<int:pk>/rows/", row_downloads.rows, name="filing_rows"),
    path("<int:pk>/rows/file/", row_downloads.rows_file, name="filing_rows_file"),
    path("<int:pk>/named-rows/", row_downloads.contacts, name="filing_named_rows"),
    path("<int:pk>/named-rows/file/", row_downloads.contacts_file, name="filing_named_rows_file"),
    path("<int:pk>/pack/", downloads.pack, name="filing_pack"),
    path("<int:pk>/pack/file/", downloads.pack_file, name="filing_pack_file"),
    path("<int:pk>/open-data/", downloads.data_package, name="filing_data_package"),
    path("<int:pk>/figures/", downloads.figures, name="filing_figures"),
]
