"""Deeds: what is to happen to a part (dispositions), and what was done to get there (steps).

In: a clause, and what was spoken of before. Out: entries of either kind. How a deed is found and meant is told in
`line`, `meant` and `doers`; what it makes of a part in `dispositions` and `steps`.
"""

from notebook.reading.dispositions import read_dispositions
from notebook.reading.steps import read_steps

__all__ = ["read_dispositions", "read_steps"]
