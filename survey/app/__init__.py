"""The phone app: measure on site, decide, hand over. The only part of the survey that imports Kivy.

What needs no screen is plain Python and is tested without a window: `desk` (what lies open between two
starts), `visit` (the open job), `answers` (the fit report, worked out beside the screen), `blanks` (the
numbers that a reading asks for), `walk_list` (the walk with what is done). What is seen: `look` (roles and
sizes), `plain` and `widgets`, `shell` (the frame around every page) and `pages`, one module and one `.kv` for
each.
"""
