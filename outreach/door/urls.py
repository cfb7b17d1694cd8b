"""Addresses of the Door for people who signed in."""

from django.urls import path

from outreach.door import device_pages, held_pages, live_pages, pass_pages

urlpatterns = [
    path("<int:workshop_id>/device", device_pages.let_in, name="door_device"),
    path("<int:workshop_id>/live/", live_pages.now, name="door_live"),
    path("<int:workshop_id>/close/", live_pages.close, name="door_close"),
    path("<int:workshop_id>/passes/", pass_pages.passes, name="door_passes"),
    path("<int:workshop_id>/table/", pass_pages.table, name="door_table"),
    path("passes/<int:pass_id>/revoke/", pass_pages.revoke, name="door_pass_revoke"),
    path("devices/<int:device_id>/revoke/", pass_pages.revoke_device, name="door_device_revoke"),
    path("<int:workshop_id>/held/", held_pages.held, name="door_held"),
    path("held/<uuid:number>/release/", held_pages.release, name="door_held_release"),
    path("held/<uuid:number>/set-aside/", held_pages.set_aside, name="door_held_set_aside"),
    path("held/<uuid:number>/correct/", held_pages.correct, name="door_held_correct"),
]
