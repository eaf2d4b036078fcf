"""Sign-offs in a file beside a spec, read like those in a spec."""

from __future__ import annotations

import errno
from functools import cache

from doorlint.errors import WrongCall
from doorlint.evaluation import Record, SignOff, sign_offs
from doorlint.file_input import head
from doorlint.sidecar import sidecar_path, spec_path
from doorlint.sources import Source
from doorlint.spec import Spec, read
from doorlint.spec.problems import Problem
from doorlint.spec.yaml_positions import LIMIT, Mapping, parse

__all__ = ["sign_offs_beside", "with_sign_offs"]


def with_sign_offs(record: Record, source: Source) -> Record:
    """A record with the sign-offs beside its spec; not readable where these cannot be read."""
    if record.problems:
        return record
    try:
        beside = sign_offs_beside(source)
        both = sorted(beside.keys() & record.approvals.keys())
        if both:
            raise WrongCall(f"{beside[both[0]].file}: sign-off {both[0]} is in the spec too; give one another name")
    except WrongCall as error:
        problem = Problem("spec.approvals", "", 1, 1, str(error))
        return Record(record.digest, None, record.system, (problem,), (), (), 0, {}, {})
    return record._replace(approvals={**record.approvals, **beside}) if beside else record


def sidecar_of(source: Source) -> bytes | None:
    """The bytes of the sign-offs beside a spec, ``None`` where there are none; raises :class:`OSError`."""
    if source.path is None:
        return source.sidecar
    try:
        return head(sidecar_path(source.path), LIMIT + 1)
    except OSError as error:
        if error.errno in (errno.ENOENT, errno.ENAMETOOLONG):  # no file has so long a name
            return None
        raise


def sign_offs_beside(source: Source) -> dict[str, SignOff]:
    """The sign-offs beside a spec by their names; raises :class:`WrongCall` where they cannot be read."""
    name = sidecar_path(source.name)
    try:
        data = sidecar_of(source)
    except (OSError, ValueError) as error:
        raise WrongCall(f"{name}: cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if data is None:
        return {}
    marked = parse(data)
    if marked.problem is not None:
        raise WrongCall(f"{name}:{marked.problem.line}:{marked.problem.column}: {marked.problem.message}")
    tree = marked.tree
    if not isinstance(tree, Mapping) or list(tree) != ["approvals"]:
        raise WrongCall(f"{name}:1:1: expected the sign-offs of {spec_path(name)} under `approvals:` and nothing else")
    spec = _bare().patched({"approvals": tree["approvals"]})
    for problem in spec.problems:
        steps = problem.pointer.split("/")[1:]
        line, column = marked.position(steps)
        raise WrongCall(f"{name}:{line}:{column}: {problem.message}")
    own = sign_offs(spec)
    places = {key: marked.position(("approvals", key)) for key in own}
    return {key: signed._replace(line=places[key][0], column=places[key][1], file=name) for key, signed in own.items()}


@cache
def _bare() -> Spec:
    return read("doorlint: 1\nstage: survey\njob: {number: none}\n")
