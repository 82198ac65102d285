"""The run of the front from event to event: whatever meets at one point is dissolved at once."""

from __future__ import annotations

from heapq import heappop

from takeoff.shape.skeleton.breaks import profile_break
from takeoff.shape.skeleton.front import (
    ACTIVE,
    BIG,
    COLLAPSE,
    ENDLESS,
    EPS,
    FAST,
    HIT,
    OK,
    REFLEX,
    STAMP,
    STATUS,
    STRIP,
    STUCK,
    TANGLED,
    Front,
    Heap,
    Number,
    add_node,
    aim_at_piece,
    finish,
    near,
    spans,
    spawn,
    watch_collapse,
)
from takeoff.shape.skeleton.windows import (
    END,
    FULL,
    MOST,
    ON,
    YES,
    aim_at_piece_in_cells,
    look_ahead,
    open_window,
    pieces_at,
)

LONGEST = 2**40
"""How far a window is stretched while nothing happens before an open front is called that."""


def run(F: Front, heap: Heap, events_at_most: int) -> None:
    """Move the front until nothing of it is left; sides and nodes are in F, how it ended in F.tally[STATUS]."""
    count = F.tally
    eps, big = F.tol[EPS], F.tol[BIG]
    now = F.nodt[0]
    windows = F.grid[MOST] > 0
    stretch = 1
    start(F, heap, now)
    breaks = len(F.break_t)
    k = 0
    events = 0
    while count[ACTIVE] > 0 and count[STATUS] == OK:
        events += 1
        ahead = heap[0][0] if len(heap) > 0 else big
        end = F.window[END] if windows else big
        if events > events_at_most:
            count[STATUS] = ENDLESS
        elif k < breaks and F.break_t[k] + eps / 2 < ahead and F.break_t[k] <= end:  # ties of its time come after it
            now = F.break_t[k]
            if windows and end >= big:
                F.window[END] = now
            k, fresh = profile_break(F, heap, k)
            for v in fresh:
                settle(F, heap, v, now)
            stretch = 1
        elif windows and F.grid[ON] == FULL:
            open_window(F, heap, now, 1)
        elif ahead > end and stretch < LONGEST:
            now = end
            open_window(F, heap, end, stretch)
            stretch *= 2
        elif len(heap) == 0:
            count[STATUS] = STUCK
        else:
            now = ahead
            take_event(F, heap)
            stretch = 1


def start(F: Front, heap: Heap, now: Number) -> None:
    """Queue what can happen to the front as it stands at first."""
    for i in range(F.tally[ACTIVE]):
        watch_collapse(F, heap, F.act[i], now)
    if F.grid[MOST] > 0:
        open_window(F, heap, now, 1)
    else:
        for i in range(F.tally[REFLEX]):
            look_ahead(F, heap, F.ract[i], now)


def take_event(F: Front, heap: Heap) -> None:
    """Take the first event off the queue and work it if it still holds."""
    t, kind, a, b = heappop(heap)
    if not F.alive[a]:
        return
    if kind == COLLAPSE:
        if F.nxt[a] == b:
            meet(F, heap, [a, b], a if F.speed[a] <= F.speed[b] else b, t)
    elif kind == HIT:
        dt = t - F.pt[a]
        if F.alive[b] and spans(F, b, F.px[a] + F.vx[a] * dt, F.py[a] + F.vy[a] * dt, t):
            meet(F, heap, [a], a, t)
        else:
            look_ahead(F, heap, a, t)
    elif kind == STRIP:
        close_strip(F, heap, a, t)
    else:
        change_pitch(F, heap, a, F.pt[a])


def close_strip(F: Front, heap: Heap, v: int, t: Number) -> None:
    """Two fronts lie on each other from v on: run along them to the nearer far end, which is an event of its own."""
    a, b = F.prv[v], F.nxt[v]
    f = F.own[v]
    dx, dy = F.ny[f], -F.nx[f]
    to_a = dx * (F.px[a] + F.vx[a] * (t - F.pt[a]) - F.px[v]) + dy * (F.py[a] + F.vy[a] * (t - F.pt[a]) - F.py[v])
    to_b = dx * (F.px[b] + F.vx[b] * (t - F.pt[b]) - F.px[v]) + dy * (F.py[b] + F.vy[b] * (t - F.pt[b]) - F.py[v])
    end = a if to_a < to_b else b
    meet(F, heap, [v, end], end, t)


def change_pitch(F: Front, heap: Heap, v: int, t: Number) -> None:
    """Two collinear fronts of different pitch meet at v: one goes on over the other's whole length.

    The steeper goes on above the level break, but a vertical face never overruns a moving plane. Its end of the front
    runs along the level break to the other's far end, which is an event of its own.
    """
    one, two = F.s[F.fin[v]], F.s[F.own[v]]
    end = F.nxt[v] if two == 0 or 0 < one < two else F.prv[v]
    meet(F, heap, [v, end], end, t)


def meet(F: Front, heap: Heap, members: list[int], where: int, t: Number) -> None:
    """Dissolve everything that meets at vertex `where` at time t."""
    dt = t - F.pt[where]
    x = F.px[where] + F.vx[where] * dt
    y = F.py[where] + F.vy[where] * dt
    F.tally[STAMP] += 1
    stamp = F.tally[STAMP]
    for m in members:
        F.mark[m] = stamp
    crossed = gather(F, members, x, y, t, stamp)
    slowest = where
    for m in members:
        if F.speed[m] >= 0 and F.speed[m] < F.speed[slowest] and near(F, m, x, y, t):
            slowest = m
    dt = t - F.pt[slowest]
    x = F.px[slowest] + F.vx[slowest] * dt
    y = F.py[slowest] + F.vy[slowest] * dt
    dissolve(F, heap, members, crossed, add_node(F, x, y, t), t, stamp)


def gather(F: Front, members: list[int], x: Number, y: Number, t: Number, stamp: int) -> list[int]:
    """Add to members every vertex at (x, y); returns the pieces of front (by first vertex) that run through it."""
    mark, nxt, prv = F.mark, F.nxt, F.prv
    looked = 0
    around: list[int] = []
    wide = False
    while looked < len(members):
        m = members[looked]
        looked += 1
        u = prv[m]
        if mark[u] != stamp and near(F, u, x, y, t):
            mark[u] = stamp
            members.append(u)
        u = nxt[m]
        if mark[u] != stamp and near(F, u, x, y, t):
            mark[u] = stamp
            members.append(u)
        if F.reflex[m] and not wide:
            wide = True
            around = pieces_at(F, x, y)
            px, vx, pt = F.px, F.vx, F.pt
            most = F.tol[EPS] * (1 + F.tol[FAST])
            for u in around:
                # most are nowhere near: spare them the call
                if abs(px[u] + vx[u] * (t - pt[u]) - x) <= most and mark[u] != stamp and near(F, u, x, y, t):
                    mark[u] = stamp
                    members.append(u)
    crossed: list[int] = []
    if wide:
        nx, ny, c, s, own = F.nx, F.ny, F.c, F.s, F.own
        speed = F.speed[members[0]]
        reach = F.tol[EPS] * (2 + (speed if speed < F.tol[FAST] else F.tol[FAST]))
        for a in around:
            f = own[a]
            if abs(nx[f] * x + ny[f] * y - c[f] - s[f] * t) > reach or mark[a] == stamp or mark[nxt[a]] == stamp:
                continue
            if spans(F, a, x, y, t):
                crossed.append(a)
    return crossed


def dissolve(F: Front, heap: Heap, members: list[int], crossed: list[int], node: int, t: Number, stamp: int) -> None:
    """End the members at the node and join what still leads away from it anew.

    Seen from the node, pieces lead away (out) or come in. Each outgoing piece is joined to the next incoming one
    counter-clockwise: between the two lies roof still to come.
    """
    ends, faces, inward = rays_of(F, members, crossed, stamp)
    valley = len(crossed) > 0
    for m in members:
        valley = valley or F.reflex[m] == 1
        finish(F, m, node)
    rays = len(ends)
    if rays == 0:
        return
    order = [0, 1] if inward[0] == 0 else [1, 0]
    if rays > 2:
        order = sort_rays(F, faces, inward)
    fresh: list[int] = []
    for i in range(rays):
        out, back = order[i], order[(i + 1) % rays]
        if inward[out] == 1:
            continue
        if inward[back] == 0:
            F.tally[STATUS] = TANGLED
            return
        a, b = ends[back], ends[out]
        if faces[back] == faces[out]:
            F.nxt[a] = b
            F.prv[b] = a
            fresh.append(-1 - a)
            continue
        v = spawn(F, heap, a, faces[back], faces[out], b, node, t)
        fresh.append(v)
        if F.reflex[v] == 1 and not valley:  # a valley's foot is a corner of the outline or another valley's head
            F.tally[STATUS] = TANGLED
    for v in fresh:
        settle(F, heap, v, t)


def rays_of(F: Front, members: list[int], crossed: list[int], stamp: int) -> tuple[list[int], list[int], list[int]]:
    """The pieces of front round a point: the vertex at the far end of each, its face, and whether it comes in."""
    ends: list[int] = []
    faces: list[int] = []
    inward: list[int] = []
    for m in members:
        a = F.prv[m]
        if F.mark[a] != stamp:
            ends.append(a)
            faces.append(F.own[a])
            inward.append(1)
        b = F.nxt[m]
        if F.mark[b] != stamp:
            ends.append(b)
            faces.append(F.own[m])
            inward.append(0)
    for a in crossed:
        ends.append(a)
        ends.append(F.nxt[a])
        faces.append(F.own[a])
        faces.append(F.own[a])
        inward.append(1)
        inward.append(0)
    return ends, faces, inward


def sort_rays(F: Front, faces: list[int], inward: list[int]) -> list[int]:
    """Order of the pieces round a node, counter-clockwise; of two on one ray the outgoing one first."""
    keys: list[Number] = []
    order: list[int] = []
    for i in range(len(faces)):
        f = faces[i]
        dx, dy = F.ny[f], -F.nx[f]
        if inward[i] == 1:
            dx, dy = -dx, -dy
        key = dy / (abs(dx) + abs(dy))
        if dx < 0:
            key = 2 - key
        elif key < 0:
            key = 4 + key
        k = len(order)
        keys.append(key)
        order.append(i)
        while k > 0 and (keys[k - 1] > key or (keys[k - 1] == key and inward[order[k - 1]] > inward[i])):
            keys[k] = keys[k - 1]
            order[k] = order[k - 1]
            k -= 1
        keys[k] = key
        order[k] = i
    return order


def settle(F: Front, heap: Heap, v: int, t: Number) -> None:
    """Queue what can happen next to a new vertex v, or (v < 0) to the joined piece after vertex -1 - v."""
    if v < 0:
        a = -1 - v
        if not F.alive[a]:
            return
        if F.nxt[a] == a:
            finish(F, a, F.start[a])
            return
        watch_piece(F, heap, a, t)
        return
    if not F.alive[v]:
        return
    a, b = F.prv[v], F.nxt[v]
    if a == b and F.speed[v] >= 0:  # two fronts left that are not parallel: they meet here
        finish(F, a, F.start[v])
        finish(F, v, F.start[v])
        return
    watch_piece(F, heap, a, t)
    watch_piece(F, heap, v, t)
    if F.reflex[v]:
        look_ahead(F, heap, v, t)


def watch_piece(F: Front, heap: Heap, a: int, t: Number) -> None:
    """Queue the events of a changed piece of front."""
    watch_collapse(F, heap, a, t)
    if F.grid[ON] == YES:
        aim_at_piece_in_cells(F, heap, a, t)
    elif F.speed[a] >= 0 and F.speed[F.nxt[a]] >= 0:
        aim_at_piece(F, heap, a, t)
