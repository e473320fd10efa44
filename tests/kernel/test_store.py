"""A store makes each shape once, forgets what was not used for long, and loads nothing before it is asked."""

from __future__ import annotations

import subprocess
import sys

from wood import across, board, top

from build123.kernel import Store


def test_importing_the_kernel_loads_no_geometry() -> None:
    code = (
        "import sys, build123.kernel, build123.exports.step, build123.exports.stl, build123.exports.glb; build123.kernel.Store();"
        "sys.exit(', '.join(m for m in ('cadquery', 'OCP', 'trimesh') if m in sys.modules) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_equal_parts_share_a_solid_and_a_mesh() -> None:
    store = Store()
    left = board(600, 300, 18, across(top(18.0), 100, 18, 300, 6), name="left side")
    right = board(600, 300, 18, across(top(18.0), 100, 18, 300, 6), name="right side")
    assert store.shape(left) is store.shape(right)
    assert store.mesh(left) is store.mesh(right)


def test_the_least_recently_used_goes_first() -> None:
    store = Store(most=2)
    a, b, c = (board(100 + n, 50, 18) for n in range(3))
    first, second = store.shape(a), store.shape(b)
    assert store.shape(a) is first
    store.shape(c)
    assert store.shape(a) is first
    assert store.shape(b) is not second
