"""What can hurt someone, in sentences for residents; each page and the sheet take theirs from here."""

from django.utils.translation import gettext_lazy as _

CAUTIONS = {
    "dust": _(
        "Dampen dry compost before you turn it, wear gloves, and do not breathe the dust: moulds and "
        "bacteria in it can make people ill. If you are over 50, smoke, or have weak lungs or immunity, "
        "wear a mask or let someone else turn it. Wash your hands afterwards."
    ),
    "germs": _(
        "A home pile is never certified free of germs, weed seeds or weed killer. Wash what you harvest."
    ),
    "tetanus": _("Keep your tetanus shot up to date; ask your doctor or clinic."),
    "lifting": _("Lift half loads, or use a turning tool in place of a fork."),
    "heat": _(
        "Large dry heaps, most of all of grass, can heat up by themselves. If one smokes, do not dig in: "
        "keep away and call the fire service."
    ),
    "rodents": _(
        "Rats or raccoons: stop putting in food, screen the bin with mesh of a quarter to half an inch, "
        "and follow the rules of your vector control."
    ),
    "place": _(
        "Rules on how far from fences, houses and water, how many bins, and what apartments and "
        "associations allow differ. Ask your city or county before you place a bin."
    ),
    "ants": _(
        "Ant baits with boron are poison near children and pets. Wetting and turning usually moves ants; "
        "for anything else follow the label and your extension office."
    ),
    "herbicide": _(
        "Hay, straw, manure and clippings treated with weed killer can harm plants through the compost. "
        "Keep them out."
    ),
}
