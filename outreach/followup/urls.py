"""Addresses of the follow-up pages."""

from django.urls import path, re_path

from outreach.followup import answer_pages, container_pages, helped_pages, review_pages, wave_pages

urlpatterns = [
    path("helped/", helped_pages.helped_and_not, name="helped_and_not"),
    path("", answer_pages.followup, name="followup"),
    path("answers/add/", answer_pages.answer_choose, name="answer_choose"),
    path("answers/add/<int:household_id>/", answer_pages.answer_add, name="answer_add"),
    path("answers/<int:answer_id>/", answer_pages.answer, name="answer"),
    path("answers/<int:answer_id>/correct/", answer_pages.answer_correct, name="answer_correct"),
    re_path(
        r"^answers/(?P<answer_id>\d+)/settle/(?P<outcome>count|set_aside)/$",
        review_pages.answer_settle,
        name="answer_settle",
    ),
    path("review/", review_pages.answers_review, name="answers_review"),
    path("containers/", container_pages.own_containers, name="own_containers"),
    path("containers/add/", container_pages.own_container_add, name="own_container_add"),
    path("containers/<int:container_id>/", container_pages.own_container_edit, name="own_container_edit"),
    path("waves/", wave_pages.waves, name="waves"),
    path("waves/add/", wave_pages.wave_add, name="wave_add"),
    path("waves/<int:wave_id>/", wave_pages.wave_edit, name="wave_edit"),
]
