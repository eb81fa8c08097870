"""The start script: what it decides, what it refuses and what it says, with no network and nothing installed."""

import ast
import json
import os
import re
import runpy
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from resources import start

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = ROOT / "resources" / "start.py"
LOCK = ROOT / "resources" / "lock.txt"


def canonical(name: str) -> str:
    """A package's name as indexes compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


class Pip:
    """Stands for the commands that set an environment up: writes down what was asked, and answers as told."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.asked: list[list[str]] = []
        self.answer: tuple[int, list[str]] = (0, [])
        self.stopped = False

    def __call__(self, command: list[str], _root: Path) -> tuple[int, list[str]]:
        self.asked.append(command)
        if "venv" in command:
            python = start.python_of(self.root / ".venv")
            python.parent.mkdir(parents=True)
            python.touch()
            return 0, []
        if self.stopped:
            raise KeyboardInterrupt
        return self.answer

    def taken(self) -> list[str]:
        """What was run since last asked: "venv" or the target that pip was to install."""
        words = ["venv" if "venv" in command else command[-1] for command in self.asked]
        self.asked.clear()
        return words


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "resources").mkdir()
    (tmp_path / "pyproject.toml").write_text("[project]\n")
    (tmp_path / "resources" / "lock.txt").write_text("openpyxl==3.1.5\n")
    return tmp_path


@pytest.fixture
def pip(root: Path, monkeypatch: pytest.MonkeyPatch) -> Pip:
    fake = Pip(root)
    monkeypatch.setattr(start, "run_quietly", fake)
    monkeypatch.setattr(start, "ROOT", root)
    return fake


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What would have been started once all is set up."""
    seen: list[str] = []

    def child(_python: Path, _root: Path, *words: str) -> int:
        seen.append(words[0])
        return 5

    monkeypatch.setattr(start, "child", child)
    monkeypatch.setattr(start, "probe", lambda _python, _root, offscreen: "")
    monkeypatch.setattr(start, "has_screen", lambda: False)
    monkeypatch.setattr(start, "write_reports", lambda _python, _root: seen.append("reports"))
    return seen


def test_any_python_3_can_parse_it() -> None:
    text = SCRIPT.read_text(encoding="ascii")
    tree = ast.parse(text, feature_version=(3, 4))
    # The parser's idea of an old grammar is loose: these came later than 3.0 and it lets some of them through.
    late = (ast.JoinedStr, ast.NamedExpr, ast.AnnAssign, ast.AsyncFunctionDef, ast.Await, ast.YieldFrom, ast.MatMult)
    assert not [node for node in ast.walk(tree) if isinstance(node, late)]
    displays = [node for node in ast.walk(tree) if isinstance(node, ast.List | ast.Tuple | ast.Set)]
    assert not [node for node in displays if any(isinstance(part, ast.Starred) for part in node.elts)]
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    assert not [node for node in calls if any(isinstance(arg, ast.Starred) for arg in node.args[:-1])]
    assert not [node for node in ast.walk(tree) if isinstance(node, ast.arguments) and node.posonlyargs]
    assert not re.search(r"\d_\d", text)


@pytest.mark.parametrize("version", [(3, 0, 1), (3, 4, 10), (3, 10, 13)])
def test_an_old_python_is_told_what_is_needed(
    version: tuple[int, int, int], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", version)
    with pytest.raises(SystemExit) as left:
        runpy.run_path(str(SCRIPT), run_name="__main__")
    assert left.value.code == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert f"needs Python 3.11 or later; this is 3.{version[1]}." in said


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 13, 1), (4, 0, 0)])
def test_a_new_python_is_let_through(version: tuple[int, int, int]) -> None:
    assert start.too_old(version) == ""


def test_help_explains() -> None:
    done = subprocess.run(
        [sys.executable, str(SCRIPT), "--help"], capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0
    for word in ("--tests", ".venv", "reports", "Exit:"):
        assert word in done.stdout


def test_a_second_start_installs_nothing(root: Path, pip: Pip, opened: list[str]) -> None:
    assert start.main([]) == 0
    assert pip.taken() == ["venv", "."]
    assert start.main([]) == 0
    assert pip.taken() == []
    assert opened == ["reports", "reports"]


def test_pip_is_held_to_the_lock(pip: Pip, opened: list[str]) -> None:
    start.main([])
    command = pip.asked[-1]
    assert command[command.index("--constraint") + 1] == "resources/lock.txt"
    assert "--editable" in command


def test_tests_bring_more_packages_once_and_pass_their_exit_code(pip: Pip, opened: list[str]) -> None:
    start.main([])
    pip.taken()
    assert start.main(["--tests"]) == 5
    assert pip.taken() == [".[tests]"]
    assert start.main(["--tests"]) == 5
    start.main([])
    assert pip.taken() == []
    assert opened == ["reports", "pytest", "pytest", "reports"]


@pytest.mark.parametrize("name", ["pyproject.toml", "resources/lock.txt"])
def test_a_change_of_what_is_needed_installs_again(name: str, root: Path, pip: Pip, opened: list[str]) -> None:
    start.main(["--tests"])
    pip.taken()
    with (root / name).open("a") as file:
        file.write("# more\n")
    start.main([])
    assert pip.taken() == ["."]
    start.main(["--tests"])  # what the tests need has not been brought up to date by that
    assert pip.taken() == [".[tests]"]


def test_line_ends_are_no_change(root: Path) -> None:
    before = start.needs(root)
    for name in ("pyproject.toml", "resources/lock.txt"):
        (root / name).write_bytes((root / name).read_bytes().replace(b"\n", b"\r\n"))
    assert start.needs(root) == before


def test_a_moved_folder_is_set_up_anew(
    root: Path, pip: Pip, opened: list[str], tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    start.main([])
    pip.taken()
    moved = root.rename(tmp_path_factory.mktemp("elsewhere") / "with a space")
    pip.root = moved
    monkeypatch.setattr(start, "ROOT", moved)
    start.main([])
    assert pip.taken() == ["venv", "."]


def test_another_python_is_set_up_anew(pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    start.main([])
    pip.taken()
    monkeypatch.setattr(sys, "version_info", (3, 99, 0, "final", 0))
    start.main([])
    assert pip.taken() == ["venv", "."]


def test_a_start_cut_short_is_done_over(pip: Pip, opened: list[str]) -> None:
    pip.stopped = True
    assert start.main([]) == 130
    pip.taken()
    pip.stopped = False
    assert start.main([]) == 0
    assert pip.taken() == ["venv", "."]


@pytest.mark.parametrize("stamp", ["", "{", "[]", '{"place": 1}'])
def test_a_broken_stamp_is_done_over(stamp: str, root: Path, pip: Pip, opened: list[str]) -> None:
    start.main([])
    pip.taken()
    (root / ".venv" / start.STAMP).write_text(stamp)
    start.main([])
    assert pip.taken() == ["venv", "."]


def test_an_environment_without_its_python_is_done_over(root: Path, pip: Pip, opened: list[str]) -> None:
    start.main([])
    pip.taken()
    start.python_of(root / ".venv").unlink()
    start.main([])
    assert pip.taken() == ["venv", "."]


def test_a_folder_that_is_no_environment_is_done_over(root: Path, pip: Pip, opened: list[str]) -> None:
    (root / ".venv" / "lib").mkdir(parents=True)
    start.main([])
    assert pip.taken() == ["venv", "."]
    assert not (root / ".venv" / "lib").exists()


def test_an_environment_made_by_hand_is_kept(
    root: Path, pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "works", lambda _python: True)
    start.python_of(root / ".venv").parent.mkdir(parents=True)
    start.python_of(root / ".venv").touch()
    pip.answer = (1, ["ERROR: no"])
    assert start.main([]) == 2
    pip.answer = (0, [])
    start.main([])
    assert pip.taken() == [".", "."]


@pytest.mark.parametrize(
    ("printed", "said"),
    [
        ("NewConnectionError: Failed to establish a new connection", "connect to the network"),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "free 1 GB"),
        ("SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]", "PIP_CERT"),
        ("ERROR: No matching distribution found for openpyxl==9", "resources/lock.txt"),
        ("ERROR: ResolutionImpossible: for help visit", "renew the lock"),
        ("[Errno 13] Permission denied: 'x'", "may not be written"),
        ("error: subprocess-exited-with-error", "use the Python named"),
        ("something nobody has seen", "delete the folder .venv"),
    ],
)
def test_a_failure_ends_in_one_line_with_the_remedy(
    printed: str, said: str, pip: Pip, opened: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    pip.answer = (1, [f"line {number}" for number in range(50)] + [printed])
    assert start.main([]) == 2
    *shown, last = capsys.readouterr().err.splitlines()
    assert last.startswith("start: installing failed")
    assert said in last
    assert shown[-1] == f"  | {printed}"
    assert len(shown) == 12
    assert opened == []


def test_a_failed_update_leaves_the_old_stamp(root: Path, pip: Pip, opened: list[str]) -> None:
    start.main([])
    stamp = (root / ".venv" / start.STAMP).read_text()
    (root / "pyproject.toml").write_text("[project]\nname = 'x'\n")
    pip.answer = (1, ["ReadTimeoutError"])
    assert start.main([]) == 2
    assert (root / ".venv" / start.STAMP).read_text() == stamp
    pip.taken()
    pip.answer = (0, [])
    start.main([])
    assert pip.taken() == ["."]  # tried again, in place
    assert json.loads((root / ".venv" / start.STAMP).read_text())["needs"] == start.needs(root)


def test_a_missing_venv_module_names_the_line_that_installs_it(
    root: Path, pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "can_make", lambda: False)
    monkeypatch.setattr(shutil, "which", lambda _name: "/usr/bin/apt-get")
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    assert start.main([]) == 2
    assert "sudo apt-get install -y python3-venv" in capsys.readouterr().err
    assert not (root / ".venv").exists()
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(start, "can_make", lambda: ["apt-get", "install", "-y", "python3-venv"] in pip.asked)
    assert start.main([]) == 0
    assert pip.asked[:2] == [["apt-get", "update"], ["apt-get", "install", "-y", "python3-venv"]]


def test_a_file_in_the_way_is_named(
    root: Path, pip: Pip, opened: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    (root / ".venv").write_text("")
    assert start.main([]) == 2
    assert "remove or rename it" in capsys.readouterr().err


def test_the_window_is_opened_where_there_is_a_screen(
    root: Path, pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (root / "sample.stillroom").touch()
    assert start.main([]) == 0
    monkeypatch.setattr(start, "has_screen", lambda: True)
    assert start.main([]) == 5
    assert opened == ["reports", "ui"]


@pytest.mark.parametrize("system", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_a_screen_is_known_by_its_name(system: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    assert not start.has_screen()
    monkeypatch.setenv(system, ":1")
    assert start.has_screen()
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.delenv(system)
    assert start.has_screen()


class Qt:
    """Stands for a Qt that lacks libraries until they are installed."""

    def __init__(self, answers: list[str]) -> None:
        self.answers = answers

    def __call__(self, _python: Path, _root: Path, offscreen: bool) -> str:
        return self.answers.pop(0)


def test_missing_libraries_are_named_in_one_line_for_whoever_may_not_install(
    root: Path, pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "probe", Qt(["libEGL.so.1: cannot open shared object file"] * 2))
    monkeypatch.setattr(shutil, "which", lambda _: "/usr/bin/apt-get")
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    assert start.main(["--tests"]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "sudo apt-get install -y --no-install-recommends libegl1" in said
    assert "libxcb-cursor0" not in said  # the tests need no screen
    monkeypatch.setattr(start, "has_screen", lambda: True)
    assert start.main([]) == 2
    assert "libxcb-cursor0" in capsys.readouterr().err
    assert opened == []


def test_missing_libraries_are_installed_by_root_and_qt_is_tried_again(
    root: Path, pip: Pip, opened: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "probe", Qt(["no libEGL", ""]))
    monkeypatch.setattr(shutil, "which", lambda _: "/usr/bin/apt-get")
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    assert start.main(["--tests"]) == 5
    assert ["apt-get", "update"] in pip.asked
    assert any(command[:2] == ["apt-get", "install"] and "libegl1" in command for command in pip.asked)


def test_a_qt_that_cannot_start_says_its_last_line(tmp_path: Path) -> None:
    (tmp_path / "PySide6.py").write_text("raise ImportError('libXYZ.so.1: no such file')\n")
    said = start.probe(Path(sys.executable), tmp_path, offscreen=True)
    assert "libXYZ.so.1" in said


@pytest.mark.parametrize(
    ("ends", "good"),
    [("sys.exit(0)", True), ("sys.exit(1)", True), ("sys.exit(2)", False), ("raise RuntimeError('broken')", False)],
)
def test_problems_in_the_book_are_no_failure_but_faults_are(ends: str, good: bool, tmp_path: Path) -> None:
    (tmp_path / "costing.py").write_text(f"import sys\n{ends}\n")
    if good:
        start.costing(Path(sys.executable), tmp_path, "reporting", [], shown=False)
    else:
        with pytest.raises(start.Stop, match="reporting failed"):
            start.costing(Path(sys.executable), tmp_path, "reporting", [], shown=False)


def test_the_lock_names_versions_only() -> None:
    lines = LOCK.read_text(encoding="ascii").splitlines()
    assert lines[0].startswith("#")
    pins = [line for line in lines if line and not line.startswith("#")]
    assert [line for line in pins if not re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.!+_-]+", line)] == []
    assert "://" not in "".join(lines)
    names = [canonical(line.partition("==")[0]) for line in pins]
    assert len(set(names)) == len(names)


def test_the_lock_holds_all_that_pyproject_names() -> None:
    lock = {
        canonical(line.partition("==")[0])
        for line in LOCK.read_text(encoding="ascii").splitlines()
        if line and not line.startswith("#")
    }
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["tests"]]
    names = [re.match(r"[A-Za-z0-9._-]+", line) for line in wanted]
    assert {canonical(name[0]) for name in names if name} - lock == set()
