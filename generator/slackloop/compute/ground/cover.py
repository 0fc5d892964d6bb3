"""Cover over each run, compared with the code basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slackloop.reference.code_basis import Binding, CodeBasis, Laying
from slackloop.site.models import Job
from slackloop.site.network import JobPlaces, Network, Run
from slackloop.source.finding import At, Finding, Level
from slackloop.source.suggestions import FEW, listed
from slackloop.units.amount import count
from slackloop.units.figure import printed, stated, written

_WITHIN_M = 1e-9


@dataclass(frozen=True)
class LeastCover:
    """Least cover at one place: metres and the source's own inches, with the row and column it was read from.

    ``min_m`` is None where the code basis gives no figure; ``binding`` says whether the row binds, whether that is
    open, or that there is no figure. ``otherwise_m`` is the least cover for a cable or duct that is not of the kind
    that ``cable_question`` asks about; ``own_column`` whether the table has a column for the way in which it lies.
    """

    min_m: float | None
    min_inches: float | None
    row: str
    column: str
    binding: Binding
    question: str
    cable_question: str = ""
    otherwise_m: float | None = None
    otherwise_inches: float | None = None
    own_column: bool = True


@dataclass(frozen=True, kw_only=True)
class CoverAnswer(LeastCover):
    """Cover of one run, metres, with the least that it may be; ``laying`` is how the run lies.

    ``needs_raceway`` says that the cable runs in a raceway there.
    """

    run_id: str
    cover_m: float
    clause: str
    fits: bool | None
    who_decides: str
    needs_raceway: bool
    laying: Laying

    @property
    def rests_on_kind(self) -> bool:
        """Whether the cover is enough only where the cable or duct is of the kind that the column is for."""
        return bool(self.fits) and self.otherwise_m is not None and self.cover_m < self.otherwise_m - _WITHIN_M


COVER_OPEN = "cover-open"
"""The code of the question whether a row of the cover table binds."""
NO_FIGURE = LeastCover(None, None, "", "", "no figure", "")


def least_cover(basis: CodeBasis, surface: str, volts: float, laying: Laying = "cable") -> LeastCover:
    """Least cover under a surface for a path of ``volts`` that lies so, as the basis prints it.

    A way of laying that the table has no column for is read as direct burial; ``own_column`` then says no.

    The metres are the millimetres that the source prints, not its inches converted. Valid for every surface of the
    job format; ``NO_FIGURE`` where the basis gives none.
    """
    if basis.cover is None:
        return NO_FIGURE
    row, column = basis.cover.row(surface), basis.cover.column(volts, laying)
    title = f"{column.column}: {basis.cover.columns[column.column]}"
    cell, otherwise = row.cells[column.column], row.cells.get(column.otherwise)
    return LeastCover(
        min_m=cell.mm / 1000.0,
        min_inches=cell.inches,
        row=row.location,
        column=title,
        binding=column.binding,
        question=column.question,
        cable_question=column.cable_question,
        otherwise_m=otherwise.mm / 1000.0 if otherwise else None,
        otherwise_inches=otherwise.inches if otherwise else None,
        own_column=laying in column.laid,
    )


def laying_of(job: Job, run: Run) -> Laying:
    """How a run lies: in a duct for its whole length, which also holds a cable with armour; with armour; or bare."""
    if run.duct is not None:
        return "duct"
    return "armour" if job.cables[run.cable].armour else "cable"


Doubted = list[tuple[Run, CoverAnswer]]
"""Runs that share one finding, each with its answer."""


def run_covers(job: Job, network: Network, basis: CodeBasis) -> tuple[CoverAnswer, ...]:
    """Cover of every run, feeding runs in path order and then closing runs."""
    return tuple(_answer(job, run, basis) for run in network.all_runs)


def _answer(job: Job, run: Run, basis: CodeBasis) -> CoverAnswer:
    laying = laying_of(job, run)
    least = least_cover(basis, run.surface, job.supply.volts.si, laying)
    return CoverAnswer(
        **vars(least),
        run_id=run.id,
        cover_m=run.cover_m,
        clause=basis.cite(basis.cover.clause) if basis.cover is not None else "",
        fits=None if least.min_m is None else run.cover_m >= least.min_m - _WITHIN_M,
        who_decides=basis.who_decides_cover,
        needs_raceway=basis.cover is not None and run.surface in basis.cover.raceway_surfaces,
        laying=laying,
    )


def cover_findings(job: Job, network: Network, covers: Sequence[CoverAnswer], basis: CodeBasis) -> tuple[Finding, ...]:
    """An error for runs below a row that binds; one warning a row that may bind; notes for what to ask."""
    places = JobPlaces(job)
    too_little: dict[tuple[str, float, At], Doubted] = {}
    doubtful: dict[tuple[str, float, At], Doubted] = {}
    kind: dict[tuple[str, float, At], Doubted] = {}
    raceway: Doubted = []
    for run, answer in zip(network.all_runs, covers, strict=True):
        if run.existing:
            continue  # nothing is dug for it
        key = (answer.row, answer.cover_m, _cover_at(run, places))
        if answer.needs_raceway:
            raceway.append((run, answer))
        if answer.min_m is None:
            continue
        if answer.rests_on_kind:
            kind.setdefault(key, []).append((run, answer))
        elif answer.fits:
            continue
        elif answer.binding == "binds":
            too_little.setdefault(key, []).append((run, answer))
        else:
            doubtful.setdefault(key, []).append((run, answer))
    errors = [_too_little(job, runs, places) for runs in too_little.values()]
    warnings = [_question(job, runs, places, basis) for runs in doubtful.values()]
    warnings += [_kind_of_cable(job, runs, places, basis) for runs in kind.values()]
    notes = (*_raceway(raceway, places, basis), *_driveways(job, network, basis), *_no_figure(job, basis))
    notes = (*notes, *_no_column(network, covers))
    return (*errors, *warnings, *notes)


def _cover_at(run: Run, places: JobPlaces) -> At:
    """Where the cover of a run is written: on the run itself, or in the rules."""
    return places.run(run, "cover") if places.part(run).cover is not None else ("rules", "cover")


def _end(run: Run) -> str:
    return "" if run.closure else run.to_id


def _of_runs(job: Job, runs: Doubted, places: JobPlaces, level: Level, code: str, message: str, **told: str) -> Finding:
    """One finding about the cover of runs that share it; ``message`` goes on after what the cover is, and where."""
    run = runs[0][0]
    names = [each.id for each, _ in runs]
    return Finding(
        level=level,
        code=code,
        message=f"Cover is {run.cover.brief(job.job.units)} on {count(len(runs), 'run', 'runs')} ({listed(names, FEW)})"
        f"{message}",
        at=_cover_at(run, places),
        box=_end(run) if len(runs) == 1 else "",
        of=tuple(names),
        **told,
    )


def _too_little(job: Job, runs: Doubted, places: JobPlaces) -> Finding:
    answer = runs[0][1]
    asked = _printed(answer, job)
    message = f", and {answer.clause} asks for {asked} ({answer.row}; column {answer.column})."
    expected, hint = f"{asked} or more", f"Ask for {asked} of cover there."
    return _of_runs(job, runs, places, "error", "cover-low", message, expected=expected, hint=hint)


def _question(job: Job, runs: Doubted, places: JobPlaces, basis: CodeBasis) -> Finding:
    answer, whom = runs[0][1], f"the {basis.words.authority}"
    message = (
        f"; {answer.clause} prints {_printed(answer, job)} ({answer.row}; column {answer.column}), "
        f"and at {written(job.supply.volts.text)} it is open whether that row binds. {answer.question}"
        + (f" {answer.cable_question}" if answer.cable_question else "")
    )
    expected = f"an answer from {whom}, or the printed cover"
    return _of_runs(
        job, runs, places, "warning", COVER_OPEN, message, expected=expected, hint=answer.who_decides, asks=whom
    )


def _kind_of_cable(job: Job, runs: Doubted, places: JobPlaces, basis: CodeBasis) -> Finding:
    answer, whom = runs[0][1], f"the {basis.words.authority}"
    least = _as_printed(job, answer.otherwise_m, answer.otherwise_inches)
    says = "asks for" if answer.binding == "binds" else "prints"
    message = f". {answer.cable_question} Where it is not, {answer.clause} {says} {least} ({answer.row})."
    expected = f"an answer from {whom}, or {least} of cover"
    printed_on = "duct" if answer.laying == "duct" else "cable"
    hint = f"Put the answer under answers:, with the words that are printed on the {printed_on}."
    return _of_runs(job, runs, places, "warning", "cover-cable", message, expected=expected, hint=hint, asks=whom)


def _raceway(runs: Doubted, places: JobPlaces, basis: CodeBasis) -> list[Finding]:
    word = basis.words.raceway
    return [
        Finding("note", "raceway-needed", f"Run {run.id} passes under a building: the cable lies in a {word} there "
                f"({answer.clause}).", at=places.run(run, "surface"), box=_end(run))
        for run, answer in runs
    ]  # fmt: skip


def _no_column(network: Network, covers: Sequence[CoverAnswer]) -> list[Finding]:
    """A note a cable with armour, where the cover table has no column for it."""
    armoured: dict[str, Doubted] = {}
    for run, answer in zip(network.all_runs, covers, strict=True):
        if not (answer.own_column or run.existing):
            armoured.setdefault(run.cable, []).append((run, answer))
    return [
        Finding("note", "cover-armour", f"Cable {cable} has armour, and {runs[0][1].clause} has no column for that: it "
                f"is read as cable laid in the ground ({_columns(runs)}): {listed([run.id for run, _ in runs], FEW)}.",
                at=("cables", cable, "armour"), of=tuple(run.id for run, _ in runs))
        for cable, runs in armoured.items()
    ]  # fmt: skip


def _columns(runs: Doubted) -> str:
    return "; ".join(dict.fromkeys(f"column {answer.column}" for _, answer in runs))


def _driveways(job: Job, network: Network, basis: CodeBasis) -> list[Finding]:
    """A note on what ``driveway`` means, where a cover table has another row for every other drive."""
    runs = [run for run in network.all_runs if run.surface == "driveway"]
    if not runs or basis.cover is None or basis.cover.surfaces["driveway"] == basis.cover.surfaces["drive"]:
        return []
    one, other = basis.cover.row("driveway").location, basis.cover.row("drive").location
    names = listed([run.id for run in runs], FEW)
    return [
        Finding("note", "surface-driveway", f"Surface driveway is that of a one- or two-family dwelling, and "
                f"{basis.cite(basis.cover.clause)} reads it in the row \"{one}\": {names}. Any other drive, and any "
                f"parking, is surface drive, in the row \"{other}\".", at=JobPlaces(job).run(runs[0], "surface"),
                expected="driveway for a house, drive for any other")
    ]  # fmt: skip


def _no_figure(job: Job, basis: CodeBasis) -> list[Finding]:
    if basis.cover is not None:
        return []
    cover = stated(job.rules.cover, "least").brief(job.job.units)
    return [
        Finding("note", "cover-no-figure", f"{basis.name}: no cover figure to compare {cover} with. "
                f"{basis.who_decides_cover}", at=("job", "code_basis"))
    ]  # fmt: skip


def _printed(answer: CoverAnswer, job: Job) -> str:
    """The least cover in the source's own two figures."""
    return _as_printed(job, answer.min_m, answer.min_inches)


def _as_printed(job: Job, metres: float | None, inches: float | None) -> str:
    return printed(job.job.units, "least", metres=metres, inch=inches)
