"""Every address of the site; each app keeps its own list."""

from django.urls import include, path

from outreach.site import gallery, season

urlpatterns = [
    path("", season.season, name="season"),
    path("gallery/", gallery.gallery, name="gallery"),
    path("staff/", include("outreach.staff.urls")),
    path("set-up/", include("outreach.places.urls")),
    path("set-up/", include("outreach.staff.set_up_urls")),
    path("set-up/", include("outreach.funding.urls")),
    path("set-up/closing/", include("outreach.ending.urls")),
    path("messages/", include("outreach.post.urls")),
    path("households/", include("outreach.households.urls")),
    path("sign-up/", include("outreach.workshops.public_urls")),
    path("workshops/", include("outreach.workshops.urls")),
    path("door/", include("outreach.door.shell_urls")),
    path("door/", include("outreach.door.urls")),
    path("bins/", include("outreach.bins.urls")),
    path("follow-up/", include("outreach.followup.urls")),
    path("follow-up/", include("outreach.filings.follow_up_urls")),
    path("answer/", include("outreach.followup.public_urls")),
    path("help/", include("outreach.coaching.urls")),
    path("intake/", include("outreach.intake.urls")),
    path("filings/", include("outreach.filings.urls")),
    path("requests/", include("outreach.disclosure.urls")),
    path("api/", include("outreach.api.urls")),
]
