"""What the columns and rows of the kernels' arrays hold; numba takes the names as constants.

- shapes (shapes, RANGES + 2 * ranges): `X_LOW` to `MOST_X`, then the ends of the y ranges
- edges (8, total) of no-fit polygons, and sides (sides, 8) of fields: `LOW_Y` to `SLOPE` of edges
  that are not level, for the crossing test; `X0` to `Y1` of all edges
- pairs (shapes * shapes, 8): the box that holds a no-fit polygon, then where its edges are. The row
  of a pair (fixed, moved) is fixed * shapes + moved. -1 `CROSSINGS`: the polygon isn't built yet.
- boxes (7, items): where items lie, in the order of `BOX_X0`; the item of each column; the column
  of each item; at the first place of `LONGEST` the length of the longest box. So what lies near is
  found among few.
"""

X_LOW, X_REACH, SIDE, LEFT, BOTTOM, RIGHT, TOP, RANGE_COUNT, MOST_X, RANGES = range(10)
"""Of shapes. `SIDE` is the shorter side of the box, `RANGES` the low end of the first y range."""
LOW_CORNER, HIGH_CORNER = slice(LEFT, RIGHT), slice(RIGHT, RANGE_COUNT)
"""Of shapes: x and y of the corners of the box."""
LOW_Y, HIGH_Y, X_AT_ZERO, SLOPE, X0, Y0, X1, Y1 = range(8)
"""Of edges. `X_AT_ZERO` is the x at y = 0, `SLOPE` what x gains for each unit of y."""
PAIR_X0, PAIR_Y0, PAIR_X1, PAIR_Y1, FIRST_CROSSING, CROSSINGS, FIRST_EDGE, EDGES = range(8)
"""Of pairs: the box, the first edge and the number for the crossing test, then of all edges."""
BOX_X0, BOX_Y0, BOX_X1, BOX_Y1, ITEM, COLUMN, LONGEST = range(7)
"""Of boxes."""
X_BY_X, X_BY_Y, X_FROM, Y_BY_X, Y_BY_Y, Y_FROM, TABLE = range(7)
"""Of sites: where in a table to look for a place (x, y), and in which table."""
FRAME_X, FRAME_Y, CELL_LONG, CELL_HIGH = range(4)
"""Of frames: where a table's grid begins, and the sides of a cell."""
VALUE, SHAPE, X, Y = range(4)
"""Of candidates for an item's place."""
WORST, HEAVIEST = range(2)
"""Rows of each item's greatest severity and weight."""
LEAST, TO_BEAT, SINCE, IDLE_STRIKES, LAST_LEAST = range(5)
"""Of a separation's record: the least sum of severities, the one that the present strike has to
beat, sweeps since it was, strikes in a row that gained nothing, the least when the last ended."""
