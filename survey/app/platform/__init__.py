"""What only the device can do: where files are kept, how they are given on, how a photo is chosen."""

from survey.app.platform.interface import Platform


def this_platform() -> Platform:
    """Return the platform of this device."""
    from survey.app.platform.desktop import Desktop

    return Desktop()


__all__ = ["Platform", "this_platform"]
