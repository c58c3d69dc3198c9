"""The finder: which page answers a few typed letters, and what a typed number with its unit is in every other unit.

`index_data` makes one language's index out of the Book, the same plain data for the server and for the phone; `Finding` answers
from it. static/js/lib/finding.js is its twin. Nothing here knows of Flask.
"""

from .data import index_data
from .finding import Finding

__all__ = ["Finding", "index_data"]
