"""Write the names of the library's catalog parts into the job spec's schema, where editors offer them.

Run after a part was added: ``python tests/part_names.py``.
"""

from __future__ import annotations

import json

from doorlint.resources import folder
from doorlint.rulebook.library import own_catalog

if __name__ == "__main__":
    path = folder("schemas") / "job-spec.schema.json"
    schema = json.loads(path.read_text("utf-8"))
    for definition in schema["$defs"].values():
        if "x-part" in definition:
            kind = definition["x-part"]
            definition["examples"] = [part.name for part in own_catalog().values() if part.kind == kind]
    path.write_text(json.dumps(schema, indent=2, ensure_ascii=False) + "\n", "utf-8")
