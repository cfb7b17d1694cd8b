"""Addresses of the Door that a device asks for: no sign-in, since a door pass has none."""

from django.urls import path

from outreach.door import shell_pages, worker

urlpatterns = [
    path("", shell_pages.start, name="door_start"),
    path("<int:workshop_id>/", shell_pages.application, name="door_app"),
    path("shell/", shell_pages.shell, name="door_shell"),
    path("words/<slug:language>.json", shell_pages.spoken, name="door_words"),
    path("worker.js", worker.worker, name="door_worker"),
    path("manifest.webmanifest", shell_pages.manifest, name="door_manifest"),
]
