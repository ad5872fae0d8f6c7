"""Can a finished piece, or its parts, get from the van to its place?

`passage` holds what has a closed form, `planner` the motions that have none, `place_in` the place itself,
`helps` what would help where it does not go, `weight` what one person lifts. All in planes: a box that is
carried with one of its axes level, or plumb, moves in a plan or in an elevation.
"""
