"""Cover over each run, held against the code basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.compute.places import JobPlaces, some_of
from slackloop.job.finding import At, Finding
from slackloop.job.models import Job
from slackloop.path.network import Network, Run
from slackloop.reference.code_basis import Binding, CodeBasis
from slackloop.units.unit_table import METRES_PER_INCH

_WITHIN_M = 1e-9



@dataclass(frozen=True)
class CoverAnswer:
    """Cover of one run, metres. ``min_m`` is None where the code basis gives no figure.

    ``binding`` says whether the row binds, whether that is open, or that there is no figure;
    ``needs_raceway`` that the cable runs in a raceway there.
    """

    run_id: str
    cover_m: float
    min_m: float | None
    row: str
    clause: str
    binding: Binding
    fits: bool | None
    who_decides: str
    column: str = ""
    min_inches: float | None = None
    question: str = ""
    needs_raceway: bool = False


@dataclass(frozen=True)
class LeastCover:
    """Least cover at one place: metres and the source's own inches, with the row and column it was read from."""

    min_m: float | None
    min_inches: float | None
    row: str
    column: str
    binding: Binding
    question: str


NO_FIGURE = LeastCover(None, None, "", "", "no figure", "")


def least_cover(basis: CodeBasis, surface: str, volts: float) -> LeastCover:
    """Least cover under a surface for a path of ``volts``, as the basis prints it.

    The metres are the millimetres that the source prints, not its inches converted. Valid for every surface of the
    job format; ``NO_FIGURE`` where the basis gives none.
    """
    if basis.cover is None:
        return NO_FIGURE
    row, column = basis.cover.row(surface), basis.cover.column(volts)
    title = f"{column.column}: {basis.cover.columns[column.column]}"
    cell = row.cells[column.column]
    return LeastCover(cell.mm / 1000.0, cell.inches, row.location, title, column.binding, column.question)


def run_covers(job: Job, network: Network, basis: CodeBasis) -> tuple[CoverAnswer, ...]:
    """Cover of every run, feeding runs in path order and then closing runs."""
    return tuple(_answer(run, basis, job.supply.volts.si) for run in network.all_runs)


def _answer(run: Run, basis: CodeBasis, volts: float) -> CoverAnswer:
    least = least_cover(basis, run.surface, volts)
    clause = basis.clause(basis.cover.clause) if basis.cover is not None else None
    return CoverAnswer(
        run_id=run.id,
        cover_m=run.cover_m,
        min_m=least.min_m,
        row=least.row,
        clause=f"{clause.source} {clause.clause}" if clause is not None else "",
        binding=least.binding,
        fits=None if least.min_m is None else run.cover_m >= least.min_m - _WITHIN_M,
        who_decides=basis.who_decides_cover,
        column=least.column,
        min_inches=least.min_inches,
        question=least.question,
        needs_raceway=basis.cover is not None and run.surface in basis.cover.raceway_surfaces,
    )


def cover_findings(job: Job, network: Network, covers: Sequence[CoverAnswer], basis: CodeBasis) -> tuple[Finding, ...]:
    """An error for each run below a row that binds; one warning a row that may bind; notes for what to ask."""
    places = JobPlaces(job)
    errors: list[Finding] = []
    doubtful: dict[tuple[str, float], list[tuple[Run, CoverAnswer]]] = {}
    raceway: list[tuple[Run, CoverAnswer]] = []
    for run, answer in zip(network.all_runs, covers, strict=True):
        if answer.needs_raceway:
            raceway.append((run, answer))
        if answer.min_m is None or answer.fits:
            continue
        if answer.binding == "binds":
            errors.append(_too_little(job, run, answer, places))
        else:
            doubtful.setdefault((answer.row, answer.cover_m), []).append((run, answer))
    warnings = [_question(job, runs, places) for runs in doubtful.values()]
    return (*errors, *warnings, *_raceway(raceway, places), *_no_figure(job, basis))


def _cover_at(job: Job, run: Run, places: JobPlaces) -> At:
    """Where the cover of a run is written: on the run itself, or in the rules."""
    if run.closure:
        own = any(c.cover is not None and (c.from_, c.to) == (run.from_id, run.to_id) for c in job.path.ring_closures)
    else:
        own = any(box.cover is not None and box.id == run.to_id for box in job.path.boxes)
    return places.run(run, "cover") if own else ("rules", "cover")


def _end(run: Run) -> str:
    return "" if run.closure else run.to_id


def _too_little(job: Job, run: Run, answer: CoverAnswer, places: JobPlaces) -> Finding:
    return Finding(
        level="error",
        code="cover-low",
        message=f"Run {run.id}: cover is {_mm(answer.cover_m)}, and {answer.clause} asks for {_printed(answer)} "
        f"({answer.row}; column {answer.column}).",
        at=_cover_at(job, run, places),
        box=_end(run),
        expected=f"{_printed(answer)} or more",
        hint=f"Ask for {_printed(answer)} of cover on this run.",
    )


def _question(job: Job, runs: list[tuple[Run, CoverAnswer]], places: JobPlaces) -> Finding:
    run, answer = runs[0]
    names = [each.id for each, _ in runs]
    return Finding(
        level="warning",
        code="cover-open",
        message=f"Cover is {_mm(answer.cover_m)} on {len(runs)} run{'s' if len(runs) > 1 else ''} ({some_of(names)}); "
        f"{answer.clause} prints {_printed(answer)} ({answer.row}; column {answer.column}), and at "
        f"{job.supply.volts.si:g} V it is open whether that row binds. {answer.question}",
        at=_cover_at(job, run, places),
        box=_end(run) if len(runs) == 1 else "",
        expected="an answer from the authority, or the printed cover",
        hint=answer.who_decides,
        asks="the authority",
        of=tuple(names),
    )


def _raceway(runs: list[tuple[Run, CoverAnswer]], places: JobPlaces) -> list[Finding]:
    return [
        Finding("note", "raceway-needed", f"Run {run.id} passes under a building: the cable runs in a raceway there "
                f"({answer.clause}).", at=places.run(run, "surface"), box=_end(run))
        for run, answer in runs
    ]  # fmt: skip


def _no_figure(job: Job, basis: CodeBasis) -> list[Finding]:
    if basis.cover is not None:
        return []
    return [
        Finding("note", "cover-no-figure", f"{basis.name}: no cover figure to hold {_mm(job.rules.cover.si)} against. "
                f"{basis.who_decides_cover}", at=("job", "code_basis"))
    ]  # fmt: skip


def _printed(answer: CoverAnswer) -> str:
    """The least cover in the source's own two figures."""
    return f"{(answer.min_m or 0.0) * 1000.0:.0f} mm ({answer.min_inches or 0.0:g} in)"


def _mm(metres: float) -> str:
    """Millimetres, and inches to the nearest 1/4 as a tape shows them and the pages print them."""
    whole, quarters = divmod(round(metres / METRES_PER_INCH * 4), 4)
    return f"{metres * 1000.0:.0f} mm ({whole}{('', ' 1/4', ' 1/2', ' 3/4')[quarters]} in)"
