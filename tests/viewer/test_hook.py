"""The bundle is made when the package is built; where it cannot be made, the build goes on and the reason is kept."""

from __future__ import annotations

import importlib.util
import os
import shutil
import subprocess
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest

VIEWER = Path(__file__).parents[2] / "build123" / "viewer"
MODULES = os.environ.get("BUILD123_NODE_MODULES", "")


@pytest.fixture
def hook() -> ModuleType:
    spec = importlib.util.spec_from_file_location("hatch_hook", VIEWER / "hatch_hook.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def root(tmp_path: Path) -> Path:
    shutil.copytree(VIEWER, tmp_path / "build123" / "viewer", ignore=shutil.ignore_patterns("bundle", "__pycache__"))
    return tmp_path


def run(hook: ModuleType, root: Path) -> list[str]:
    """The hook as the builder calls it; what it warned of comes back."""
    warned: list[str] = []
    app: Any = SimpleNamespace(display_warning=warned.append)
    made = hook.ViewerHook(str(root), {}, None, None, "", "wheel", app)
    made.initialize("standard", {})
    return warned


def test_a_build_that_cannot_bundle_goes_on_and_says_why(hook: ModuleType, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_tools() -> None:
        raise RuntimeError("neither the package nor a Node is there, see https://registry.example/x")

    monkeypatch.setattr(hook, "_tools", no_tools)
    warned = run(hook, root)
    assert warned == ["the viewer was left out: neither the package nor a Node is there, see"]
    bundle = root / "build123" / "viewer" / "bundle"
    assert [path.name for path in bundle.iterdir()] == ["left-out.txt"]


def test_a_program_that_fails_is_named_with_what_it_said(hook: ModuleType, tmp_path: Path) -> None:
    node = shutil.which("node")
    if node is None:
        pytest.skip("there is no Node here")
    with pytest.raises(RuntimeError, match="npm failed: no network here"):
        hook._run([node, "-e", "console.error('no network here'); process.exit(1)"], tmp_path, "npm")


def test_a_bundle_of_the_same_sources_is_not_made_again(hook: ModuleType, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made: list[Path] = []
    monkeypatch.setattr(hook, "_bundle", lambda viewer, bundle: made.append(bundle))
    run(hook, root)
    run(hook, root)
    assert len(made) == 1
    style = root / "build123" / "viewer" / "style.css"
    style.write_text(style.read_text() + "\n")
    run(hook, root)
    assert len(made) == 2


def test_the_lock_file_names_no_registry() -> None:
    text = (VIEWER / "package-lock.json").read_text()
    assert '"resolved"' not in text and '"integrity"' in text


def test_the_source_is_strictly_typed(root: Path) -> None:
    """tsc (npm) with the settings of tsconfig.json."""
    compiler = Path(MODULES) / ".bin" / "tsc"
    if not MODULES or not compiler.exists():
        if os.environ.get("BUILD123_REQUIRE_BROWSER"):
            pytest.fail("typescript is required and BUILD123_NODE_MODULES does not hold it")
        pytest.skip("typescript is not installed; BUILD123_NODE_MODULES names the folder that holds it")
    work = root / "build123" / "viewer"
    (work / "node_modules").symlink_to(MODULES, target_is_directory=True)
    done = subprocess.run([str(compiler), "-p", str(work)], capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, done.stdout
