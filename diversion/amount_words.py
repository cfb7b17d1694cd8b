"""The words of an answer and what kind of thing each is, in English and Spanish. A table, not a method.

Words are lower case without accents. Kinds are single letters, so that a whole answer reads as a short
string and the grammar is a handful of patterns over it (see `amount_reading`).
"""

from diversion.conversions import (
    DAYS_PER_WEEK,
    KG_PER_POUND,
    KG_PER_SHORT_TON,
    KG_PER_TONNE,
    WEEKS_PER_MONTH,
    WEEKS_PER_YEAR,
)

NUMBER, FRACTION_WORD, ARTICLE = "N", "Q", "a"
UNIT, CONTAINER, VESSEL, WEIGHT = "U", "V", "G", "W"
PERIOD, EVERY, OTHER, PER, TIMES, CROSS = "D", "E", "e", "p", "T", "X"
RANGE, BETWEEN, OF, AND, PLUS = "R", "B", "O", "A", "P"
OPEN, CLOSE, LESS, MORE, FULL, PERCENT, MINUS = "L", "J", "S", "M", "F", "C", "n"
ZERO, DOUBT, SMALL_OR_LARGE, NOISE, AND_A_HALF, AMBIGUOUS = "Z", "Y", "m", "_", "H", "?"


def spelled(phrases: str) -> list[str]:
    """The words of a string, parted by spaces."""
    return phrases.split()


NUMBERS: dict[str, float] = {
    **dict(
        zip(
            spelled("zero one two three four five six seven eight nine ten eleven twelve"),
            range(13),
            strict=True,
        )
    ),
    **dict(
        zip(spelled("dos tres cuatro cinco seis siete ocho nueve diez once doce"), range(2, 13), strict=True)
    ),
    **{"fifteen": 15, "twenty": 20, "thirty": 30, "thirteen": 13, "quince": 15, "veinte": 20, "treinta": 30},
    **{"couple": 2, "par": 2, "dozen": 12, "docena": 12, "cero": 0, "uno": 1, "single": 1},
}
# English 'once' is a number of times; Spanish 'once' is eleven. An answer with a Spanish word in it is
# Spanish.
ENGLISH_TIMES = {"once": 1, "twice": 2, "thrice": 3}

FRACTION_WORDS: dict[str, float] = {
    **{"half": 1 / 2, "halves": 1 / 2, "medio": 1 / 2, "media": 1 / 2, "mitad": 1 / 2},
    **{"third": 1 / 3, "thirds": 1 / 3, "tercio": 1 / 3, "tercios": 1 / 3},
    **{"quarter": 1 / 4, "quarters": 1 / 4, "fourth": 1 / 4, "fourths": 1 / 4},
}

KG: dict[str, float] = {
    **dict.fromkeys(spelled("pound pounds lb lbs libra libras"), KG_PER_POUND),
    **dict.fromkeys(spelled("ounce ounces oz onza onzas"), KG_PER_POUND / 16),
    **dict.fromkeys(spelled("kilogram kilograms kilogramo kilogramos kilo kilos kg kgs"), 1.0),
    **dict.fromkeys(spelled("gram grams gramo gramos gr grs gm g"), 0.001),
    **dict.fromkeys(spelled("ton tons"), KG_PER_SHORT_TON),
    **dict.fromkeys(spelled("tonne tonnes tonelada toneladas"), float(KG_PER_TONNE)),
}

WEEKS: dict[str, float] = {
    **dict.fromkeys(
        spelled("day days daily everyday nightly dia dias diario diaria diariamente"), 1 / DAYS_PER_WEEK
    ),
    **dict.fromkeys(spelled("week weeks weekly wk wks semana semanas semanal semanales semanalmente"), 1.0),
    **dict.fromkeys(spelled("fortnight fortnightly quincena quincenal"), 2.0),
    **dict.fromkeys(
        spelled("month months monthly mo mos mth mths mes meses mensual mensuales mensualmente"),
        WEEKS_PER_MONTH,
    ),
    **dict.fromkeys(spelled("year years yearly annually yr yrs ano anos anual"), WEEKS_PER_YEAR),
}

KINDS: dict[str, str] = {
    **dict.fromkeys(spelled("a an un una"), ARTICLE),
    **dict.fromkeys(spelled("every each cada"), EVERY),
    **dict.fromkeys(spelled("other second alternate"), OTHER),
    **dict.fromkeys(spelled("per / por al in en this last past during esta este"), PER),
    **dict.fromkeys(spelled("times time veces vez"), TIMES),
    **dict.fromkeys(spelled("x"), CROSS),
    **dict.fromkeys(spelled("to or o u through"), RANGE),
    **dict.fromkeys(spelled("between entre"), BETWEEN),
    **dict.fromkeys(spelled("of de"), OF),
    **dict.fromkeys(spelled("and y e & plus mas"), AND),
    **{"+": PLUS, "(": OPEN, ")": CLOSE, "<": LESS, ">": MORE, "%": PERCENT, "minus": MINUS},
    **dict.fromkeys(spelled("under hasta"), LESS),
    **dict.fromkeys(spelled("full lleno llena llenos llenas"), FULL),
    **dict.fromkeys(spelled("none nothing nada ninguno ninguna zilch"), ZERO),
    **dict.fromkeys(
        spelled(
            "lot lots loads depends depend varies vary some few several many much little unsure "
            "unknown idk not dont never negative season seasonal spring summer fall autumn winter biweekly "
            "bimonthly bimensual "
            "sometimes mucho mucha muchos muchas poco poca pocos pocas algo alguna algunas algunos "
            "depende varia varios varias nunca primavera verano otono invierno variable unlimited"
        ),
        DOUBT,
    ),
    **dict.fromkeys(
        spelled(
            "small smaller plastic contractor big bigger large larger tiny mini medium grocery shopping sandwich "
            "produce coffee kitchen pequeno pequena chico chica grande mediano mediana"
        ),
        SMALL_OR_LARGE,
    ),
    **dict.fromkeys(
        spelled(
            "container containers can cans tub tubs bin bins bowl bowls box boxes pot pots jug "
            "jugs jar jars sack sacks bag bags cart carts load basket baskets tarp tarps pile "
            "piles handful handfuls tray trays envase envases recipiente recipientes bote botes "
            "caja cajas bolsa bolsas saco sacos costal costales contenedor contenedores"
        ),
        VESSEL,
    ),
}

# Runs of words that mean one thing, or nothing here.
_RUNS = {
    LESS: (
        "less than|fewer than|no more than|not more than|at most|up to|not even|not quite|menos de"
        "|no mas de|or less|or fewer|o menos"
    ),
    MORE: "more than|at least|over|mas de|greater than|al menos|por lo menos|or more|o mas",
    DOUBT: (
        "a lot|a few|a little|not sure|no se|dont know|do not know|no idea|n / a|un poco|a bit|a ton of"
        "|tons of|every few"
    ),
    PERCENT: "percent|por ciento",
    NOISE: (
        "yard waste|yard trimmings|yard clippings|yard debris|yard stuff|from my yard|from the yard"
        "|from our yard|in my yard|or so|or thereabouts|mas o menos|more or less|in total|at a time|a vez"
        "|a la vez"
    ),
    ZERO: "not any|not anything",
    AND_A_HALF: "and a half|y medio|y media",
    FRACTION_WORD: "cuarto de|cuartos de",
    MINUS: "menos",
    PER: "over the|over a|in the last|in the past|a la|para la|para el",
}
PHRASES: dict[tuple[str, ...], str] = {
    tuple(phrase.split()): kind for kind, run in _RUNS.items() for phrase in run.split("|")
}
PHRASE_VALUES = {AND_A_HALF: 1 / 2, FRACTION_WORD: 1 / 4}
LONGEST_RUN = 4  # words
LARGEST_DENOMINATOR = 10  # of the fractions that have a character of their own, such as ⅞
