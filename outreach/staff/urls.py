"""Addresses of signing in, of jobs, and of one's own password."""

from django.urls import path

from outreach.staff import job_pages, signing_in_pages

urlpatterns = [
    path("sign-in/", signing_in_pages.sign_in, name="sign_in"),
    path("sign-out/", signing_in_pages.sign_out, name="sign_out"),
    path("password/", signing_in_pages.own_password, name="own_password"),
    path("jobs/<int:job_id>/", job_pages.job, name="job"),
]
