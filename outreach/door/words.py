"""Everything that the Door says, by key. Pages fetch it as data, since they are drawn without the server."""

import json

from django.utils import translation
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

# For the crew. `…_one` and `…_other` are chosen by the count `n`.
CREW: dict[str, str | Promise] = {
    "search": _("Name, address or code"),
    "scan": _("Scan a code"),
    "scan_stop": _("Stop scanning"),
    "scan_hint": _("Hold the code of the sheet before the camera."),
    "scan_no_camera": _("The camera cannot be used: {why}. Type the short code under the picture instead."),
    "scan_unknown": _("“{code}” is on nobody's row here. Type the name or the address."),
    "walk_in": _("Someone walked in"),
    "people_heading": _("On the list"),
    "people_count_one": _("{n} person"),
    "people_count_other": _("{n} people"),
    "people_none": _("Nobody is on the list yet. Whoever comes is a walk-in."),
    "nobody_found": _("Nobody on this list is called or lives like “{search}”."),
    "code": _("code {code}"),
    "here": _("here"),
    "not_here": _("not here yet"),
    "standby": _("standby"),
    "missed": _("noted as missed"),
    "walked_in": _("walked in"),
    "waiver_done": _("waiver"),
    "bin_done": _("has a bin"),
    "promised": _("bin kept"),
    "unsent_mark": _("not yet sent"),
    "held_mark": _("waits for the office"),
    "step_here": _("Here"),
    "step_waiver": _("Waiver"),
    "step_bin": _("Bin"),
    "party": _("People in the party"),
    "party_more": _("One more"),
    "party_fewer": _("One fewer"),
    "check_in_one": _("Check in {n} person"),
    "check_in_other": _("Check in {n} people"),
    "is_here_one": _("Here, {n} person."),
    "is_here_other": _("Here, a party of {n}."),
    "first_check_in": _("Check in first."),
    "undo": _("Undo"),
    "undo_of": _("Undo: {what}"),
    "no_waiver": _("No waiver is asked for."),
    "waiver_version": _("Version {version}, accepted by typing their name."),
    "turn": _("Turn the screen to them: {language}"),
    "waiver_missing": _("The waiver is not accepted yet. Take it before the bin leaves the table."),
    "language_en": _("English"),
    "language_es": _("Spanish"),
    "may": _("May have a bin."),
    "may_not": _("Not within the rule."),
    "bin_here_today": _("This household was given a bin at this table today: {model}."),
    "bin_taken_back": _(
        "A bin was taken back here. Whether the place is free again is checked when this goes up."
    ),
    "served_walk_in": _(
        "{place} is served. Earlier bins of this address are not on this device; they are checked when this goes up."
    ),
    "elsewhere": _("{place} is not served: advice and the class, but no subsidised bin."),
    "unknown_place": _("No place was given; whether it is served is checked when this goes up."),
    "known_address": _("This address is on the list."),
    "bins_had": _("Had: {bins}."),
    "which_bin": _("Which bin"),
    "litres": _("{n} L"),
    "left_one": _("{n} left"),
    "left_other": _("{n} left"),
    "left_none": _("none left by the count"),
    "copay": _("Co-pay of {amount}"),
    "copay_cash": _("Cash"),
    "copay_cheque": _("Cheque"),
    "copay_waived": _("Waived"),
    "copay_none": _("Nothing to pay"),
    "receipt": _("Receipt number"),
    "optional": _("may stay empty"),
    "waived_why": _("Why it is waived"),
    "lot": _("Lot on the bin"),
    "exception_reason": _("Why a bin all the same"),
    "exception_help": _("It goes down as an exception, with your name and this reason."),
    "ask_someone": _("Your pass does not include exceptions. Ask the coordinator."),
    "give": _("Hand out the bin"),
    "give_exception": _("Hand out as an exception"),
    "given": _("Handed out: {model}. {copay}."),
    "no_models": _("No bin lies at this table by the ledger. Ask the coordinator where the bins come from."),
    "need_model": _("Choose the bin that leaves the table."),
    "need_copay": _("Say how the co-pay was settled."),
    "need_why": _("Say why the co-pay is waived."),
    "need_reason": _("Say why a bin is given all the same."),
    "need_name": _("Write the name."),
    "need_street": _("Write the street address."),
    "need_count": _("Write a whole number from {low} to {high}."),
    "name": _("Name"),
    "street": _("Street address"),
    "unit": _("Apartment or unit"),
    "city": _("City"),
    "zip": _("ZIP"),
    "email": _("E-mail"),
    "phone": _("Phone"),
    "more_about_them": _("Unit, e-mail, phone"),
    "reach_help": _("Only if they want to be asked later; it leaves this device once it is sent."),
    "check_in_in": _("Check in, {language}"),
    "check_in_and_turn": _("Check in and turn the screen: {language}"),
    "never_mind": _("Back without saving"),
    "foot_people": _("People in"),
    "foot_bins": _("Bins left"),
    "foot_unsent": _("Not yet sent"),
    "connected": _("Connected. Everything is sent as it happens."),
    "sending": _("Sending…"),
    "unreachable": _("No connection. Everything is kept here and sent by itself."),
    "starting": _("Opening…"),
    "ready_offline": _("Ready to work without a signal."),
    "print_roster": _("Print the roster"),
    "not_ready_offline": _(
        "This browser cannot keep the page, so it will not open again without a signal. "
        "Leave it open, and have the printed roster at hand."
    ),
    "may_be_cleared": _("The browser may clear its storage when space runs short; send what is unsent soon."),
    "roster_missing": _(
        "The roster has not been fetched yet. Connect once, then the Door works without a signal."
    ),
    "not_opened": _("This device has not opened this workshop, or has finished with it."),
    "not_opened_step": _("Open it with a door pass or your sign-in"),
    "ended": _("This device may no longer see the roster."),
    "ended_unsent_one": _(
        "{n} action is not sent yet. It stays here and is delivered as soon as there is a connection."
    ),
    "ended_unsent_other": _(
        "{n} actions are not sent yet. They stay here and are delivered as soon as there is a connection."
    ),
    "ended_clean": _("Everything was delivered, and nothing about residents is left on this device."),
    "token_unknown": _(
        "The server does not know this device, so what is unsent stays here. Open the workshop again with a pass."
    ),
    "held_one": _("{n} action waits for the office to release it."),
    "held_other": _("{n} actions wait for the office to release them."),
    "server_trouble": _("The server answered with an error ({status}). It is tried again by itself."),
    "storage_failed": _(
        "This could not be kept on the device: {why}. Write it on paper and tell the office."
    ),
    "more": _("More"),
    "less": _("Back to the list"),
    "headcount": _("People in the room who are on no list"),
    "headcount_save": _("Note the headcount"),
    "headcount_noted": _("Noted so far: {n}."),
    "stock": _("Bins at the table"),
    "done_here": _("What was done on this device"),
    "done_none": _("Nothing yet."),
    "did_arrived": _("{who}: checked in, {n}"),
    "did_walked_in": _("{who}: walked in, {n}"),
    "did_waiver_accepted": _("{who}: waiver accepted"),
    "did_bin_given": _("{who}: {model} handed out"),
    "did_headcount": _("Headcount of people on no list: {n}"),
    "did_undone": _("Taken back: {what}"),
    "someone": _("Someone"),
    "was_undone": _("taken back"),
    "others_one": _("Exceptions so far: {n}."),
    "others_other": _("Exceptions so far: {n}."),
    "devices_unsent_one": _("{n} device has not sent everything."),
    "devices_unsent_other": _("{n} devices have not sent everything."),
    "finish": _("Finish on this device"),
    "finish_help": _(
        "Takes roster, pass and everything else off this device. What was done is with the office."
    ),
    "finish_refused_one": _(
        "{n} action is not sent yet, so nothing was taken off. Find a signal, then finish."
    ),
    "finish_refused_other": _(
        "{n} actions are not sent yet, so nothing was taken off. Find a signal, then finish."
    ),
    "finished": _("Finished. Nothing about residents is left on this device."),
    "opened_by": _("Opened by {name}"),
    "said_checked_in": _("{who} is checked in."),
    "said_given": _("{who}: {model} handed out."),
    "said_undone": _("Taken back."),
    "said_waiver": _("{who}: waiver accepted."),
}

# For residents, in their language.
RESIDENT: dict[str, str | Promise] = {
    "hello": _("Hello, {name}"),
    "waiver_heading": _("Please read before you take part"),
    "type_name": _("Type your full name to accept"),
    "accept": _("I have read this and accept it"),
    "need_name": _("Type your name, then accept."),
    "back": _("Back to the crew"),
    "thanks": _("Thank you. Please hand the phone back."),
    "not_served": _(
        "Your address is outside the area that we may give bins to. The class and advice are for everybody."
    ),
    "may_have": _("Your household may have a bin today."),
    "had_today": _("Your household was given a bin today."),
}

EVERYTHING = {"crew": CREW, "resident": RESIDENT}


def as_json(language: str) -> str:
    """All of it in one language."""
    with translation.override(language):
        said = {
            part: {key: str(sentence) for key, sentence in group.items()}
            for part, group in EVERYTHING.items()
        }
    return json.dumps(said, ensure_ascii=False)
