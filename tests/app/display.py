"""A screen for Kivy that nobody sees. Kivy reads this at its first import, so it comes first."""

import os
import tempfile

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.setdefault("KIVY_NO_ARGS", "1")
os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")  # else Kivy takes over stderr, and tracebacks vanish
os.environ.setdefault("KIVY_NO_FILELOG", "1")
os.environ.setdefault("KIVY_NO_ENV_CONFIG", "1")
os.environ.setdefault("KIVY_AUDIO", "sdl2")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="kivy-"))

from kivy.config import Config

Config.set("graphics", "multisamples", "0")  # the same edges on every machine
Config.set("graphics", "maxfps", "0")  # a frame must not sleep
Config.set("graphics", "width", "2400")  # the offscreen surface never grows: start at the largest
Config.set("graphics", "height", "3600")
for _name, _ in Config.items("input"):
    Config.remove_option("input", _name)  # no mouse, no devices
