"""A screen for Kivy that nobody sees. Kivy reads this at its first import, so it comes first."""

import os
import subprocess
import sys
import tempfile

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.setdefault("KIVY_NO_ARGS", "1")
os.environ.setdefault("KIVY_LOG_MODE", "PYTHON")  # else Kivy takes over stderr, and tracebacks vanish
os.environ.setdefault("KIVY_NO_FILELOG", "1")
os.environ.setdefault("KIVY_NO_ENV_CONFIG", "1")
os.environ.setdefault("KIVY_AUDIO", "sdl2")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="kivy-"))

try:
    from kivy.config import Config
except ImportError:
    pass
else:
    Config.set("graphics", "multisamples", "0")  # the same edges on every machine
    Config.set("graphics", "maxfps", "0")  # a frame must not sleep
    # The surface never grows: a window beyond it is laid out, but its pixels there are rubbish. A frame costs
    # as much as all of it, so it is no larger than the largest picture; SURFACE=1200x2600 where one is.
    _surface = os.environ.get("SURFACE", "800x1280").split("x")
    Config.set("graphics", "width", _surface[0])
    Config.set("graphics", "height", _surface[1])
    for _name, _ in Config.items("input"):
        Config.remove_option("input", _name)  # no mouse, no devices


def missing() -> str:
    """Say why no window can be opened; empty where one can. Kivy may end a program, so another one tries."""
    tried = subprocess.run(
        [sys.executable, "-c", "from kivy.core.window import Window; assert Window is not None"],
        capture_output=True,
        text=True,
    )
    if tried.returncode == 0:
        return ""
    said = [line.strip() for line in tried.stderr.splitlines() if line.strip()]
    return said[-1] if said else f"opening a window ended with status {tried.returncode}"
