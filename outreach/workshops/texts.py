"""What residents are written about a workshop, in English and Spanish: subject and body with $names.

The two are each written for their readers, not translated word for word. A coordinator may word them anew.
"""

from typing import TypeAlias

English: TypeAlias = tuple[str, str]
Spanish: TypeAlias = tuple[str, str]

FACTS_EN = "$workshop\n$day, $hours\n$place\n"
FACTS_ES = "$workshop\n$day, $hours\n$place\n"

TEXTS: dict[str, tuple[English, Spanish]] = {
    "confirmation": (
        (
            "You signed up: $workshop, $day",
            "Hello $name,\n\nthank you for signing up ($people).\n\n"
            + FACTS_EN
            + "\n$standing $to_do\n\n$bin\n\n"
            "$bring\n\nConfirm, change or give your places back here:\n$link\n\n"
            "If you did not sign up, give the places back with the same link.",
        ),
        (
            "Su inscripción: $workshop, $day",
            "Hola, $name:\n\ngracias por inscribirse ($people).\n\n"
            + FACTS_ES
            + "\n$standing $to_do\n\n$bin\n\n"
            "$bring\n\nAquí puede confirmar, cambiar o devolver sus lugares:\n$link\n\n"
            "Si no fue usted quien se inscribió, devuelva los lugares con el mismo enlace.",
        ),
    ),
    "already_known": (
        (
            "Someone signed up from your address: $workshop",
            "Hello $name,\n\nsomeone signed up for a workshop and gave your address. You are on our records "
            "there, so we tell you.\n\n"
            + FACTS_EN
            + "\n$remark\n\nIf it was you or someone in your home, all is "
            "well. If you do not know of it, or if you have moved, please tell the office.\n\nThe workshop: $link",
        ),
        (
            "Alguien se inscribió desde su dirección: $workshop",
            "Hola, $name:\n\nalguien se inscribió en un taller y dio la dirección de usted. Como la tenemos "
            "registrada, le avisamos.\n\n"
            + FACTS_ES
            + "\n$remark\n\nSi fue usted o alguien de su casa, todo está "
            "bien. Si no sabe de qué se trata, o si ya no vive ahí, avise por favor a la oficina.\n\n"
            "El taller: $link",
        ),
    ),
    "please_confirm": (
        (
            "Are you coming? Please confirm by $confirm_by",
            "Hello $name,\n\nyou signed up ($people) for:\n\n"
            + FACTS_EN
            + "\nPlease say by $confirm_by whether "
            "you come. Places that nobody confirms then go to people who wait.\n\nConfirm or give back: $link",
        ),
        (
            "¿Va a venir? Confírmelo antes de terminar el $confirm_by",
            "Hola, $name:\n\nse inscribió ($people) en:\n\n"
            + FACTS_ES
            + "\nDíganos a más tardar el $confirm_by si "
            "va a venir. Los lugares sin confirmar pasan después a quienes esperan.\n\n"
            "Confirmar o devolver: $link",
        ),
    ),
    "reminder": (
        (
            "Soon: $workshop, $day",
            "Hello $name,\n\nsee you soon ($people):\n\n" + FACTS_EN + "\n$bring\n\n"
            "You cannot come? Please give your places back, others are waiting: $link",
        ),
        (
            "Ya pronto: $workshop, $day",
            "Hola, $name:\n\nle esperamos ($people):\n\n" + FACTS_ES + "\n$bring\n\n"
            "¿No puede venir? Devuelva por favor sus lugares, que otras personas esperan: $link",
        ),
    ),
    "offer": (
        (
            "There is room for you: $workshop, $day",
            "Hello $name,\n\nyou are on standby, and now there is room: $places.\n\n" + FACTS_EN + "\n"
            "We keep this for you for $hours_kept hours from now, and at most until the workshop starts. Then it goes "
            "to the next in line.\n\nYes or no, here: $link",
        ),
        (
            "Hay lugar para usted: $workshop, $day",
            "Hola, $name:\n\nestá en la lista de espera y ahora hay lugar: $places.\n\n" + FACTS_ES + "\n"
            "Se lo guardamos $hours_kept horas a partir de ahora, y a lo más hasta que empiece el taller. Después "
            "pasa a la siguiente persona de la lista.\n\nDiga aquí que sí o que no: $link",
        ),
    ),
    "offer_expired": (
        (
            "The place went to the next in line: $workshop",
            "Hello $name,\n\nwe offered you room at:\n\n"
            + FACTS_EN
            + "\nWe did not hear from you in time, so it went "
            "to the next in line, and you are no longer on standby. You may sign up again: $link",
        ),
        (
            "El lugar pasó a la siguiente persona: $workshop",
            "Hola, $name:\n\nle ofrecimos lugar en:\n\n"
            + FACTS_ES
            + "\nComo no tuvimos su respuesta a tiempo, pasó a "
            "la siguiente persona y usted ya no está en la lista de espera. Puede inscribirse otra vez: $link",
        ),
    ),
    "given_back": (
        (
            "Your places were given back: $workshop, $day",
            "Hello $name,\n\nyou no longer have places ($people) at:\n\n" + FACTS_EN + "\n$why\n\n"
            "You would like to come after all? $link",
        ),
        (
            "Sus lugares quedaron libres: $workshop, $day",
            "Hola, $name:\n\nya no tiene lugares ($people) en:\n\n" + FACTS_ES + "\n$why\n\n"
            "¿Quiere venir después de todo? $link",
        ),
    ),
    "cancellation": (
        (
            "Cancelled: $workshop, $day",
            "Hello $name,\n\nwe are sorry: this workshop does not take place.\n\n"
            + FACTS_EN
            + "\nIf a bin was kept "
            "for you there, it is not kept any more. Other workshops: $link",
        ),
        (
            "Cancelado: $workshop, $day",
            "Hola, $name:\n\nlo sentimos: este taller no se va a dar.\n\n"
            + FACTS_ES
            + "\nSi ahí había una compostera "
            "apartada para usted, ya no lo está. Otros talleres: $link",
        ),
    ),
    "postponed": (
        (
            "New day or place: $workshop, now $day",
            "Hello $name,\n\nthis workshop was to be: $before. Now it is:\n\n"
            + FACTS_EN
            + "\nYour places ($people) are "
            "kept until you say no. It does not suit you? Give them back here: $link",
        ),
        (
            "Nueva fecha o lugar: $workshop, ahora $day",
            "Hola, $name:\n\neste taller iba a ser: $before. Ahora es:\n\n"
            + FACTS_ES
            + "\nSus lugares ($people) siguen "
            "siendo suyos mientras no diga que no. ¿No le conviene? Devuélvalos aquí: $link",
        ),
    ),
    "thanks": (
        (
            "Thank you for coming: $workshop",
            "Hello $name,\n\nthank you for coming on $day. What goes into the bin, how wet it should be and what to do "
            "when it smells is on our pages, and the office helps if it does not work.\n\nGood composting!",
        ),
        (
            "Gracias por venir: $workshop",
            "Hola, $name:\n\ngracias por venir el $day. En nuestras páginas está qué se echa en la compostera, qué tan "
            "húmeda debe estar y qué hacer si huele mal; y si algo no funciona, la oficina le ayuda.\n\n"
            "¡Que le vaya bien con su composta!",
        ),
    ),
}
