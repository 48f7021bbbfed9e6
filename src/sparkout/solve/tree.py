"""Elimination on a tree of tables: exact while tables stay small, a lower bound where they do not.

Every variable has a bucket of the tables that mention it and no earlier variable. Joined, they make
one table; minimised over the variable it is passed on to the bucket of its next variable. Where the
joined table would pass a limit, the bucket is split, as if the variable were several that need not
agree: then the answer is a lower bound ("mini-buckets": R. Dechter, I. Rish, Mini-buckets, Journal
of the ACM 50(2), 2003). Before passing on, the parts of a split bucket are made to agree as far as
they can about the cost of what they share. Passing beliefs back down the tree gives, for every
value of every variable, a bound on the best plan that uses it; in an unsplit tree, its exact cost.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from sparkout.solve.model import BoolArray, IntArray
from sparkout.solve.network import Network
from sparkout.solve.objective import BIG
from sparkout.solve.propagate import Standing
from sparkout.solve.tables import Part, forbidden, slimmed, without

__all__ = ["Tree", "build", "decode", "excess"]


@dataclass(slots=True)
class Node:
    """A joined table; its first variable is minimised away into the message."""

    scope: list[int]
    table: IntArray
    message: IntArray
    # Nodes whose messages are in this table, with the messages' variables.
    kids: list[tuple[int, list[int]]] = field(default_factory=list)
    parent: int = -1


@dataclass(slots=True)
class Tree:
    """All nodes in order of elimination. Variables are numbered by their place in `order`."""

    order: list[int]
    sizes: list[int]
    keep: list[IntArray]
    nodes: list[Node]
    bound: int
    possible: bool
    exact: bool
    cells: int


Item = tuple[list[int], IntArray | BoolArray, int]
"""Variables, table of cost or of what is forbidden, and the node it comes from (−1: a link)."""


def build(
    net: Network,
    standing: Standing,
    keep: list[IntArray],
    parts: list[Part],
    order: list[int],
    limit: int | None,
) -> Tree:
    """Eliminate all variables that have a choice. limit: cells of the largest table (None: any).

    The bound is BIG or more where there is no plan.
    """
    rank = [-1] * net.count
    for place, v in enumerate(order):
        rank[v] = place
    sizes = [keep[v].size for v in order]
    tree = Tree(order, sizes, keep, [], 0, True, True, 0)
    tables: list[list[Item]] = [[] for _ in order]
    large: list[list[Part]] = [[] for _ in order]

    def put(part: Part) -> None:
        cells = 1
        for v in part.choices + part.amounts:
            cells *= keep[v].size
        if limit is not None and cells > limit:
            part = slimmed(part, standing)
            cells = 1
            for v in part.choices + part.amounts:
                cells *= keep[v].size
        if limit is None or cells <= limit:
            scope, bad = forbidden(net, part, keep, rank)
            if scope:
                tables[scope[0]].append((scope, bad, -1))
            elif bad.any():
                tree.possible = False
        else:
            first = min(rank[v] for v in part.choices + part.amounts if rank[v] >= 0)
            large[first].append(part)

    for part in parts:
        put(part)
    for here, v in enumerate(order):
        for part in large[here]:
            tree.exact = False
            put(without(part, v, standing))
        own = net.cost[net.start[v] + keep[v]]
        least = int(own.min())
        tree.bound += least
        groups = _split(here, tables[here], sizes, limit)
        first = len(tree.nodes)
        for k, group in enumerate(groups):
            _join(tree, own - least if k == 0 else None, group)
        if len(groups) > 1:
            tree.exact = False
            _agree(tree.nodes[first:], sizes)
        for at in range(first, len(tree.nodes)):
            _pass_on(tree, at, tables)
    if not tree.possible:
        tree.bound = BIG
    return tree


def _split(
    here: int, items: list[Item], sizes: list[int], limit: int | None
) -> list[tuple[list[int], list[Item]]]:
    """Which tables are joined into one, and over which variables: large tables first, first fit."""
    if limit is None or not items:
        members = {here}
        for scope, _, _ in items:
            members.update(scope)
        return [(sorted(members), items)]
    groups: list[tuple[set[int], list[Item]]] = []
    for item in sorted(items, key=lambda item: -item[1].size):
        for members, mine in groups:
            union = members.union(item[0])
            if len(union) > len(members):
                cells = 1
                for u in union:
                    cells *= sizes[u]
                if cells > limit:
                    continue
                members.update(union)
            mine.append(item)
            break
        else:
            groups.append((set(item[0]), [item]))
    return [(sorted(members), mine) for members, mine in groups]


def _join(tree: Tree, own: IntArray | None, group: tuple[list[int], list[Item]]) -> None:
    scope, items = group
    sizes = tree.sizes
    shape = [sizes[u] for u in scope]
    table = np.zeros(shape, dtype=np.int64)
    if own is not None:
        table += own.reshape([-1] + [1] * (len(scope) - 1))
    node = Node(scope, table, table)
    tree.cells += table.size
    for their, array, source in items:
        if len(their) < len(scope):
            array = array.reshape([sizes[u] if u in their else 1 for u in scope])
        if source >= 0:
            table += array
            node.kids.append((source, their))
            tree.nodes[source].parent = len(tree.nodes)
        else:
            np.copyto(table, BIG, where=array)
    tree.nodes.append(node)


def _agree(nodes: list[Node], sizes: list[int]) -> None:
    """Move cost between the nodes of a split bucket until all see the same least cost.

    Over the variables they share each node has a least cost; all are moved to the mean of these.
    The sum stays what it was, so the bound stays a bound, and it does not get worse.
    """
    common = set(nodes[0].scope)
    for node in nodes[1:]:
        common.intersection_update(node.scope)
    least = []
    for node in nodes:
        rest = tuple([axis for axis, u in enumerate(node.scope) if u not in common])
        least.append(np.minimum(node.table.min(axis=rest), BIG))
    stacked = np.stack(least)
    dead = (stacked >= BIG).any(axis=0)
    mean, left = np.divmod(stacked.sum(axis=0), len(nodes))
    for k, node in enumerate(nodes):
        move = mean - stacked[k]
        if k == 0:
            move += left
        move[dead] = BIG
        node.table += move.reshape([sizes[u] if u in common else 1 for u in node.scope])


def _pass_on(tree: Tree, at: int, tables: list[list[Item]]) -> None:
    node = tree.nodes[at]
    message = node.table.min(axis=0)
    if len(node.scope) > 1:
        np.minimum(message, BIG, out=message)
        tables[node.scope[1]].append((node.scope[1:], message, at))
    else:
        tree.bound += int(message)
        tree.possible = tree.possible and bool(message < BIG)
    node.message = message


def decode(tree: Tree) -> list[int]:
    """A plan of least cost from an exact tree: the place of every variable's value."""
    found = [0] * len(tree.order)
    for node in reversed(tree.nodes):
        line = node.table
        for u in reversed(node.scope[1:]):
            line = line[..., found[u]]
        found[node.scope[0]] = int(line.argmin())
    at = [int(places[0]) for places in tree.keep]
    for v, place in zip(tree.order, found, strict=True):
        at[v] = int(tree.keep[v][place])
    return at


def excess(net: Network, tree: Tree) -> IntArray:
    """By how much, at least, the best plan with each value exceeds the bound; BIG: impossible.

    One entry per value of the network; values that do not stand have BIG.
    """
    result = np.full(net.values.size, BIG, dtype=np.int64)
    for v, places in enumerate(tree.keep):
        result[net.start[v] + places] = 0
    down: list[IntArray | None] = [None] * len(tree.nodes)
    for at in range(len(tree.nodes) - 1, -1, -1):
        node = tree.nodes[at]
        above = down[at]
        belief = node.table - (node.message if above is None else 0)
        if above is not None:
            belief = belief + above
        v = tree.order[node.scope[0]]
        each = belief.reshape(belief.shape[0], -1).min(axis=1)
        cells = net.start[v] + tree.keep[v]
        result[cells] = np.maximum(result[cells], np.minimum(each, BIG))
        for kid, their in node.kids:
            message = tree.nodes[kid].message
            mine = message.reshape([tree.sizes[u] if u in their else 1 for u in node.scope])
            rest = tuple([axis for axis, u in enumerate(node.scope) if u not in their])
            down[kid] = np.minimum((belief - mine).min(axis=rest), BIG)
    return result
