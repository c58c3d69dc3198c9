"""Figures: units and kinds, formulas, computing, solving, spread; Python here, its twin for the phone in static/js/lib.

Nothing here knows of Flask. Importing this package loads neither the formula nor the unit library: only binding a Book does.
"""

from .calculator import Calculator, Outcome, Spread
from .model import Figure
from .present import Presenter, present

__all__ = ["Calculator", "Figure", "Outcome", "Presenter", "Spread", "present"]
