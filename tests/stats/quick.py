"""Settings of the property tests: few, repeatable examples that leave no files."""

from __future__ import annotations

from hypothesis import settings

quick = settings(max_examples=60, deadline=None, database=None, derandomize=True)
