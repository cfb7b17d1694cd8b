"""What a home-composting programme kept out of landfill, with its interval and its sources.

Pure Python and NumPy. Nothing in here knows about the web, the database, the clock or the disk (but for the
package's own tables of factors), and nothing is random without a generator or a seed being handed in: the
same input gives the same figure, always.

Masses are in kilograms or tonnes (1000 kg), volumes in litres, times in weeks, months or years; the unit is
part of every name. Inputs and results are frozen and are checked when they are made, so that a wrong one
cannot exist.
"""

from diversion.errors import DiversionError

__all__ = ["DiversionError"]
