"""The usual run draws the same examples every time, so that what passed passes; the nightly sweeps draw new ones."""

import os

from hypothesis import settings

settings.register_profile("usual", derandomize=True)
settings.register_profile("nightly", derandomize=False)
settings.load_profile("nightly" if os.environ.get("BUILD123_NIGHTLY") else "usual")
