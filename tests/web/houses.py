"""Small houses that the page is looked at with."""

HUT = """\
# a hut with a store at its back
job: Field hut
revision: B
site: {wind_zone: high}
roofs:
  - name: main
    wall_line: [[0, 0], [7200, 0], [7200, 4800], [0, 4800]]
    eave_overhang_mm: 450
    verge_overhang_mm: 300
    fascia_height_mm: 2400
    pitch_deg: 20
    edges: {2: {kind: gable}, 4: {kind: gable}}
  - name: store
    outline: [[1000, 5250], [4000, 5250], [4000, 7000], [1000, 7000]]
    fascia_height_mm: 2000
    pitch_deg: 15
walls:
  height_mm: 2400
  ground_mm: -300
  zones:
    - {board: bevel_187}
    # the gable ends
    - {walls: [2, 4], direction: vertical, board: {width_mm: 150, cover_mm: 135, kind: shiplap}}
    - {walls: [3], from_mm: 1300, direction: none}
  openings:
    - {wall: 1, name: W1, from_left_mm: 900, width_mm: 1200, sill_mm: 900, height_mm: 1100}
    - {wall: 1, name: D1, from_left_mm: 4000, width_mm: 900, sill_mm: 0, height_mm: 2000, kind: door}
    - {wall: 3, name: W2, from_left_mm: 700, width_mm: 600, sill_mm: 1200, height_mm: 600}
rain: {monthly_mm: [80, 75, 90, 100, 110, 120, 125, 115, 100, 95, 85, 80]}
water_use: {people: 3}
tanks:
  - {name: north, volume_l: 10000}
settings: {hip_trim_mm: 30}
"""
EMPTY = "job: New house\nroofs: []\n"
NO_WALLS = """\
job: Shelter
roofs:
  - name: main
    outline: [[0, 0], [5000, 0], [5000, 4000], [0, 4000]]
    fascia_height_mm: 2400
    pitch_deg: 15
"""
REFUSED = (
    NO_WALLS.replace("pitch_deg: 15", "pitch_deg: 99").replace("Shelter", "Refused")
    + "walls: {zones: [{walls: [1]}]}\n"
)
