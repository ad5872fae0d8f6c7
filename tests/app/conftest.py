"""The app's tests; the display comes first, so that Kivy finds its settings."""

import display  # noqa: F401
