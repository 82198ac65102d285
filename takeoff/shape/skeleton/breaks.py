"""Changes of the front that no meeting causes: a profile's next step, and a flat top."""

from __future__ import annotations

from takeoff.shape.skeleton.front import ACTIVE, STAMP, Front, Heap, Number, add_node, add_side, finish, spawn


def node_of(F: Front, v: int, t: Number) -> int:
    """The node where v stands at time t."""
    dt = t - F.pt[v]
    return add_node(F, F.px[v] + F.vx[v] * dt, F.py[v] + F.vy[v] * dt, t)


def profile_break(F: Front, heap: Heap, k: int) -> tuple[int, list[int]]:
    """Take all profile steps that begin at the time of step k; returns the next step's number and what to settle."""
    t = F.break_t[k]
    swap = F.swap
    first = k
    flat = False
    while k < len(F.break_t) and F.break_t[k] <= t:
        swap[F.break_old[k]] = F.break_new[k]
        flat = flat or F.flat[F.break_new[k]] == 1
        k += 1
    if flat:
        close_flat_tops(F, t)
    fresh = change_faces(F, heap, t)
    for i in range(first, k):
        swap[F.break_old[i]] = -1
    return k, fresh


def change_faces(F: Front, heap: Heap, t: Number) -> list[int]:
    """Pass every piece of front whose face has a successor on to it, across a level break at time t."""
    swap, own, fin, nxt = F.swap, F.own, F.fin, F.nxt
    count = F.tally
    count[STAMP] += 1
    stamp = count[STAMP]
    marked: list[int] = []
    for i in range(count[ACTIVE]):
        v = F.act[i]
        u, w = F.prv[v], nxt[v]
        turned = swap[fin[v]] >= 0 or swap[own[v]] >= 0
        # a jog may still be of no length: its two ends get their nodes together
        if F.jog[own[v]] == 1:
            turned = turned or swap[own[w]] >= 0
        if F.jog[fin[v]] == 1:
            turned = turned or swap[fin[u]] >= 0
        if turned:
            F.mark[v] = stamp
            marked.append(v)
    for v in marked:
        F.node_at[v] = node_of(F, v, t)
    for v in marked:
        old = own[v]
        new = swap[old]
        if new >= 0:
            p, q = F.node_at[v], F.node_at[nxt[v]]
            if p != q:
                add_side(F, q, p, old)
                add_side(F, p, q, new)
    fresh: list[int] = []
    for v in marked:
        a, b = F.prv[v], nxt[v]
        left = swap[fin[v]] if swap[fin[v]] >= 0 else fin[v]
        right = swap[own[v]] if swap[own[v]] >= 0 else own[v]
        finish(F, v, F.node_at[v])
        fresh.append(spawn(F, heap, a, left, right, b, F.node_at[v], t))
    return fresh


def close_flat_tops(F: Front, t: Number) -> None:
    """Close every part of the front that has a flat-top face due at time t, under the first such face."""
    chains, areas, faces = chains_at(F, t)
    owner = [0] * len(chains)
    for i in range(len(chains)):
        owner[i] = i
        if areas[i] < 0:
            for j in range(len(chains)):
                if (
                    areas[j] > 0
                    and (owner[i] == i or areas[j] < areas[owner[i]])
                    and inside(F, chains[i], chains[j], t)
                ):
                    owner[i] = j
    for i in range(len(chains)):
        if faces[i] >= 0 and (faces[owner[i]] < 0 or faces[i] < faces[owner[i]]):
            faces[owner[i]] = faces[i]
    for i in range(len(chains)):
        if faces[owner[i]] >= 0:
            close_chain(F, chains[i], faces[owner[i]], t)


def chains_at(F: Front, t: Number) -> tuple[list[int], list[Number], list[int]]:
    """First vertex, area at time t and lowest flat face due (or -1) of every chain of the front."""
    F.tally[STAMP] += 1
    stamp = F.tally[STAMP]
    chains: list[int] = []
    areas: list[Number] = []
    faces: list[int] = []
    for i in range(F.tally[ACTIVE]):
        v = F.act[i]
        if F.mark[v] == stamp:
            continue
        area = F.nx[0] * 0
        face = -1
        u = v
        while F.mark[u] != stamp:
            F.mark[u] = stamp
            w = F.nxt[u]
            du, dw = t - F.pt[u], t - F.pt[w]
            area += (F.px[u] + F.vx[u] * du) * (F.py[w] + F.vy[w] * dw)
            area -= (F.py[u] + F.vy[u] * du) * (F.px[w] + F.vx[w] * dw)
            new = F.swap[F.own[u]]
            if new >= 0 and F.flat[new] == 1 and (face < 0 or new < face):
                face = new
            u = w
        chains.append(v)
        areas.append(area)
        faces.append(face)
    return chains, areas, faces


def inside(F: Front, v: int, first: int, t: Number) -> bool:
    """Does vertex v lie inside the chain that begins at `first`, at time t (crossings of a ray)?"""
    x = F.px[v] + F.vx[v] * (t - F.pt[v])
    y = F.py[v] + F.vy[v] * (t - F.pt[v])
    odd = False
    u = first
    while True:
        w = F.nxt[u]
        ux, uy = F.px[u] + F.vx[u] * (t - F.pt[u]), F.py[u] + F.vy[u] * (t - F.pt[u])
        wx, wy = F.px[w] + F.vx[w] * (t - F.pt[w]), F.py[w] + F.vy[w] * (t - F.pt[w])
        if (uy > y) != (wy > y) and x < ux + (wx - ux) * (y - uy) / (wy - uy):
            odd = not odd
        u = w
        if u == first:
            return odd


def close_chain(F: Front, first: int, face: int, t: Number) -> None:
    """End a whole chain at time t under one level face."""
    ring = [first]
    u = F.nxt[first]
    while u != first:
        ring.append(u)
        u = F.nxt[u]
    for v in ring:
        F.node_at[v] = node_of(F, v, t)
    for v in ring:
        p, q = F.node_at[v], F.node_at[F.nxt[v]]
        if p != q:
            add_side(F, q, p, F.own[v])
            add_side(F, p, q, face)
    for v in ring:
        finish(F, v, F.node_at[v])
