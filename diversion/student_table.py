"""Coefficients of Fisher's expansion of Student's t, as published. A table, not a method.

Source: Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 26.7.5. A term is a divisor and its odd
polynomial in the normal quantile, highest power first; the first belongs to 1/degrees of freedom, the next to its
square, and so on. The tests compare the quantile with SciPy's.
"""

EXPANSION = (
    (4, (1, 1)),
    (96, (5, 16, 3)),
    (384, (3, 19, 17, -15)),
    (92160, (79, 776, 1482, -1920, -945)),
)
