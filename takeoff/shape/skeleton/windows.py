"""Who can meet whom, for large outlines: a grid of square cells, good for one window of time.

At the start of a window every piece of front is entered in the cells it sweeps until the window ends, every reflex
vertex in the cells of its path; pieces and vertices made later are entered as they come. A vertex then looks for hits
in the cells of its path only, and what meets at a point is found in the point's cell. Cells are about as many as
pieces, and a window lets the front move by about one cell, so each has few entries: the work per event stays bounded
where looking at the whole front would make the run quadratic.
"""

from __future__ import annotations

from heapq import heappush

from takeoff.shape.skeleton.front import (
    ACTIVE,
    BIG,
    EPS,
    HIT,
    REFLEX,
    TINY_RATE,
    Front,
    Heap,
    Number,
    aim,
    spans,
)

ON, ACROSS, USED, SEEN, MOST = 0, 1, 2, 3, 4
"""Places in `Front.grid`: in use?, cells a side, entries made, stamp of the last look, most cells a side (0: none)."""

NO, YES, FULL = 0, 1, 2
"""What `grid[ON]` says: FULL when the room for entries is used up; all is looked at until a new window is opened."""

LEFT, BOTTOM, SIZE, CELL, MARGIN, END = 0, 1, 2, 3, 4, 5
"""Places in `Front.window`: the square covered, its cell size, how far beyond a cell still counts, when it ends."""


def open_window(F: Front, heap: Heap, now: Number, stretch: int) -> None:
    """Begin a window at time `now`, `stretch` times as long as usual: enter the front, aim every reflex vertex."""
    active = F.tally[ACTIVE]
    across = 1
    while across * across < active and across < F.grid[MOST]:
        across += 1
    F.grid[ON] = YES
    F.grid[ACROSS] = across
    F.grid[USED] = 0
    cell = F.window[SIZE] / across
    F.window[CELL] = cell
    F.window[MARGIN] = cell / 64
    pace = F.window[SIZE] * 0
    for i in range(active):
        pace += F.s[F.own[F.act[i]]]
    F.window[END] = F.tol[BIG]
    if pace > 0:
        F.window[END] = now + cell * active * stretch / (pace * 2)
    for i in range(across * across):
        F.piece_head[i] = -1
        F.path_head[i] = -1
    for i in range(active):
        enter(F, F.act[i], F.piece_head, piece_cells(F, F.act[i], now))
    for i in range(F.tally[REFLEX]):
        look_ahead(F, heap, F.ract[i], now)
    if F.grid[ON] == FULL or F.grid[USED] * 2 > len(F.entry_who):
        F.grid[ON] = NO  # long pieces everywhere: a grid is no help before the next window


def look_ahead(F: Front, heap: Heap, v: int, now: Number) -> None:
    """Queue the first hit of reflex vertex v. One made now cannot hit now: what met at its point was dissolved."""
    fresh = bool(F.pt[v] >= now - F.tol[EPS])
    if F.grid[ON] == YES:
        aim_in_cells(F, heap, v, now, fresh)
    else:
        aim(F, heap, v, now, fresh)


def piece_cells(F: Front, a: int, now: Number) -> list[int]:
    """Cells that the piece of front after a sweeps from now to the end of the window."""
    b = F.nxt[a]
    da, db = now - F.pt[a], now - F.pt[b]
    ax, ay = F.px[a] + F.vx[a] * da, F.py[a] + F.vy[a] * da
    bx, by = F.px[b] + F.vx[b] * db, F.py[b] + F.vy[b] * db
    left = F.window[END] - now
    return cells(F, ax, ay, bx, by, bx + F.vx[b] * left, by + F.vy[b] * left, ax + F.vx[a] * left, ay + F.vy[a] * left)


def cells(
    F: Front, ax: Number, ay: Number, bx: Number, by: Number, cx: Number, cy: Number, dx: Number, dy: Number
) -> list[int]:
    """Cells that a quadrilateral a b c d touches, row by row; those outside the square are no one's."""
    across = F.grid[ACROSS]
    left, bottom, cell, margin = F.window[LEFT], F.window[BOTTOM], F.window[CELL], F.window[MARGIN]
    out: list[int] = []
    first = place(min(ay, by, cy, dy) - margin - bottom, cell, across)
    last = place(max(ay, by, cy, dy) + margin - bottom, cell, across)
    for row in range(first, last + 1):
        low = bottom + cell * row - margin
        high = low + cell + margin * 2
        far = F.tol[BIG]
        reach = (far, -far)
        reach = widen(reach, ax, ay, bx, by, low, high)
        reach = widen(reach, bx, by, cx, cy, low, high)
        reach = widen(reach, cx, cy, dx, dy, low, high)
        reach = widen(reach, dx, dy, ax, ay, low, high)
        if reach[0] > reach[1]:
            continue
        begin = place(reach[0] - margin - left, cell, across)
        end = place(reach[1] + margin - left, cell, across)
        for column in range(begin, end + 1):
            out.append(row * across + column)
    return out


def place(offset: Number, cell: Number, across: int) -> int:
    """Row or column of an offset, moved into the square."""
    if offset <= 0:
        return 0
    if offset >= cell * across:
        return across - 1
    k = int(offset / cell)
    return k if k < across else across - 1


def widen(
    reach: tuple[Number, Number], px: Number, py: Number, qx: Number, qy: Number, low: Number, high: Number
) -> tuple[Number, Number]:
    """Range of x widened by the part of the line p q that lies between two heights."""
    if (py < low and qy < low) or (py > high and qy > high):
        return reach
    if py != qy:
        slope = (qx - px) / (qy - py)
        if py < low or py > high:
            edge = low if py < low else high
            px, py = px + (edge - py) * slope, edge
        if qy < low or qy > high:
            edge = low if qy < low else high
            qx = px + (edge - py) * slope
    return (min(reach[0], px, qx), max(reach[1], px, qx))


def enter(F: Front, who: int, head: list[int], where: list[int]) -> None:
    """Enter a piece of front or a path, by its vertex, in cells whose lists begin at `head`, if there is room."""
    used = F.grid[USED]
    if used + len(where) > len(F.entry_who):
        F.grid[ON] = FULL
        return
    for k in where:
        F.entry_who[used] = who
        F.entry_next[used] = head[k]
        head[k] = used
        used += 1
    F.grid[USED] = used


def hit_time(F: Front, v: int, a: int, earliest: Number, before: Number) -> Number:
    """When reflex vertex v runs into the piece of front after a, from `earliest` on and before `before`, or endless."""
    f = F.own[a]
    vx, vy = F.vx[v], F.vy[v]
    rate = F.s[f] - F.nx[f] * vx - F.ny[f] * vy
    if rate <= F.tol[TINY_RATE] * (1 + F.speed[v]):
        return F.tol[BIG]
    t0 = F.pt[v]
    t = t0 + (F.nx[f] * F.px[v] + F.ny[f] * F.py[v] - F.c[f] - F.s[f] * t0) / rate
    if t < earliest or t >= before or a == v or F.nxt[a] == v:
        return F.tol[BIG]
    if spans(F, a, F.px[v] + vx * (t - t0), F.py[v] + vy * (t - t0), t):
        return t
    return F.tol[BIG]


def aim_in_cells(F: Front, heap: Heap, v: int, now: Number, fresh: bool) -> None:
    """Queue the first hit of reflex vertex v in this window and enter its path."""
    eps = F.tol[EPS]
    earliest = now + eps if fresh else now - eps
    end = F.window[END]
    best = end + eps
    target = -1
    dt = now - F.pt[v]
    x, y = F.px[v] + F.vx[v] * dt, F.py[v] + F.vy[v] * dt
    dt = end - now
    x2, y2 = x + F.vx[v] * dt, y + F.vy[v] * dt
    path = cells(F, x, y, x, y, x2, y2, x2, y2)
    F.grid[SEEN] += 1
    seen = F.grid[SEEN]
    for k in path:
        entry = F.piece_head[k]
        while entry >= 0:
            a = F.entry_who[entry]
            entry = F.entry_next[entry]
            if F.seen[a] == seen or F.alive[a] == 0:
                continue
            F.seen[a] = seen
            t = hit_time(F, v, a, earliest, best)
            if t < best:
                best = t
                target = a
    F.hit_t[v] = F.tol[BIG]
    if target >= 0:
        F.hit_t[v] = best
        heappush(heap, (best if best > now else now, HIT, v, target))
    enter(F, v, F.path_head, path)


def aim_at_piece_in_cells(F: Front, heap: Heap, a: int, now: Number) -> None:
    """Enter a new piece of front and queue the hits of reflex vertices on it that come before their known ones."""
    eps = F.tol[EPS]
    where = piece_cells(F, a, now)
    enter(F, a, F.piece_head, where)
    if F.speed[a] < 0 or F.speed[F.nxt[a]] < 0:
        return
    F.grid[SEEN] += 1
    seen = F.grid[SEEN]
    end = F.window[END] + eps
    for k in where:
        entry = F.path_head[k]
        while entry >= 0:
            v = F.entry_who[entry]
            entry = F.entry_next[entry]
            if F.seen[v] == seen or F.alive[v] == 0:
                continue
            F.seen[v] = seen
            before = F.hit_t[v] if F.hit_t[v] < end else end
            t = hit_time(F, v, a, now - eps if F.pt[v] < now - eps else now + eps, before)
            if t < before:
                F.hit_t[v] = t
                heappush(heap, (t if t > now else now, HIT, v, a))


def pieces_at(F: Front, x: Number, y: Number) -> list[int]:
    """First vertices of all pieces of front that may lie at (x, y): those of its cell, or all without a grid."""
    if F.grid[ON] != YES:
        return [F.act[i] for i in range(F.tally[ACTIVE])]
    across = F.grid[ACROSS]
    cell = F.window[CELL]
    k = place(y - F.window[BOTTOM], cell, across) * across + place(x - F.window[LEFT], cell, across)
    F.grid[SEEN] += 1
    seen = F.grid[SEEN]
    out: list[int] = []
    entry = F.piece_head[k]
    while entry >= 0:
        a = F.entry_who[entry]
        entry = F.entry_next[entry]
        if F.seen[a] != seen and F.alive[a] == 1:
            F.seen[a] = seen
            out.append(a)
    return out
