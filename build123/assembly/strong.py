"""Strongly connected sets of a graph whose edges are bit masks: one depth-first walk (SIAM Journal on Computing 1, 1972, 146-160)."""

from __future__ import annotations


def strong(edges: list[int], within: int) -> list[int]:
    """The strongly connected sets, as masks, of the nodes in `within`; a set comes after the sets that its edges lead to."""
    index: dict[int, int] = {}
    low: dict[int, int] = {}
    stack: list[int] = []
    stacked = 0
    found: list[int] = []
    left = within
    while left:
        root = (left & -left).bit_length() - 1
        path = [(root, edges[root] & within)]
        index[root] = low[root] = len(index)
        stack.append(root)
        stacked |= 1 << root
        while path:
            node, rest = path[-1]
            if rest:
                bit = rest & -rest
                other = bit.bit_length() - 1
                path[-1] = (node, rest ^ bit)
                if other not in index:
                    index[other] = low[other] = len(index)
                    stack.append(other)
                    stacked |= bit
                    path.append((other, edges[other] & within))
                elif stacked & bit:
                    low[node] = min(low[node], index[other])
                continue
            path.pop()
            if path:
                parent = path[-1][0]
                low[parent] = min(low[parent], low[node])
            if low[node] == index[node]:
                group = 0
                while not group >> node & 1:
                    group |= 1 << stack.pop()
                stacked &= ~group
                left &= ~group
                found.append(group)
    return found
