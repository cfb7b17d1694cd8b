"""Method settings: the numbers that we chose, named, each with its reason. Not published, not drawn.

A filing freezes the ones it used. Published and assumed *factors* are in `diversion.factors`.
"""

from diversion.materials import Material

# How much one household can plausibly compost in a week before a person should look at the answer.
# Ours, no source: several times the largest averages that weighing studies report. Food: one 32-gallon
# barrel; yard trimmings and browns: one cubic yard.
PLAUSIBLE_LITRES_PER_WEEK = {Material.FOOD: 121.2, Material.YARD: 764.6, Material.BROWNS: 764.6}
PLAUSIBLE_KG_PER_WEEK = {Material.FOOD: 55.0, Material.YARD: 250.0, Material.BROWNS: 250.0}
# Beyond this, litres or kg, it is a typing error and not an amount at all.
LARGEST_READABLE_LITRES_PER_WEEK = 1_000_000.0
LONGEST_READABLE_TEXT = 200
# Two statements of one container's size count as the same within this share.
SAME_SIZE_TOLERANCE = 0.02

# Step 10: the lifetime view books all methane of the first hundred years in the period of diversion.
LIFETIME_YEARS = 100.0

# Cells: four bands of months since the first handout (0-6, 6-12, 12-24, 24 and more), shares in whole
# percent.
BAND_NAMES = ("0-6 months", "6-12 months", "12-24 months", "24 months and more")
LAST_BAND = 3
WHOLE_PERCENT = 100
DECILITRES_PER_LITRE = 10.0
DECAGRAMS_PER_KG = 100.0

# Step 8: the silent have 1/odds of the answerers' odds of still composting. The direction is known (people
# who answer are keener), the size is not; 2 is the cautious default, 1 to 4 the range within which
# simulations held the truth.
ODDS_SHOWN = (1.0, 2.0, 4.0)
HEADLINE_ODDS = 2.0

# How figures are printed (not how they are computed).
SIGNIFICANT_DIGITS_PRINTED = 3
DECIMALS_PRINTED = 2

# Step 6: a stratum needs this many answers; simulations showed that larger minimum cells change coverage by
# under 0.7 point. Below SHORT_INTERVAL_UNDER answers in all the interval is said to be too short (n = 10
# covers 85 %).
FEWEST_ANSWERS = 5
SHORT_INTERVAL_UNDER = 30

# Step 7: two-sided 90 % limits, and half of the finite population correction: a self-report is noisy even
# where everybody was asked.
CONFIDENCE = 0.9
CORRECTION_SHARE = 0.5
# One-sided risk of 'at most so many compost' where every answer says 'stopped'.
AT_MOST_RISK = 0.05

# Step 3: the grid of quitting rates per month, and the rate assumed where too few answers or stops were
# counted.
QUITTING_STEP_PER_MONTH = 0.001
QUITTING_STEPS = 60
QUITTING_FEWEST_ANSWERS = 50
QUITTING_FEWEST_STOPS = 10
QUITTING_ASSUMED_PER_MONTH = 0.012
QUITTING_ASSUMED_ERROR = 0.005
QUITTING_BISECTIONS = 45

# The rules of the method as a whole; a filing keeps the version it was made by, and is computed again by that one.
# 2: more answers are wanted before the quarter's own alone tell of yard trimmings, and answers that are all alike give
# no interval. 3: draws lie on a lattice, and there are more of them. 4: curves of how long households go on end where
# fewer than five are behind them.
METHOD_VERSION = 4
LATTICE_SINCE = 3
CURVES_END_SINCE = 4

# Step 4: with so many answers about the quarter itself, only those count for yard trimmings; otherwise the
# assumed index is used, and its error is this much per quarter on the log scale. 100 is from our simulation
# (docs/decisions/season-from-a-hundred-answers.md); version 1 had 30.
SEASON_FEWEST_ANSWERS = 100
SEASON_FEWEST_ANSWERS_BEFORE = 30
SEASON_LOG_ERROR = 0.2

# Precision of our own quantiles: relative change at which an iteration stops, smallest divisor.
QUANTILE_TOLERANCE = 1e-13
TINY = 1e-300
# Beyond so many degrees of freedom Student's t and the normal agree to six digits, so infinity is read as
# this.
MOST_DEGREES = 1e6

# Answers are alike where the error of a figure is this small beside it: rounding leaves up to a hundred-millionth.
ALIKE_WITHIN = 1e-6

# Step 12: draws of a filing, and the most that one call will make. With so many on their lattice two seeds agree on
# limits to 1 %; for shares of the variance every fourth is enough. A forecast, which is read off a picture, has fewer.
DRAWS = 32_768
SHARES_EVERY = 4
FORECAST_DRAWS = 10_000
MOST_DRAWS = 1_000_000
NEGLIGIBLE_SPREAD = 1e-12  # of a value: below it there is only rounding
NEGLIGIBLE_TIE = 1e-9  # variances that differ by less are alike

# Step 9: fewer weighed homes than this give a ratio that is biased by several percent; and the share of randomly
# picked homes that must agree before they count as more than volunteers.
FEWEST_WEIGHED_HOMES = 20
AGREED_SHARE_OF_PICKED = 0.5

# Halvings until a limit of the band is known to twelve digits.
BAND_BISECTIONS = 40

# A bridge evaluates a figure 2**parts times.
MOST_BRIDGE_PARTS = 8
DECIMAL_BASE = 10

# Below this share of asked households that answered, a filing says so first.
LOW_RESPONSE = 0.2

# Planning: half-widths are planned at the normal quantile; the fan of a forecast shows these quantiles.
FAN = (0.05, 0.25, 0.5, 0.75, 0.95)
PLAN_BISECTIONS = 60

# Widest interval that is still given, as t times the error over the estimate: beyond it the upper limit is more than
# twenty thousand times the estimate, which says nothing but looks like a figure.
WIDEST_LOG_INTERVAL = 10.0

# Pictures of how long households go on, and their mean months, look at the first three years, and no further than so
# many households were heard of: one that quits as the last of all would take the curve to nothing.
CURVE_MONTHS = 36.0
FEWEST_BEHIND_A_CURVE = 5
