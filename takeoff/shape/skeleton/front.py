"""The moving front: its vertices, how they move, and when they meet what.

The front is a set of closed chains of vertices. Vertex `v` is followed by `nxt[v]`, and the piece of front between
them is owned by face `own[v]`; `fin[v]` owns the piece that ends at `v`. Face `f` is the half-plane
nx*x + ny*y >= c + s*t at time t (t is height, s = cot(pitch)); the front runs with the roof still to come on its left.
A vertex stands at (px, py) at time `pt` and moves by (vx, vy). `speed` is -1 for a vertex without a motion of its own:
the end of a strip that has just closed, or a point where two collinear fronts of different pitch meet.

Everything stands in flat lists of numbers, floats or (in the last rungs of the ladder) Decimals alike: so literals are
whole numbers, and a run on small houses costs no objects.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappush
from typing import Any

STRIP, COLLAPSE, HIT, TIE = 0, 1, 2, 3
"""Kinds of events, in the order in which simultaneous ones are taken."""

VERTICES, NODES, SIDES, ACTIVE, REFLEX, STATUS, STAMP = 0, 1, 2, 3, 4, 5, 6
"""Places in `Front.tally`."""

EPS, TINY_RATE, BIG, FAST, GOOD_DET = 0, 1, 2, 3, 4
"""Places in `Front.tol`: snap distance, closing rate that counts as none, endless time, speed at which tolerance stops
growing, determinant above which two lines give their crossing well."""

OK, NO_ROOM, TANGLED, ENDLESS, STUCK = 0, 1, 2, 3, 4
"""What `Front.tally[STATUS]` says."""

Heap = list[tuple[Any, int, int, int]]
Number = Any  # float, or Decimal in the last rung of the ladder


Numbers = list[Any]  # of floats or of Decimals
Counts = list[int]


@dataclass(slots=True, init=False)
class Front:
    """Flat arrays of the whole run (see the module's docstring)."""

    # faces: half-plane, speed, direction number (opposite directions: opposite signs), flat top?, jog?, successor
    nx: Numbers
    ny: Numbers
    c: Numbers
    s: Numbers
    cls: Counts
    flat: Counts
    jog: Counts
    swap: Counts
    # profile steps by time: when, which face ends, which begins
    break_t: Numbers
    break_old: Counts
    break_new: Counts
    # vertices
    px: Numbers
    py: Numbers
    pt: Numbers
    vx: Numbers
    vy: Numbers
    speed: Numbers
    own: Counts
    fin: Counts
    nxt: Counts
    prv: Counts
    alive: Counts
    start: Counts  # node
    reflex: Counts
    hit_t: Numbers  # earliest hit queued
    mark: Counts
    node_at: Counts
    # the vertices alive, and the reflex ones of them, each with the way back from vertex to place
    act: Counts
    where: Counts
    ract: Counts
    rwhere: Counts
    # for large outlines: cells and what is entered in them (see windows)
    grid: Counts
    window: Numbers
    piece_head: Counts
    path_head: Counts
    entry_who: Counts
    entry_next: Counts
    seen: Counts
    # what a run leaves: nodes, and sides of faces between them
    nodx: Numbers
    nody: Numbers
    nodt: Numbers
    side_from: Counts
    side_to: Counts
    side_face: Counts
    tally: Counts  # see VERTICES to STAMP
    tol: Numbers


def add_node(F: Front, x: Number, y: Number, t: Number) -> int:
    """The node at (x, y, t): one made at the same time and place before, or a new one."""
    nodx, nody, nodt = F.nodx, F.nody, F.nodt
    k = F.tally[NODES]
    eps = F.tol[EPS] * 4
    i = k - 1
    while i >= 0 and nodt[i] >= t - eps:
        if abs(nodx[i] - x) <= eps and abs(nody[i] - y) <= eps:
            return i
        i -= 1
    if k >= len(nodx):
        F.tally[STATUS] = NO_ROOM
        return k - 1
    nodx[k] = x
    nody[k] = y
    nodt[k] = t
    F.tally[NODES] = k + 1
    return k


def add_side(F: Front, a: int, b: int, face: int) -> None:
    """One side of a face, walked from node a to node b with the face on the left."""
    k = F.tally[SIDES]
    if k >= len(F.side_from):
        F.tally[STATUS] = NO_ROOM
        return
    F.side_from[k] = a
    F.side_to[k] = b
    F.side_face[k] = face
    F.tally[SIDES] = k + 1


def finish(F: Front, v: int, node: int) -> None:
    """End vertex v at a node: its path becomes a side of the two faces beside it."""
    start = F.start[v]
    if start != node and F.fin[v] != F.own[v]:
        add_side(F, start, node, F.fin[v])
        add_side(F, node, start, F.own[v])
    F.alive[v] = 0
    count = F.tally
    k = F.where[v]
    last = count[ACTIVE] - 1
    u = F.act[last]
    F.act[k] = u
    F.where[u] = k
    count[ACTIVE] = last
    if F.reflex[v]:
        k = F.rwhere[v]
        last = count[REFLEX] - 1
        u = F.ract[last]
        F.ract[k] = u
        F.rwhere[u] = k
        count[REFLEX] = last


def spawn(F: Front, heap: Heap, a: int, fin: int, own: int, b: int, node: int, t: Number) -> int:
    """A new vertex at a node at time t between the piece after a (face fin) and the one up to b (face own); linked."""
    count = F.tally
    v = count[VERTICES]
    if v >= len(F.px):
        count[STATUS] = NO_ROOM
        return v - 1
    count[VERTICES] = v + 1
    F.start[v] = node
    F.fin[v] = fin
    F.own[v] = own
    F.alive[v] = 1
    F.nxt[v] = b
    F.prv[v] = a
    F.nxt[a] = v
    F.prv[b] = v
    k = count[ACTIVE]
    F.act[k] = v
    F.where[v] = k
    count[ACTIVE] = k + 1
    F.hit_t[v] = F.tol[BIG]
    if set_motion(F, v, F.nodx[node], F.nody[node], t):
        k = count[REFLEX]
        F.ract[k] = v
        F.rwhere[v] = k
        count[REFLEX] = k + 1
    elif F.speed[v] < 0:
        if F.cls[fin] != F.cls[own]:
            heappush(heap, (t, STRIP, v, 0))
        else:  # after all else that happens at this time
            heappush(heap, (t + F.tol[EPS], TIE, v, 0))
    return v


def set_motion(F: Front, v: int, x: Number, y: Number, t: Number) -> bool:
    """Where v stands and how it moves: with both its lines. True where the corner is reflex (its fronts diverge)."""
    f, g = F.fin[v], F.own[v]
    ax, ay, bx, by = F.nx[f], F.ny[f], F.nx[g], F.ny[g]
    sa, sb = F.s[f], F.s[g]
    F.pt[v] = t
    F.px[v] = x
    F.py[v] = y
    F.reflex[v] = 0
    if F.cls[f] == F.cls[g] or F.cls[f] == -F.cls[g]:
        if F.cls[f] == F.cls[g] and sa == sb:
            F.vx[v] = ax * sa
            F.vy[v] = ay * sa
            F.speed[v] = sa
        else:
            F.vx[v] = sa * 0
            F.vy[v] = sa * 0
            F.speed[v] = sa * 0 - 1
        return False
    sine = ax * by - ay * bx
    cosine = ax * bx + ay * by
    k = (sb - sa * cosine) / sine
    if cosine > 0:  # the same without its loss of digits between nearly collinear fronts
        k = ((sb - sa) + sa * (sine * sine) / (1 + cosine)) / sine
    F.vx[v] = ax * sa - ay * k
    F.vy[v] = ay * sa + ax * k
    F.speed[v] = abs(sa) + abs(k)
    if abs(sine) > F.tol[GOOD_DET] and F.speed[v] > 0:
        ca = F.c[f] + sa * t
        cb = F.c[g] + sb * t
        F.px[v] = (ca * by - cb * ay) / sine
        F.py[v] = (ax * cb - bx * ca) / sine
    if sine < 0:
        F.reflex[v] = 1
        return True
    return False


def near(F: Front, v: int, x: Number, y: Number, t: Number) -> bool:
    """Does v stand at (x, y) at time t, within the snap distance?"""
    speed = F.speed[v]
    if speed > F.tol[FAST]:
        speed = F.tol[FAST]
    elif speed < 0:
        speed = -speed
    reach = F.tol[EPS] * (1 + speed)
    dt = t - F.pt[v]
    return bool(abs(F.px[v] + F.vx[v] * dt - x) <= reach and abs(F.py[v] + F.vy[v] * dt - y) <= reach)


def watch_collapse(F: Front, heap: Heap, a: int, now: Number) -> None:
    """Queue the time at which the piece of front after a has shrunk to nothing, if it shrinks."""
    b = F.nxt[a]
    if F.speed[a] < 0 or F.speed[b] < 0:
        return
    f = F.own[a]
    dx, dy = F.ny[f], -F.nx[f]
    rate = dx * (F.vx[a] - F.vx[b]) + dy * (F.vy[a] - F.vy[b])
    if rate <= F.tol[TINY_RATE] * (1 + F.speed[a] + F.speed[b]):
        return
    if F.speed[a] > F.speed[b]:  # from where the faster end was known exactly
        base = F.pt[a]
        dt = base - F.pt[b]
        length = dx * (F.px[b] + F.vx[b] * dt - F.px[a]) + dy * (F.py[b] + F.vy[b] * dt - F.py[a])
    else:
        base = F.pt[b]
        dt = base - F.pt[a]
        length = dx * (F.px[b] - F.px[a] - F.vx[a] * dt) + dy * (F.py[b] - F.py[a] - F.vy[a] * dt)
    t = base + length / rate
    heappush(heap, (t if t > now else now, COLLAPSE, a, b))


def spans(F: Front, a: int, x: Number, y: Number, t: Number) -> bool:
    """Does the piece of front after a, at time t, reach over (x, y), a point on its line?"""
    f = F.own[a]
    dx, dy = F.ny[f], -F.nx[f]
    u = dx * x + dy * y
    eps, fast = F.tol[EPS], F.tol[FAST]
    b = F.nxt[a]
    speed = F.speed[a]
    if speed > fast:
        speed = fast
    dt = t - F.pt[a]
    if dx * (F.px[a] + F.vx[a] * dt) + dy * (F.py[a] + F.vy[a] * dt) > u + eps * (2 + speed):
        return False
    speed = F.speed[b]
    if speed > fast:
        speed = fast
    dt = t - F.pt[b]
    return bool(dx * (F.px[b] + F.vx[b] * dt) + dy * (F.py[b] + F.vy[b] * dt) >= u - eps * (2 + speed))


def aim(F: Front, heap: Heap, v: int, now: Number, fresh: bool) -> None:
    """Queue the first piece of front that reflex vertex v runs into, as things move now.

    A vertex made now (`fresh`) cannot hit now: all that met at its point was dissolved together.
    """
    nx, ny, c, s, own, nxt, act = F.nx, F.ny, F.c, F.s, F.own, F.nxt, F.act
    x, y, t0, vx, vy = F.px[v], F.py[v], F.pt[v], F.vx[v], F.vy[v]
    eps = F.tol[EPS]
    tiny = F.tol[TINY_RATE] * (1 + F.speed[v])
    earliest = now + eps if fresh else now - eps
    best = F.tol[BIG]
    target = -1
    for i in range(F.tally[ACTIVE]):
        a = act[i]
        f = own[a]
        rate = s[f] - nx[f] * vx - ny[f] * vy
        if rate <= tiny:
            continue
        t = t0 + (nx[f] * x + ny[f] * y - c[f] - s[f] * t0) / rate
        if t < earliest or t >= best or a == v or nxt[a] == v:
            continue
        if spans(F, a, x + vx * (t - t0), y + vy * (t - t0), t):
            best = t
            target = a
    F.hit_t[v] = best
    if target >= 0:
        heappush(heap, (best if best > now else now, HIT, v, target))


def aim_at_piece(F: Front, heap: Heap, a: int, now: Number) -> None:
    """Queue the hits of reflex vertices on the new piece of front after a, where they come before the known ones."""
    px, py, pt, vx, vy, hit_t, ract = F.px, F.py, F.pt, F.vx, F.vy, F.hit_t, F.ract
    f = F.own[a]
    nx, ny, c, s = F.nx[f], F.ny[f], F.c[f], F.s[f]
    b = F.nxt[a]
    eps, tiny = F.tol[EPS], F.tol[TINY_RATE]
    for i in range(F.tally[REFLEX]):
        v = ract[i]
        rate = s - nx * vx[v] - ny * vy[v]
        if rate <= tiny * (1 + F.speed[v]):
            continue
        t0 = pt[v]
        t = t0 + (nx * px[v] + ny * py[v] - c - s * t0) / rate
        if t >= hit_t[v] or v in (a, b) or t < (now - eps if t0 < now - eps else now + eps):
            continue
        if spans(F, a, px[v] + vx[v] * (t - t0), py[v] + vy[v] * (t - t0), t):
            hit_t[v] = t
            heappush(heap, (t if t > now else now, HIT, v, a))
