"""The same order under a stricter nap, whose markers the cloth as it is allows too.

What is cut with a nap can be cut without, so its markers are where the search without begins: nap
is never shorter than no nap. Without a nap pieces may lie in all the ways of garments each its own
way, and those in all the ways of one-way cloth. Flaws alone lie otherwise on a crosswise fold that
is cut and turned, so there its markers may show nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from nesting.fabric.fabric import Nap
from nesting.fabric.lay import lay_under
from nesting.packing.convert import Packing
from nesting.search.jobs import Job, job_for
from nesting.search.trial import Trial
from nesting.search.warm_start.carry import Freed, freed
from nesting.verify.judge import verify

_STRICTER = {Nap.NONE: Nap.PER_GARMENT, Nap.PER_GARMENT: Nap.ONE_WAY}


def stricter_of(job: Job, *, most: bool = False) -> Job | None:
    """The same job with the next stricter nap, or with the strictest.

    None if there is none, or no lay allows it.
    """
    nap = _STRICTER.get(job.fabric.nap)
    if nap is None or job.order is None:
        return None
    strict = replace(job.fabric, nap=Nap.ONE_WAY if most else nap)
    found = job_for(job.order, strict, job.pieces, None)
    others = (stricter_of(other, most=most) for other in job.others)
    alike = tuple(other for other in others if other is not None)
    return replace(found, cutting=job.cutting, others=alike) if found.lays else None


def freed_from(job: Job, trials: Iterable[Trial]) -> list[Freed]:
    """What trials of a stricter job show for this one, on lays that it tries."""
    names = {packing.lay.name for packing in job.all_packings}
    own = (trial for trial in trials if trial.marker.lay in names)
    found = (freed(one, job.fabric, job.pieces) or _as_it_is(one, job) for one in own)
    return [one for one in found if one is not None]


def _as_it_is(trial: Trial, job: Job) -> Freed | None:
    """A stricter trial with its own cuts, where the freer rules ask for others."""
    if trial.section is not None:
        return None
    lay = lay_under(trial.marker, job.fabric)
    packing = Packing(trial.packing.cuts, job.fabric, lay)
    marker = packing.marker(trial.layout)
    if verify(job.fabric, job.pieces, marker):
        return None
    return Freed(Trial(packing, trial.layout, marker, 0.0), tilts=False)
