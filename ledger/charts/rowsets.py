"""The data of one picture, collected while its layers are made.

Altair copies and checks the data of every layer several times over; a picture of twelve panels
took three seconds for that alone. So a layer only names its rows, and the sheet adds them all at
the end, in the chart itself (`datasets`), where they travel with it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt


class Rowsets:
    """Named rows of one chart.

    Attributes:
        datasets: rows by name, in the order they were added.
    """

    def __init__(self) -> None:
        self.datasets: dict[str, list[dict[str, Any]]] = {}

    def add(self, rows: Sequence[Mapping[str, Any]]) -> alt.Chart:
        """A chart without marks on these rows; their field names are always the builder's own."""
        name = f"rows-{len(self.datasets) + 1}"
        self.datasets[name] = [dict(row) for row in rows]
        return alt.Chart(alt.NamedData(name=name))
