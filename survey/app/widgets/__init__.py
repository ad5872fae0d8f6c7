"""Widgets that several pages share: the number pad, pictures, a choice from below, signs drawn by us."""
