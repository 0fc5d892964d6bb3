"""The command ``slackloop``: parses the words of the command line and hands them to one command each."""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from types import ModuleType

from slackloop import __version__

GOOD, FINDINGS, REFUSED = 0, 1, 2
EPILOG = "Exit status: 0 good, 1 findings of level error, 2 a file that cannot be read or is refused."
RECORDS_EPILOG = "Exit status: 0 nothing fails, 1 a value fails or is not plausible, 2 nothing could be read."
LOCATE_EPILOG = "Exit status: 0 places found, 1 no place on the path would read so, 2 a job or value that is refused."
VERIFY_EPILOG = "Exit status: 0 current, 1 superseded or altered, 2 unknown."

# What else is installed has no say in how a job is read, and to look for it takes a while.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def build_parser() -> argparse.ArgumentParser:
    """The whole command line."""
    parser = argparse.ArgumentParser(
        prog="slackloop",
        description="One job file in, a site-specific installation handbook for a two-wire decoder path out.",
        epilog=EPILOG,
    )
    parser.add_argument("--version", action="version", version=f"slackloop {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)

    new = commands.add_parser("new", help="write a commented job to start from into a new folder")
    new.add_argument("folder", type=Path, metavar="FOLDER")

    survey = commands.add_parser("import", help="make a job file of surveyed points, CSV or GeoJSON", epilog=EPILOG)
    survey.set_defaults(module="survey")
    survey.add_argument("files", type=Path, nargs="+", metavar="FILE", help="points: id with lon and lat, or x and y")
    survey.add_argument("--job", type=Path, metavar="BASE.yml", help="gives all but the boxes; else the start file")
    survey.add_argument("--along", type=Path, metavar="LINES.geojson", help="trenches or pipes that runs follow")
    survey.add_argument("--from", type=_place, dest="place", metavar="X,Y", help="the controller's place")
    survey.add_argument("-o", "--output", type=Path, required=True, metavar="JOB.yml", help="the job file to write")

    check = commands.add_parser("check", help="read and compute a job, and list what is found", epilog=EPILOG)
    check.add_argument("job", type=Path, nargs="?", metavar="JOB")
    check.add_argument("--json", action="store_true", help="print one JSON object, SI units, and nothing else")
    check.add_argument("--explain", metavar="CODE", help="say what a finding's code means and what to do; needs no JOB")

    build = commands.add_parser("build", help="write website and printable PDF", epilog=EPILOG)
    build.add_argument("jobs", type=Path, nargs="+", metavar="JOB")
    build.add_argument("-o", "--output", type=Path, metavar="DIR", help="where to write; JOB's name + -handbook here")
    build.add_argument(
        "--records", type=Path, nargs="+", default=(), metavar="FILE",
        help="what was recorded on site, to show results and hand over what was built; for one JOB",
    )  # fmt: skip
    build.add_argument("--jobs", type=_positive, default=1, dest="workers", metavar="N", help="how many at a time")
    build.add_argument("--paper", choices=("a4", "letter"), help="paper size; if not given, by the units of the job")
    build.add_argument("--separate", action="store_true", help="print the three parts apart, not as handbook.pdf")
    build.add_argument("--strict", action="store_true", help="treat every warning of the build as an error")

    serve = commands.add_parser("serve", help="show the website and build it again at every change")
    serve.add_argument("job", type=Path, metavar="JOB")
    serve.add_argument("--port", type=_positive, default=8000, help="port number; 8000 if not given")

    commands.add_parser("schema", help="print the JSON Schema of the job file, for editors")

    _site_commands(commands)
    _control_commands(commands)
    return parser


def _site_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """The commands for what was measured on site."""
    locate = commands.add_parser(
        "locate", help="from a loop reading to the places where a short would give it", epilog=LOCATE_EPILOG
    )
    locate.add_argument("job", type=Path, metavar="JOB")
    locate.add_argument("--loop-ohms", required=True, metavar="X", help="reading at the controller in ohms, as 6.1")
    locate.add_argument(
        "--temperature",
        metavar="T",
        help="soil temperature with its unit, as '12 degC' or '54 degF'; if not given, the job's range",
    )
    locate.add_argument(
        "--open", action="store_true", help="the ring is open at the 'to' end of its closure, as while it is laid"
    )
    locate.add_argument("--json", action="store_true", help="print the places as JSON")
    records = commands.add_parser(
        "records", help="judge what was measured by the limits of the handbook", epilog=RECORDS_EPILOG
    )
    records.add_argument("job", type=Path, metavar="JOB")
    records.add_argument("files", type=Path, nargs="+", metavar="FILE", help="records as the pages save them, CSV")
    records.add_argument("--json", action="store_true", help="print one JSON object and nothing else")


def _control_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """The commands that keep revisions apart."""
    release = commands.add_parser("release", help="freeze the revision that a job states, beside the job")
    release.add_argument("job", type=Path, metavar="JOB")
    release.add_argument("--draft", action="store_true", help="release with things still open, marked as a draft")
    release.add_argument("--paper", choices=("a4", "letter"), help="paper size; by the job's units when left out")

    changes = commands.add_parser("changes", help="list what differs between two revisions, and which cards are void")
    for name in ("old", "new"):
        changes.add_argument(
            name, type=Path, metavar=name.upper(), help="a release, a handbook's folder, its PDF, or a job"
        )
    changes.add_argument("--json", action="store_true", help="print one JSON object and nothing else")

    verify = commands.add_parser(
        "verify", help="say whether a copy is current, superseded, altered or unknown", epilog=VERIFY_EPILOG
    )
    verify.add_argument(
        "file", metavar="FILE", help="a PDF, a job, a record file, a website folder, or the text of a card's code"
    )
    verify.add_argument(
        "--releases", type=Path, metavar="DIR",
        help="the releases, or the list of hashes that the firm publishes; beside FILE when left out",
    )  # fmt: skip
    verify.add_argument(
        "--key", type=Path, metavar="FILE",
        help="the firm's keys (allowed signers, or a .pub file): the list of hashes must be signed by one of them",
    )  # fmt: skip
    verify.add_argument("--json", action="store_true", help="print one JSON object and nothing else")


def _positive(text: str) -> int:
    """A whole number of 1 or more. Raises ``ArgumentTypeError`` for anything else."""
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0
    if value < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number of 1 or more")
    return value


def _place(text: str) -> tuple[float, float]:
    """Two numbers with a comma between. Raises ``ArgumentTypeError`` for anything else."""
    try:
        x, y = (float(each) for each in text.split(","))
    except ValueError:
        x = y = float("nan")
    if not (abs(x) < float("inf") and abs(y) < float("inf")):
        raise argparse.ArgumentTypeError(f"{text!r} is no place: write X,Y, as -0.1276,51.5072")
    return x, y


def _joined(words: Sequence[str]) -> list[str]:
    """The words with a place that begins with a minus put behind its option, where it would pass for an option."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] == "--from" and word.startswith("-"):
            joined[-1] = f"--from={word}"
        else:
            joined.append(word)
    return joined


def _make_streams_safe() -> None:
    """Output never fails on a character that the terminal lacks, and a closed stream swallows what is said."""
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115
        elif isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def main(words: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; a person never sees a traceback for a file of theirs."""
    _make_streams_safe()
    parser = build_parser()
    asked = parser.parse_args(_joined(sys.argv[1:] if words is None else words))
    if asked.command == "check" and (asked.job is None) == (asked.explain is None):
        parser.error("check takes a JOB, or --explain CODE")
    try:
        status: int = _module_of(getattr(asked, "module", asked.command)).run(asked)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("slackloop: stopped", file=sys.stderr)
        return 130
    except BrokenPipeError:
        _close_output()
        return 141
    except Exception as problem:
        said = _mishap(problem)
        if said is None:
            raise
        print(f"slackloop: {said}", file=sys.stderr)
        return REFUSED
    return status


def _module_of(command: str) -> ModuleType:
    """The module of a command; modules stay for good, so they are not looked through for values in circles."""
    name, was = f"slackloop.commands.{command}", gc.isenabled()
    if name in sys.modules:
        return sys.modules[name]
    gc.disable()
    try:
        module = import_module(name)
        gc.freeze()
    finally:
        if was:
            gc.enable()
    return module


def _mishap(problem: Exception) -> str | None:
    """What the machine could not do, in words; nothing for an error that is a fault of this program."""
    from slackloop.commands.build_stop import lacks_memory

    if lacks_memory(problem):
        return "this needs more memory than it could get; nothing was changed. Close other programs and try again."
    if not isinstance(problem, OSError):
        return None
    why = (problem.strerror or str(problem)).lower()
    if problem.filename:
        return f"{os.fsdecode(problem.filename)}: {why}"
    _close_output()
    return f"standard output cannot be written: {why}"


def _close_output() -> None:
    """Send the rest of the output nowhere, so that Python does not try again at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    raise SystemExit(main())
