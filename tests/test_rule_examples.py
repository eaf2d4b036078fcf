"""Every rule's own examples: met just inside the limit, short just outside, within 1 % of it."""

from __future__ import annotations

import pytest

from doorlint.rulebook.examples import base, run_examples
from doorlint.rulebook.library import Library, load


@pytest.mark.parametrize("subject", sorted({rule.partition(".")[0] for rule in load().rules}))
def test_examples_stand_at_the_boundary(subject: str, library: Library) -> None:
    wrong = []
    for rule in library.rules.values():
        if rule.id.partition(".")[0] == subject:
            found = run_examples(library, rule)
            assert found, rule.id
            wrong += [f"{rule.id}: {one.side}: {one.text}" for one in found if not one.holds]
            far = "is more than 1 % from the limit"
            wrong += [f"{rule.id}: {one.side} {far}: {one.text}" for one in found if not one.close]
    assert not wrong


@pytest.mark.parametrize("name", sorted({rule.statement["examples"]["base"] for rule in load().rules.values()}))
def test_a_base_of_examples_is_clean(name: str, library: Library) -> None:
    spec = base(name)
    job = library.job(spec.values, spec.keys)
    found = [o for o in library.outcomes(job, spec.values["stage"]) if o.state != "met"]
    loud = [o for o in found if library.rules[o.rule].severity != "advisory"]
    assert not loud, [f"{o.rule} {o.pointer} {o.reason} {o.missing} {o.value} {o.limit}" for o in loud]
