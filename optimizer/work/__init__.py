"""The plan as work: what is written on each piece, set, sawn, glued, and on which day."""
