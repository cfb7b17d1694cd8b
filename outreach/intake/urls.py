"""Addresses of the intake pages."""

from django.urls import path

from outreach.intake import column_pages, pages, review_pages, typing_pages

urlpatterns = [
    path("", pages.intake, name="intake"),
    path("take-in/", pages.take_in_all, name="intake_take_in_all"),
    path("files/<int:pk>/", pages.paperwork_file, name="paperwork_file"),
    path("files/<int:pk>/columns/", column_pages.paperwork_columns, name="paperwork_columns"),
    path("files/<int:pk>/original/", pages.paperwork_original, name="paperwork_original"),
    path("files/<int:pk>/set-aside/", pages.paperwork_set_aside, name="paperwork_set_aside"),
    path("review/", review_pages.intake_review, name="intake_review"),
    path("review/again/", review_pages.intake_try_again, name="intake_try_again"),
    path("rows/<int:pk>/", review_pages.intake_row, name="intake_row"),
    path("rows/<int:pk>/right/", review_pages.intake_row_right, name="intake_row_right"),
    path("type/workshop/<int:workshop_id>/", typing_pages.type_sign_ins, name="type_sign_ins"),
    path("type/answers/", typing_pages.type_answers, name="type_answers"),
    path("type/names/", typing_pages.typed_names, name="typed_names"),
    path("type/workshop/<int:workshop_id>/<int:number>/", typing_pages.sign_in_look, name="sign_in_look"),
    path("type/answers/<int:number>/", typing_pages.answer_look, name="answer_look"),
]
