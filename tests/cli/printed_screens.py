"""What the screens hold of the made-up results of test_screens_whole.py, at 80 columns."""

from __future__ import annotations

# what each screen holds
WANTED: dict[str, str] = {
    "drawing": """
plan.dxf  DXF
unit mm: the drawing says so
layer  lines  rings  open
ROOF      12      2
0          3            1
ring         length x width       area  corners   edges
ROOF 1       14.20 x 8.40 m  119.28 m2        4  1 to 4
ROOF 2 main  14.20 x 8.40 m  119.28 m2        4  5 to 8  courtyard of 1
1            14.20 x 8.40 m  119.28 m2        4  1 to 4  crosses itself
open: row 0
open: row 1
open: row 2
open: row 3
open: row 4
note: Two rings are one.
to paste into a roof of the job, with edge_is: wall_line where it is the outside
  of framing:
  line 0
  line 1
  line 2
  line 3
  line 4
  line 5
  line 6
  line 7
  and 1 more; --json has them all
picture: a.svg (what was there before is now a-1.svg)
""",
    "unit": """
plan.dxf  DXF
unit not known: it does not say
  --unit mm makes its largest shape 14 m
  --unit m makes its largest shape 14 km
ring  length x width        area  corners   edges
1       14200 x 8400  1.1928e+08        4  1 to 4
to paste into a roof of the job, with edge_is: wall_line where it is the outside
  of framing:
  a
  b
  c
  d
  e
  f
  g
  h
picture: a.svg
""",
    "model": """
a.obj  OBJ
unit m:
body    length x width  height  faces  part
1       12.50 x 8.00 m  3.25 m      9  roof
2 hall  12.50 x 8.00 m  3.25 m      9  roof
3       12.50 x 8.00 m  3.25 m      9  roof
""",
    "estate": """
map.geojson: 10 houses
  7 done, 2 refused, 1 late (4 by an earlier run)
  roof on the slope 12 346 m2; roof sheet, a length a sheet 0 m; boards 100 m
  sheet bought over sheeted area: least 1.01, middle 1.05, most 1.2
  Block 1 has no ring, and 2 more of the kind
  Block 2 has two
  B0 why 0
  B1 why 1
  B2 why 2
  B3 why 3
  and 2 reasons more, in not_taken_off.csv
check by hand, furthest from the others first:
house     by its     figure  middle  spreads off
Block 3   roof m2     812.5  140.25          9.1
Yard [a]  gutters m       1      40            2
attribute pich is none of a job's and was not read; did you mean pitch_deg?
attributes that were not read: colour
houses.csv, summary.json in out
parts and estate.json there hold what is done, for the same command typed again;
  they may be removed
""",
    "small estate": """
map.geojson: 10 houses
  7 done, 2 refused, 1 late
  Block 1 has no ring, and 2 more of the kind
  Block 2 has two
  B0 why 0
  B1 why 1
  B2 why 2
  B3 why 3
attribute pich is none of a job's and was not read; did you mean pitch_deg?
houses.csv, summary.json in out
parts and estate.json there hold what is done, for the same command typed again;
  they may be removed
""",
    "issue": """
issue 3 of 2031-05-07 to the yard: shed, revision B, varies issue 1, 2
delivery  what            length mm   count  unit
purlins   Rail [70 x 45]       6000  +1,200  each
purlins   Nail                           -2  box
frozen with 2 files in book/3
""",
    "first issue": """
issue 3 of 2031-05-07: shed, revision B
delivery  what            length mm  count  unit
purlins   Rail [70 x 45]       6000  1,200  each
frozen with 2 files in book/3
""",
    "withheld": """
shed, revision B
stop: Too steep [P1, P2]. Look again.
NOT AN ORDER: a stop finding withholds it
""",
    "book": """
no  date        rev  deliveries      lines  varies  to        note
 1  2031-05-07  B    purlins, walls      1
 3  2031-05-07  B    purlins             2  1, 2    the yard  longer
damaged: a line is gone
edited: 3/order.xlsx
""",
    "standing": """
against the book  ordered  changed since  no longer wanted  to order
purlins                 2              1                 1
walls                   1                                          1
""",
    "tables": """
house

Sheets. Bought otherwise.
  none

Odd. All.
  a  b
[x]

Sheets. Bought otherwise.
mark       mm
P0          0
P1    1 200.5
""",
    "explanations": """
P1.01
  a sheet
  3,000 mm
worked out:
  3 x 1
came from:
  plane P1
  edge E1

L1
  a line

E1
came from:
  roof
""",
    "folder": """
shed [a]  job abc123
edited since: order.xlsx
edited since: b
the job has changed since the order was made
A note.
the order sheet's totals are not those of the data: L1, L2
10 of 12 files in out are as they were written
""",
    "whole folder": """
shed [a]  job abc123
the order sheet's totals are those of the data, 20 lines
12 of 12 files in out are as they were written
""",
    "findings": """
note: Steep.
warn: Steep.
stop: A word A word A word A word A word A word A word A word A word A word A
  word A word A word A word  [P1, P2]. Look.
""",
    "written": """
order.xlsx had been changed since it was written: what was in it is now
  order-1.xlsx
What was typed into the last order sheet could not be read back: it is locked
typed into the last order sheet, but in this order no more: L1: later
2 files in out
""",
}
