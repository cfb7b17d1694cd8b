from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class BinsConfig(AppConfig):
    name = "outreach.bins"
    label = "bins"

    def ready(self) -> None:
        self._forget()
        from outreach.bins import keeping, provenance
        from outreach.staff import checking, guard

        guard.append_only(
            "bins.StockMovement",
            sentence="A stock movement is never changed or removed. Record another that puts it right.",
        )
        guard.append_only(
            "bins.StockCount",
            sentence="A count is never changed or removed. Count the shelf again.",
        )
        checking.register("stock balances", keeping.balances_that_differ, keeping.rebuild_balances)
        checking.register("orders of handouts", provenance.differing, provenance.rebuild_all)
        checking.register("stays", keeping.stays_that_differ, keeping.rebuild_stays)
        self._fill_lower_apps()
        self._last_contact()

    def _last_contact(self) -> None:
        from outreach.bins import last_contact as bins
        from outreach.households import last_contact

        last_contact.hear_from("handouts", bins.HANDED)
        last_contact.hear_from("promises", bins.PROMISED)
        last_contact.hear_from("stays", bins.use_ended)
        last_contact.in_use_by("stays", bins.in_use)

    def _fill_lower_apps(self) -> None:
        from outreach.bins import dossier, roster_column, source_figures
        from outreach.bins.booking_follower import KeepBins
        from outreach.bins.merging import CountBins
        from outreach.funding import figures, panels
        from outreach.households import dossier as households
        from outreach.households import merging
        from outreach.places import set_up
        from outreach.workshops import followers, roster

        followers.register("bins", KeepBins())
        figures.register_bin_charges(source_figures.charges)
        panels.register("bins/source_panel.html", source_figures.panel)
        merging.register("bins", CountBins(), covers=CountBins.covers)
        households.register_timeline(dossier.timeline)
        households.register_action(dossier.actions)
        households.register_panel("bins/panel.html", dossier.panel)
        roster.register_column(_("Bin taken"), roster_column.cells, "bins/roster_cell.html")
        set_up.register(
            _("Rules"),
            "rules",
            about=_("How many subsidised bins a household may have, who may, since when."),
        )
        set_up.register(
            _("Bin models"), "bin_models", about=_("Kinds of bins: family, litres, cost, co-pay.")
        )
        set_up.register(
            _("Places of stock"), "stock_places", about=_("Stores, tables and vans where bins lie.")
        )

    def _forget(self) -> None:
        from outreach.bins import forgetting as own_forgetting
        from outreach.households import forgetting

        for name, handler in own_forgetting.HANDLERS.items():
            forgetting.register(name, handler)
