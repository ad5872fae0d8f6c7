"""Sites that are known exactly, what a fitter reads in them, and how a cut piece goes in.

It measures what `fitting` promises, so nothing here imports it. Frame: x right along the back wall, y toward
the back wall, z up, the room at y < 0; walls run clockwise seen from above. All mm and radians.
"""
