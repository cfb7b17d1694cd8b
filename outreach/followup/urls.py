"""Addresses of the follow-up pages."""

from django.urls import path, re_path

from outreach.followup import (
    answer_pages,
    asked_pages,
    container_pages,
    helped_pages,
    postcard_pages,
    review_pages,
    site_check_pages,
    wave_pages,
    weighing_pages,
    weighing_review_pages,
)

urlpatterns = [
    path("helped/", helped_pages.helped_and_not, name="helped_and_not"),
    path("", answer_pages.followup, name="followup"),
    path("asked/", asked_pages.asked, name="asked"),
    path("postcards/", postcard_pages.postcards_due, name="postcards_due"),
    path("postcards/<int:wave_id>/", postcard_pages.postcards_pdf, name="postcards_pdf"),
    path("postcards/<int:wave_id>/mailed/", postcard_pages.postcards_mailed, name="postcards_mailed"),
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
    path("weigh-ins/", weighing_pages.weigh_ins, name="weigh_ins"),
    path("weigh-ins/add/", weighing_pages.weigh_in_season_add, name="weigh_in_season_add"),
    path("weigh-ins/review/", weighing_review_pages.weighed_weeks_review, name="weighed_weeks_review"),
    path("weigh-ins/<int:season_id>/", weighing_pages.weigh_in_season, name="weigh_in_season"),
    path("weigh-ins/<int:season_id>/edit/", weighing_pages.weigh_in_season_edit, name="weigh_in_season_edit"),
    path("weigh-ins/<int:season_id>/draw/", weighing_pages.weigh_in_draw, name="weigh_in_draw"),
    path(
        "weigh-ins/<int:season_id>/volunteer/", weighing_pages.weigh_in_volunteer, name="weigh_in_volunteer"
    ),
    path("weigh-ins/<int:season_id>/no-reply/", weighing_pages.weigh_in_no_reply, name="weigh_in_no_reply"),
    path("weigh-ins/<int:season_id>/sheets/", weighing_pages.weigh_in_sheets, name="weigh_in_sheets"),
    path("weigh-ins/homes/<int:weigh_in_id>/", weighing_pages.weigh_in, name="weigh_in"),
    path(
        "weigh-ins/homes/<int:weigh_in_id>/reply/", weighing_pages.weigh_in_progress, name="weigh_in_progress"
    ),
    path(
        "weigh-ins/homes/<int:weigh_in_id>/take-off/",
        weighing_pages.weigh_in_take_off,
        name="weigh_in_take_off",
    ),
    path("weigh-ins/homes/<int:weigh_in_id>/sheet/", weighing_pages.weigh_in_sheet, name="weigh_in_sheet"),
    path(
        "weigh-ins/weeks/<int:week_id>/",
        weighing_review_pages.weighed_week_settle,
        name="weighed_week_settle",
    ),
    path("site-checks/", site_check_pages.site_checks, name="site_checks"),
    path("site-checks/draw/", site_check_pages.site_check_draw, name="site_check_draw"),
    path("site-checks/<int:list_id>/", site_check_pages.site_check_list, name="site_check_list"),
    path("site-checks/<int:list_id>/route/", site_check_pages.site_check_route, name="site_check_route"),
    path("site-checks/visits/<int:check_id>/", site_check_pages.site_check, name="site_check"),
    path("site-checks/add/<int:household_id>/", site_check_pages.site_check_add, name="site_check_add"),
]
