"""What help empties when people are forgotten; that it was asked for, and what came of it, stays."""

from outreach.households.forgetting_rows import Rows

OF_PEOPLE = ["help_request__participant"]
OF_HOMES = ["help_request__household", "help_request__counted_under"]

HANDLERS = {
    "help requests": Rows(
        "coaching.HelpRequest",
        empties=["own_words", "written_name", "written_address", "email", "phone", "outcome_note"],
        of_people=["participant"],
        of_homes=["household", "counted_under"],
    ),
    "complaints": Rows(
        "coaching.Complaint",
        empties=["case_number", "ordered_action"],
        of_people=OF_PEOPLE,
        of_homes=OF_HOMES,
    ),
    "help steps": Rows("coaching.HelpStep", empties=["words"], of_people=OF_PEOPLE, of_homes=OF_HOMES),
    "visits": Rows(
        "coaching.Visit",
        empties=["seen", "done"],
        masks=["visited_by"],
        of_people=OF_PEOPLE,
        of_homes=OF_HOMES,
    ),
}
