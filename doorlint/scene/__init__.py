"""The job as solids, lines and labels in space, made once from figures; every drawing renders it."""
