"""Property tests search anew on a developer's machine, and alike wherever work lands."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("landing", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("landing")
