"""Addresses of the staff pages that stand in Set-up: people and the audit trail."""

from django.urls import path

from outreach.staff import audit_pages, people_pages

urlpatterns = [
    path("people/", people_pages.staff_list, name="staff_list"),
    path("people/add/", people_pages.staff_add, name="staff_add"),
    path("people/<int:member_id>/", people_pages.staff_edit, name="staff_edit"),
    path("people/<int:member_id>/deactivate/", people_pages.staff_deactivate, name="staff_deactivate"),
    path("people/<int:member_id>/reactivate/", people_pages.staff_reactivate, name="staff_reactivate"),
    path("people/<int:member_id>/password/", people_pages.staff_new_password, name="staff_new_password"),
    path("trail/", audit_pages.audit_trail, name="audit_trail"),
]
