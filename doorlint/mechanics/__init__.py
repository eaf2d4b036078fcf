"""Pure mathematics on SI floats: the door on its track, what it sweeps, and the beams that carry it."""
