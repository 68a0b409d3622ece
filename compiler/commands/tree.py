"""A tree of jobs built side by side, only what changed; a failing job does not stop the others."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from compiler.commands.cut_short import clear
from compiler.commands.fresh import Last, Ledger, tool_digest
from compiler.commands.product import Paper, Product, produce, produce_safely
from compiler.commands.project import Target
from compiler.commands.workers import Task, side_by_side
from compiler.diagnostics import Diagnostic, has_errors, in_order
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.judge.model import MadeFrom
    from compiler.spec.load import Loaded, Reading

State = Literal["built", "up to date", "out of date", "falls short", "not written"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """How a tree is to be built."""

    out: Path | None = None  # None: out/ beside each spec
    replace_edited: bool = False
    everything: bool = False  # also what is up to date
    check: bool = False  # compare with what is there, write nothing
    count: int = 1
    cluster: str = ""
    debug: bool = False  # let our own faults through
    paper: Paper = field(default_factory=Paper)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What became of one job."""

    target: Target
    state: State
    job: str = ""
    folder: Path | None = None
    files: tuple[str, ...] = ()
    time_s: float | None = None
    findings: tuple[Diagnostic, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    product: Product | None = None

    @property
    def good(self) -> bool:
        """Whether its outputs are there as they should be."""
        return self.state in ("built", "up to date")


@dataclass(slots=True)
class Tree:
    """One run over many jobs. `results` gives each as it is done, with its number."""

    targets: tuple[Target, ...]
    wish: Wish
    _ledger: Ledger = field(default_factory=Ledger)
    _claimed: dict[tuple[Path, str], Target] = field(default_factory=dict)
    _settled: list[tuple[int, Result]] = field(default_factory=list)
    _loaded: dict[int, tuple[Loaded, Path]] = field(default_factory=dict)
    _last: dict[int, Last] = field(default_factory=dict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def results(self) -> Iterator[tuple[int, Result]]:
        """Each job's result. Those that need no compiling come between the others.

        Raises:
            NoClusterError: Where the work was to go to a cluster that can't be had.
        """
        # what nothing needs to be done for is found out first: workers may not be needed at all
        left = [
            (number, target)
            for number, target in enumerate(self.targets)
            if not self._is_settled(number, target)
        ]
        yield from self._drained()
        work = produce if self.wish.debug else produce_safely
        count = min(self.wish.count, len(left))
        cluster = self.wish.cluster if left else ""
        for number, product in side_by_side(work, self._tasks(left), count=count, cluster=cluster):
            yield from self._drained()
            yield number, self._finished(number, product)
        yield from self._drained()

    def _folder(self, target: Target) -> Path:
        return self.wish.out or target.path.parent / "out"

    def _is_settled(self, number: int, target: Target) -> bool:
        """Whether a job is up to date by the files that it was built from."""
        if self.wish.everything or self.wish.check:
            return False
        root, folder = find_root(target.path).resolve(), self._folder(target)
        last = self._ledger.last(target, root, folder)
        if last is None or not self._has_its_forms(last):
            return False
        if self._ledger.has_same_files(last, root) and self._claim(target, last.job) is None:
            clear(last.folder, (*last.report["outputs"], f"{last.job}.report.json"))
            self._settle(number, _up_to_date(target, last))
            return True
        self._last[number] = last
        return False

    def _has_its_forms(self, last: Last) -> bool:
        """Whether the last build made the sheets and pictures wanted, naming the same commit."""
        told_by = (".setup.", ".plan.svg", ".plan.png")
        made = {name for name in last.report["outputs"] if any(form in name for form in told_by)}
        paper = self.wish.paper
        marks = (last.made_from.get("commit"), last.made_from.get("prove_out", ""))
        wanted = (paper.commit, paper.prove_out_said)
        return made == paper.names(last.programs) and marks == wanted

    def _tasks(self, left: list[tuple[int, Target]]) -> Iterator[Task]:
        """What is to be compiled. Runs beside the work: each job is read when its turn comes."""
        from compiler.spec.load import load_job

        for number, target in left:
            root = find_root(target.path).resolve()
            try:
                read = load_job(target.path, root, target.member)
            except Exception as fault:
                if self.wish.debug:
                    raise
                from compiler.commands.fault import fault_finding

                self._fall_short(number, (fault_finding(fault),))
                continue
            made_from = self._made_from(number, target, root, read)
            if made_from is not None and read.value is not None:
                yield number, (read.value.jobs, made_from, self.wish.paper)

    def _made_from(self, number: int, target: Target, root: Path, read: Reading) -> MadeFrom | None:
        """What a job is made from; None where nothing is to be compiled, which is then settled."""
        from compiler.judge.model import MadeFrom
        from compiler.spec.digest import digest_with_places

        loaded = read.value
        if loaded is None or read.failed:
            self._fall_short(number, read.findings, read.sources)
            return None
        folder, name = self._folder(target), loaded.job.title.name
        other = self._claim(target, name)
        if other is not None:
            self._fall_short(number, (*read.findings, _same_name(target, other, name)))
            return None
        made_from = MadeFrom(
            spec=loaded.job.spec_file,
            member=target.member,
            job=digest_with_places(*loaded.jobs),
            tool=tool_digest(),
            files=dict(sorted(loaded.files.items())),
            commit=self.wish.paper.commit,
            prove_out=self.wish.paper.prove_out_said,
        )
        last = self._last.get(number)
        if last is not None and last.made_from.get("job") == made_from.job:
            self._settle(number, self._renewed(target, last, made_from))
            return None
        with self._lock:
            self._loaded[number] = loaded, folder
        return made_from

    def _renewed(self, target: Target, last: Last, made_from: MadeFrom) -> Result:
        """The same job from files that differ in words only: its report lists them anew."""
        from compiler.commands.outputs import write_outputs
        from compiler.judge.model import Report, SetupsReport

        kind = SetupsReport if "setups" in last.report else Report
        report = kind.model_validate(last.report).model_copy(update={"made_from": made_from})
        name = f"{last.job}.report.json"
        files = {file: (last.folder / file).read_bytes() for file in report.outputs}
        files[name] = (report.model_dump_json(indent=2) + "\n").encode()
        faults = write_outputs(last.folder, files, job=last.job)
        if faults:
            return Result(target=target, state="not written", findings=faults)
        return _up_to_date(target, last)

    def _finished(self, number: int, product: Product | None) -> Result:
        target = self.targets[number]
        with self._lock:
            loaded, folder = self._loaded.pop(number)
        if product is None:
            from compiler.commands.fault import lost_finding

            product = Product(findings=(lost_finding(),))
        findings = in_order((*self._warnings(loaded), *loaded.origins.explain(product.findings)))
        result = Result(
            target=target,
            state="not written" if _is_fault(product.findings) else "falls short",
            job=loaded.job.title.name,
            folder=folder,
            findings=findings,
            sources=loaded.sources,
            product=product,
        )
        if product.failed:
            return result
        files = tuple(sorted(product.files))
        result = replace(result, files=files, time_s=product.time_s)
        if self.wish.check:
            return _compared(result, product)
        from compiler.commands.outputs import write_outputs

        faults = write_outputs(
            folder, product.files, job=result.job, replace_edited=self.wish.replace_edited
        )
        state: State = "not written" if faults else "built"
        return replace(result, state=state, findings=(*findings, *faults))

    def _warnings(self, loaded: Loaded) -> tuple[Diagnostic, ...]:
        return loaded.findings

    def _claim(self, target: Target, job: str) -> Target | None:
        """The other job of this run that writes the same files, if there is one."""
        other = self._claimed.setdefault((self._folder(target).resolve(), job), target)
        return None if other == target else other

    def _fall_short(
        self,
        number: int,
        findings: tuple[Diagnostic, ...],
        sources: Mapping[str, str] | None = None,
    ) -> None:
        assert has_errors(findings)
        self._settle(
            number,
            Result(
                target=self.targets[number],
                state="not written" if _is_fault(findings) else "falls short",
                findings=findings,
                sources=sources or {},
            ),
        )

    def _settle(self, number: int, result: Result) -> None:
        with self._lock:
            self._settled.append((number, result))

    def _drained(self) -> Iterator[tuple[int, Result]]:
        with self._lock:
            ready, self._settled = self._settled, []
        yield from ready


def _is_fault(findings: tuple[Diagnostic, ...]) -> bool:
    """Whether the tool or the system failed, which says nothing of the spec."""
    return any(found.code.startswith("E9") for found in findings)


def _up_to_date(target: Target, last: Last) -> Result:
    outputs = last.report["outputs"]
    return Result(
        target=target,
        state="up to date",
        job=last.job,
        folder=last.folder,
        files=tuple(sorted([*outputs, f"{last.job}.report.json"])),
        time_s=last.report.get("time_s"),
    )


def _compared(result: Result, product: Product) -> Result:
    """Whether the outputs that are there are, byte for byte, those that a build would write."""
    assert result.folder is not None
    differing = [
        name
        for name, content in sorted(product.files.items())
        if not (result.folder / name).is_file() or (result.folder / name).read_bytes() != content
    ]
    if not differing:
        return replace(result, state="up to date")
    return replace(result, state="out of date", files=tuple(differing))


def _same_name(target: Target, other: Target, job: str) -> Diagnostic:
    return Diagnostic(
        code="E608",
        message=f"`{target.said}` would write the files of `{other.said}`: both are named `{job}`",
        help="give one of them another `name`, or build them into folders of their own",
    )
