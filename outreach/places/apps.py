from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PlacesConfig(AppConfig):
    name = "outreach.places"
    label = "places"

    def ready(self) -> None:
        from outreach.places import set_up
        from outreach.staff.roles import ADMINISTRATORS

        set_up.register(
            _("Jurisdictions"),
            "jurisdictions",
            about=_("Cities, towns and areas that the programme serves, and where their trash goes."),
        )
        set_up.register(
            _("Places served"), "served_places", about=_("Which city and ZIP belong to which jurisdiction.")
        )
        set_up.register(_("Districts"), "districts", about=_("Parts of a jurisdiction, valid from a day on."))
        set_up.register(
            _("Landfill profiles"),
            "landfill_profiles",
            about=_("How waste decays there, and how the gas is caught."),
        )
        set_up.register(_("Venues"), "venues", about=_("Halls, parks and gardens where workshops are held."))
        # `staff` lies below and cannot register here itself.
        set_up.register(
            _("People who sign in"),
            "staff_list",
            ADMINISTRATORS,
            about=_("Who signs in, and with which role."),
        )
        set_up.register(
            _("Audit trail"), "audit_trail", ADMINISTRATORS, about=_("Who changed what, when and why.")
        )
