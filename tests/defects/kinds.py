"""Kinds of defects that are treated in a way of their own."""

CELL = "matrix cell cleared"
# With it the sequence does not follow trips: the matrix alone holds the outputs off.
FIRST_LINE = ("statement deleted", "sequence_.send(Protect{scan})")
