"""Kinds of defects that are treated in a way of their own."""

CELL = "matrix cell cleared"
# With it the sequence does not follow trips: the matrix alone holds the outputs off.
FIRST_LINE = ("statement deleted", "sequence_.send(Protect{scan})")
# The same during a cycle only, which leaves the prover more interlocks that still hold.
FIRST_LINE_IN_CYCLE = ("guard of a transition forced", "CycleMachine -> TrippedState on Protect: transition lost")

# Headings of the list of cells that a case notices.
ALONE, BEHIND, BARE = ("alone", "where the sequence does not follow trips",
                       "where, besides, no row of the other kind withholds anything")
