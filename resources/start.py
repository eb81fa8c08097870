"""Set the program up in its own folder and start it: ``python3 resources/start.py`` (or ``py``).

Needs nothing but Python. Any Python 3 can parse this file, so that an old one can say what it lacks.
"""
# Old syntax on purpose: no f-strings, no unpacking in displays, quoted annotations, imports after the version check.
# ruff: noqa: E402, RUF005, UP032

import sys


def too_old(version: "tuple[int, ...]") -> str:
    """What to tell somebody whose Python is too old; empty when it will do."""
    if tuple(version[:2]) >= (3, 11):
        return ""
    return "start: needs Python 3.11 or later; this is {}.{}. Install a newer Python and start with that one.".format(
        version[0], version[1]
    )


if too_old(sys.version_info[:3]):
    sys.stderr.write(too_old(sys.version_info[:3]) + "\n")
    sys.exit(2)

import argparse
import hashlib
import importlib
import importlib.util
import json
import os
import platform
import shutil
import subprocess
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCK = "resources/lock.txt"
STAMP = "stillroom-stamp.json"
REPORTS = "reports"
LEAST_FREE = 30 * 1024 * 1024  # bytes; less than this left after a failure is taken for its reason
ABOUT = """Set Stillroom Ledger up in its own folder and start it.

The first start makes the folder .venv beside README.md and installs the program into it (a network connection is
needed for that, once). Later starts install nothing unless the folder moved, Python changed, or pyproject.toml or
resources/lock.txt did. Then the window opens on the sample bar, which is kept as sample.stillroom in this folder. With
no screen it says so, writes the sample's reports to the folder reports instead, and prints what to try next. To begin
anew, delete .venv; no book is ever kept in there.

Exit: 0 good, 2 something is missing (one line says what to do); with --tests, the exit code of the test run."""

# What Qt loads on Debian, found by loading and drawing in an empty system: without a screen, and with one.
QUIET_LIBS = ("libegl1", "libgl1", "libglib2.0-0", "libxkbcommon0", "libdbus-1-3", "libfontconfig1")
SCREEN_LIBS = (
    "libxcb-cursor0", "libxkbcommon-x11-0", "libxcb-icccm4", "libxcb-keysyms1", "libxcb-shape0",
    "libwayland-client0", "libwayland-cursor0",
)  # fmt: skip
PROBE = "from PySide6.QtWidgets import QApplication; import PySide6.QtSvg; QApplication([])"

# What pip or venv may print, and what a person can do about it; the first that fits is told.
REMEDIES = (
    (("No space left on device", "Errno 28", "not enough space", "Disk quota exceeded"),
     "the disk is full: free 1 GB on the disk of this folder and of the temporary folder, then run this again"),
    (("CERTIFICATE_VERIFY_FAILED",),
     "the package index's certificate is not trusted: set PIP_CERT to your network's certificate file, "
     "then run this again"),
    (("NewConnectionError", "NameResolutionError", "ConnectTimeoutError", "ReadTimeoutError", "ConnectionResetError",
      "ProxyError", "SSLError", "Name or service not known", "Temporary failure in name resolution",
      "getaddrinfo failed", "nodename nor servname", "Connection refused", "Network is unreachable", "Read timed out"),
     "the package index cannot be reached: connect to the network (behind a proxy, set HTTPS_PROXY), "
     "then run this again"),
    (("Permission denied", "Errno 13", "WinError 5", "Read-only file system", "Errno 30"),
     "a file or folder may not be written: close programs that use .venv, or move this folder to where you may write, "
     "then run this again"),
    (("ResolutionImpossible", "conflicting dependencies"),
     "the versions in resources/lock.txt do not go with pyproject.toml: renew the lock as its first lines say"),
    (("No matching distribution found", "requires a different Python"),
     "a version named in resources/lock.txt is not offered for this Python and system: use the Python named in the "
     "lock's first lines, or renew the lock as they say"),
    (("subprocess-exited-with-error", "Failed to build", "Failed building wheel"),
     "a package had to be built here and could not be: use the Python named in the first lines of resources/lock.txt, "
     "for which packages come ready made"),
)  # fmt: skip


class Stop(Exception):
    """Something a person has to mend first. Its text is the one line that says what and how."""


def say(text: str = "") -> None:
    """A line on the terminal, at once, so that it stands before what a child process prints."""
    print(text, flush=True)


# What is installed, and whether that is still right


def python_of(venv: Path) -> Path:
    """The Python inside an environment."""
    return venv / "Scripts" / "python.exe" if os.name == "nt" else venv / "bin" / "python"


def home_python() -> str:
    """The Python that makes environments: never the one inside .venv, which may be about to be removed."""
    return str(getattr(sys, "_base_executable", None) or sys.executable)


def place(root: Path) -> str:
    """Differs when the folder has moved or another Python runs: then the environment has to be made anew."""
    python = "{} {}.{} {} {}".format(
        sys.implementation.name, sys.version_info[0], sys.version_info[1], sys.platform, platform.machine()
    )
    return hashlib.sha256("\n".join((python, str(root))).encode("utf-8", "surrogateescape")).hexdigest()


def needs(root: Path) -> str:
    """Differs when what is to be installed does: then installing once more into the same environment is enough."""
    digest = hashlib.sha256()
    for name in ("pyproject.toml", LOCK):
        path = root / name
        if not path.is_file():
            raise Stop("{} is missing from {}: take a complete copy of the program".format(name, root))
        digest.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


def read_stamp(venv: Path) -> "dict[str, object] | None":
    """What the last start left in the environment; empty when it was cut short, None when none was left."""
    path = venv / STAMP
    if not path.exists():
        return None
    try:
        stamp = json.loads(path.read_text(encoding="utf-8"))
    except ValueError:
        return {}
    return stamp if isinstance(stamp, dict) else {}


def write_stamp(venv: Path, stamp: "dict[str, object]") -> None:
    """Leave word for the next start. An empty stamp means: not finished."""
    (venv / STAMP).write_text(json.dumps(stamp, sort_keys=True) + "\n", encoding="utf-8")


def extras_in(stamp: "dict[str, object] | None") -> "set[str]":
    """The extras that a stamp says are installed."""
    found = (stamp or {}).get("extras")
    return {str(extra) for extra in found} if isinstance(found, list) else set()


def works(python: Path) -> bool:
    """Whether an environment that this script did not make has a pip and a Python that will do."""
    probe = "import sys, pip; sys.exit(sys.version_info < (3, 11) or sys.prefix == sys.base_prefix)"
    try:
        done = subprocess.run(
            [str(python), "-c", probe], stdin=subprocess.DEVNULL, capture_output=True, timeout=60, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return done.returncode == 0


def decide(root: Path, extras: "set[str]") -> "tuple[str, str]":
    """What to do with .venv, "make", "install" or "nothing", and why, in a few words."""
    venv = root / ".venv"
    if not venv.exists():
        return "make", "first start"
    stamp = read_stamp(venv)
    if stamp is None:
        return ("install", ".venv was made by hand") if works(python_of(venv)) else ("make", ".venv is not whole")
    if not stamp or not python_of(venv).exists():
        return "make", "the last set-up was not finished"
    if stamp.get("place") != place(root):
        return "make", "the folder has moved or Python has changed"
    if stamp.get("needs") != needs(root):
        return "install", "pyproject.toml or resources/lock.txt has changed"
    if not extras <= extras_in(stamp):
        return "install", "the tests need more packages"
    return "nothing", ""


# Setting up


def run_quietly(command: "list[str]", root: Path) -> "tuple[int, list[str]]":
    """Run a command, showing its present line on a terminal only; its exit code and everything it printed."""
    lines = []
    shown = sys.stdout.isatty()
    env = dict(os.environ, PYTHONIOENCODING="utf-8", PIP_USER="0")
    with subprocess.Popen(
        command, cwd=str(root), env=env, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        encoding="utf-8", errors="replace",
    ) as process:  # fmt: skip
        for line in process.stdout or ():
            lines.append(line.rstrip())
            if shown:
                print("\r  {:<76.76}".format(line.strip()), end="", flush=True)
    if shown:
        print("\r" + " " * 78 + "\r", end="", flush=True)
    return process.returncode, [line for line in lines if line.strip()]


def remedy(lines: "list[str]") -> str:
    """The one line for a person, from what pip or venv printed."""
    text = "\n".join(lines)
    for signs, advice in REMEDIES:
        if any(sign in text for sign in signs):
            return advice
    return "mend that, delete the folder .venv, then run this again"


def must_run(command: "list[str]", root: Path, what: str) -> None:
    """Run a command that has to succeed; Stop with its last lines shown when it does not."""
    code, lines = run_quietly(command, root)
    if code:
        for line in lines[-12:]:
            sys.stderr.write("  | " + line[:160] + "\n")
        if min(shutil.disk_usage(folder).free for folder in (str(root), tempfile.gettempdir())) < LEAST_FREE:
            lines.append("No space left on device")  # venv hides why it failed
        raise Stop("{} failed (its last lines are above): {}".format(what, remedy(lines)))


def can_make() -> bool:
    """Whether this Python has all that making an environment takes; Debian ships it as a package of its own."""
    importlib.invalidate_caches()
    return all(importlib.util.find_spec(name) is not None for name in ("venv", "ensurepip"))


def need_venv(root: Path) -> None:
    """Install what Debian leaves out of its Python if we may, else Stop with the line that does it."""
    if can_make():
        return
    line = "apt-get install -y python3-venv"
    if shutil.which("apt-get") is None:
        raise Stop("this Python comes without venv and ensurepip: install your system's package for them (often called "
                   "python3-venv) or a complete Python, then run this again")  # fmt: skip
    if getattr(os, "geteuid", lambda: 1)() != 0:
        raise Stop("this Python comes without venv: run  sudo " + line + "  and then this again")
    say("This Python comes without venv; running: apt-get update && " + line)
    run_quietly(["apt-get", "update"], root)  # an old list may still do
    must_run(line.split(), root, line)
    if not can_make():
        own = "python{}.{}-venv".format(sys.version_info[0], sys.version_info[1])
        raise Stop("python3-venv is for another Python: run  apt-get install -y " + own + "  and then this again")


def make(root: Path) -> None:
    """An empty environment in .venv, in place of whatever was there, stamped as not finished."""
    need_venv(root)
    venv = root / ".venv"
    if venv.is_symlink() or (venv.exists() and not venv.is_dir()):
        raise Stop("{} is not a folder of its own: remove or rename it, then run this again".format(venv))
    if venv.exists():
        shutil.rmtree(str(venv))
    venv.mkdir()
    write_stamp(venv, {})
    must_run([home_python(), "-m", "venv", str(venv)], root, "making .venv")


def install(root: Path, extras: "set[str]") -> None:
    """The program and what it needs, into .venv. If pip refuses, it has changed nothing and neither has the stamp."""
    venv = root / ".venv"
    before = read_stamp(venv)
    wanted = needs(root)
    kept = extras_in(before) if before and before.get("needs") == wanted else set()
    if before is not None:  # an environment made by hand is never taken for one that was cut short
        write_stamp(venv, {})
    target = ".[" + ",".join(sorted(extras)) + "]" if extras else "."
    command = [str(python_of(venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    command += ["--progress-bar", "off", "--retries", "3", "--constraint", LOCK, "--editable", target]
    try:
        must_run(command, root, "installing")
    except Stop:
        if before:
            write_stamp(venv, before)
        raise
    write_stamp(venv, {"place": place(root), "needs": wanted, "extras": sorted(kept | extras)})


def set_up(root: Path, extras: "set[str]") -> Path:
    """Bring .venv up to date, doing nothing when it is; the Python in it."""
    what, why = decide(root, extras)
    if what != "nothing":
        say("Setting up .venv ({}){}".format(why, ": this takes a minute or a few." if what == "make" else "."))
        began = time.monotonic()
        if what == "make":
            make(root)
        install(root, extras)
        say("Installed in {:.0f} s.".format(time.monotonic() - began))
    return python_of(root / ".venv")


# Starting


def child(python: Path, root: Path, *words: str) -> int:
    """Run a module of the installed program on this terminal; its exit code, as a shell would give it."""
    code = subprocess.call([str(python), "-m"] + list(words), cwd=str(root))
    return code if code >= 0 else 128 - code


def costing(python: Path, root: Path, what: str, words: "list[str]", shown: bool) -> None:
    """Run a terminal command of the program; Stop when it fails. Problems found in the book (exit 1) are no failure,
    but Python's own exit 1 after a fault in the program is."""
    done = subprocess.run(
        [str(python), "-m", "costing"] + words, cwd=str(root), check=False, stdin=subprocess.DEVNULL,
        stdout=None if shown else subprocess.DEVNULL, stderr=subprocess.PIPE, encoding="utf-8", errors="replace",
    )  # fmt: skip
    sys.stderr.write(done.stderr)
    if done.returncode not in (0, 1) or "Traceback (most recent call last)" in done.stderr:
        raise Stop("{} failed; the lines above say why".format(what))


def write_reports(python: Path, root: Path) -> None:
    """The reports of a fresh sample book, into the folder reports."""
    with tempfile.TemporaryDirectory(prefix="stillroom-") as folder:
        book = str(Path(folder) / "sample.stillroom")
        costing(python, root, "making the sample book", ["new", book, "--sample"], shown=False)
        costing(python, root, "writing the sample's reports", ["report", book, "--out", REPORTS], shown=True)


def next_commands(root: Path) -> "list[str]":
    """What to type next, as it must be typed here."""
    python = str(python_of(Path(".venv")))
    lines = [] if Path.cwd() == root else ['cd "{}"'.format(root)]
    return lines + [
        python + " -m costing new bar.stillroom --sample",
        python + " -m costing cost bar.stillroom",
        python + " -m costing --help",
    ]


# Qt and the screen


def has_screen() -> bool:
    """Whether there is a screen to open a window on."""
    if sys.platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


def probe(python: Path, root: Path, offscreen: bool) -> str:
    """Start Qt in a process of its own, because where it cannot start it ends the process. "" when it can, else the
    last line it printed."""
    env = dict(os.environ)
    if offscreen:
        env["QT_QPA_PLATFORM"] = "offscreen"
    try:
        done = subprocess.run(
            [str(python), "-c", PROBE], cwd=str(root), env=env, stdin=subprocess.DEVNULL, capture_output=True,
            timeout=120, check=False, encoding="utf-8", errors="replace",
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return "Qt did not start within two minutes"
    if done.returncode == 0:
        return ""
    lines = [line for line in (done.stderr or "").splitlines() if line.strip()]
    return lines[-1].strip() if lines else "Qt ended with code {}".format(done.returncode)


def need_qt(python: Path, root: Path, offscreen: bool) -> None:
    """See that Qt starts. On Debian as root, install the libraries it lacks; else Stop with the line that does it."""
    fault = probe(python, root, offscreen)
    if not fault:
        return
    libraries = QUIET_LIBS if offscreen else QUIET_LIBS + SCREEN_LIBS
    line = "apt-get install -y --no-install-recommends " + " ".join(libraries)
    if shutil.which("apt-get") is None:
        raise Stop("Qt cannot start ({}): install your system's packages for it (on Debian they are {}), then run this "
                   "again".format(fault, " ".join(libraries)))  # fmt: skip
    if getattr(os, "geteuid", lambda: 1)() != 0:
        raise Stop("Qt cannot start ({}): run  sudo {}  and then this again".format(fault, line))
    say("Qt lacks libraries; running: apt-get update && " + line)
    run_quietly(["apt-get", "update"], root)  # an old list may still do
    must_run(line.split(), root, line)
    fault = probe(python, root, offscreen)
    if fault:
        raise Stop("Qt still cannot start ({}): the line above was run and did not help".format(fault))


def open_program(python: Path, root: Path) -> int:
    """The window on the sample book where there is a screen, else the sample's reports and what to type next."""
    if has_screen():
        need_qt(python, root, offscreen=False)
        return open_window(python, root)
    say("There is no screen here to open the window on, so the sample bar's reports are written instead.")
    write_reports(python, root)
    say()
    say("The sample bar's reports are in " + str(root / REPORTS))
    say("Try next:")
    for line in next_commands(root):
        say("  " + line)
    return 0


def run_tests(python: Path, root: Path) -> int:
    """The whole suite; the window's tests need no screen."""
    need_qt(python, root, offscreen=True)
    return child(python, root, "pytest", "-n", "auto")


def open_window(python: Path, root: Path) -> int:
    """The window on the sample book, which is made once and kept beside the program."""
    book = "sample.stillroom"
    if not (root / book).exists():
        costing(python, root, "making the sample book", ["new", book, "--sample"], shown=False)
    return child(python, root, "ui", book)


def parser() -> argparse.ArgumentParser:
    """The command line."""
    top = argparse.ArgumentParser(
        prog="start.py", description=ABOUT, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    top.add_argument("--tests", action="store_true", help="install what the tests need too, and run the whole suite")
    return top


def main(argv: "list[str] | None" = None) -> int:
    """Set up, then start the program or its tests."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a folder's name that the terminal cannot show must not stop us
    args = parser().parse_args(argv)
    try:
        python = set_up(ROOT, {"tests"} if args.tests else set())
        return run_tests(python, ROOT) if args.tests else open_program(python, ROOT)
    except Stop as stop:
        sys.stderr.write("start: " + str(stop) + "\n")
        return 2
    except BrokenPipeError:  # the reader of our output has gone: nothing to tell anybody
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        sys.stderr.write("start: {}: {}\n".format(error, remedy([str(error)])))
        return 2
    except KeyboardInterrupt:
        sys.stderr.write("\nstart: stopped; run this again to go on\n")
        return 130


if __name__ == "__main__":
    sys.exit(main())
